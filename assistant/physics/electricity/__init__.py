"""Electrical formulas of the outdoor unit: capacitors, supply, motors and their windings, connections."""

from __future__ import annotations

from .capacitors import (
    capacitance_bounds_uf,
    capacitance_uf,
    capacitor_current_a,
    crest_v,
    discharge_time_s,
    largest_discharge_resistor_ohm,
    parallel_uf,
    resistor_peak_current_a,
    resistor_peak_power_w,
    series_uf,
    stored_energy_j,
    worst_case_uncertainty_pct,
)
from .motors import (
    insulation_at_40_c_ohm,
    maximum_protection_a,
    minimum_circuit_ampacity_a,
    minimum_disconnect_a,
    next_size_down_a,
    next_size_up_a,
    scaled_locked_rotor_a,
)
from .supply import (
    contact_heat_w,
    contact_resistance_ohm,
    secondary_rated_a,
    secondary_voltage_v,
    source_impedance_ohm,
    unbalance_pct,
    voltage_drop_pct,
)
from .windings import (
    Windings,
    copper_resistance_ohm,
    copper_temperature_c,
    winding_sum_band_ohm,
    windings_from_ohms,
)

__all__ = [
    "Windings",
    "capacitance_bounds_uf",
    "capacitance_uf",
    "capacitor_current_a",
    "contact_heat_w",
    "contact_resistance_ohm",
    "copper_resistance_ohm",
    "copper_temperature_c",
    "crest_v",
    "discharge_time_s",
    "insulation_at_40_c_ohm",
    "largest_discharge_resistor_ohm",
    "maximum_protection_a",
    "minimum_circuit_ampacity_a",
    "minimum_disconnect_a",
    "next_size_down_a",
    "next_size_up_a",
    "parallel_uf",
    "resistor_peak_current_a",
    "resistor_peak_power_w",
    "scaled_locked_rotor_a",
    "secondary_rated_a",
    "secondary_voltage_v",
    "series_uf",
    "source_impedance_ohm",
    "stored_energy_j",
    "unbalance_pct",
    "voltage_drop_pct",
    "winding_sum_band_ohm",
    "windings_from_ohms",
    "worst_case_uncertainty_pct",
]

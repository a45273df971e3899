"""The refrigerant side: saturation, superheat and subcooling, pressures and temperatures around the circuit."""

from __future__ import annotations

from .charge import rule_superheat_f, subcooling_f, superheat_f, target_superheat_f
from .circuit import (
    compressed_gas_f,
    compression_ratio,
    condensing_over_ambient_f,
    discharge_superheat_f,
    equalised_excess_f,
    evaporator_difference_f,
    restriction_drop_f,
    reversing_valve_difference_f,
)
from .saturation import Curve, SaturationTable, glide_f, saturation_psia, saturation_temperature_f

__all__ = [
    "Curve",
    "SaturationTable",
    "compressed_gas_f",
    "compression_ratio",
    "condensing_over_ambient_f",
    "discharge_superheat_f",
    "equalised_excess_f",
    "evaporator_difference_f",
    "glide_f",
    "restriction_drop_f",
    "reversing_valve_difference_f",
    "rule_superheat_f",
    "saturation_psia",
    "saturation_temperature_f",
    "subcooling_f",
    "superheat_f",
    "target_superheat_f",
]

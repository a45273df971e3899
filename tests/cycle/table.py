"""The table of signatures: what each fault shifts, per device and degree, averaged over weather and refrigerant.

``python -m tests.cycle --write`` writes it into the knowledge; it is reviewed there and may be read without this model.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Literal

import numpy as np

from assistant.physics.atmosphere import atmosphere_psia

from .model import Design, Faults, System, Weather, shifted

Device = Literal["orifice", "txv"]
DEVICES: tuple[Device, ...] = ("orifice", "txv")
RESIDUALS = ("suction", "superheat", "condensing", "subcooling", "discharge", "compressed", "split", "amps", "ratio")
STATIC = {"non_condensables": (2.5, 5.0, 9.0)}
"""degrees F: air that adds 1.5, 3, 6 bar in the running condenser stands in about twice that volume when equalised."""

DEGREES: Mapping[str, tuple[Faults, Faults, Faults]] = {
    "undercharge": (Faults(charge=0.9), Faults(charge=0.78), Faults(charge=0.62)),
    "overcharge": (Faults(charge=1.1), Faults(charge=1.2), Faults(charge=1.35)),
    "liquid_restriction": (Faults(restriction=0.4), Faults(restriction=0.58), Faults(restriction=0.75)),
    "metering_starves": (Faults(valve=0.75), Faults(valve=0.6), Faults(valve=0.42)),
    "metering_floods": (Faults(valve=1.12), Faults(valve=1.22), Faults(valve=1.35)),
    "non_condensables": (Faults(air_pa=1.5e5), Faults(air_pa=3e5), Faults(air_pa=6e5)),
    "low_outdoor_air": (Faults(air_cond=0.75, ua_cond=0.9), Faults(air_cond=0.6, ua_cond=0.8),
                        Faults(air_cond=0.45, ua_cond=0.65)),
    "recirculated_air": (Faults(recirculated=0.25), Faults(recirculated=0.4), Faults(recirculated=0.55)),
    "hot_gas_leak": (Faults(hot_gas=0.12), Faults(hot_gas=0.22), Faults(hot_gas=0.35)),
    "compressor_leak": (Faults(leak=0.25), Faults(leak=0.4), Faults(leak=0.55)),
    "low_indoor_air": (Faults(air_evap=0.78), Faults(air_evap=0.6), Faults(air_evap=0.42)),
}  # fmt: skip

REVIEWED: Mapping[tuple[str, str, str], tuple[float, float, float]] = {
    ("metering_floods", "orifice", "suction"): (1.5, 3.0, 5.0),
    ("metering_floods", "txv", "suction"): (1.5, 3.0, 5.0),
    ("metering_floods", "orifice", "split"): (0.0, 0.0, 0.0),
    ("metering_floods", "txv", "split"): (0.0, 0.0, 0.0),
    ("low_outdoor_air", "orifice", "suction"): (0.5, 1.0, 2.0),
    ("low_outdoor_air", "orifice", "subcooling"): (0.0, 0.0, 0.0),
    ("low_outdoor_air", "orifice", "discharge"): (0.0, 0.0, 0.0),
    ("low_outdoor_air", "orifice", "split"): (0.0, 0.0, 0.0),
}
"""Cells set by hand. Low outdoor air: where model and published table disagree, neither is believed. Flooding: with
more flow than the coil can boil, trade and theory say that the suction pressure rises; the model's coil keeps all its
air side wet instead and gains capacity, which no flooded coil in the field does."""

WEATHERS = (
    Weather(300.4, 299.8, 0.6), Weather(302.6, 298.2, 0.5), Weather(308.15, 299.8, 0.5), Weather(311.5, 299.3, 0.55)
)  # fmt: skip
REFRIGERANTS = {"R410A": 1.85e-3, "R22": 2.75e-3}


def signature_table() -> dict[str, dict[str, dict[str, list[float]]]]:
    """Return fault -> device -> residual -> shifts at the three degrees; degrees F, amps in percent."""
    out: dict[str, dict[str, dict[str, list[float]]]] = {}
    for device in DEVICES:
        systems = [System(Design(refrigerant=r, device=device, swept=v)) for r, v in REFRIGERANTS.items()]
        for fault, degrees in DEGREES.items():
            means = [mean_shifts(systems, faults) for faults in degrees]
            rows = {n: [round(mean[n], 2 if n == "ratio" else 1) + 0.0 for mean in means] for n in RESIDUALS}
            rows |= {n: list(cells) for (f, d, n), cells in REVIEWED.items() if (f, d) == (fault, device)}
            rows["static"] = list(STATIC.get(fault, (0.0, 0.0, 0.0)))
            out.setdefault(fault, {})[device] = rows
    return out


def mean_shifts(systems: list[System], faults: Faults) -> dict[str, float]:
    """Return the shifts of one fault, averaged over units and weather. Raises ValueError where few have a state."""
    found = [s for system in systems for weather in WEATHERS if (s := shifted(system, weather, faults)) is not None]
    if len(found) < len(systems) * len(WEATHERS) // 2:
        raise ValueError(f"no steady state for {faults}")
    return {name: float(np.mean([one[name] for one in found])) for name in RESIDUALS}


ELEVATIONS_FT = (0.0, 2500.0, 5000.0, 7500.0, 10000.0)
HEIGHT_FEATURES = ("suction", "superheat", "condensing", "subcooling", "discharge", "compressed", "split", "ratio")


def at_height() -> dict[str, dict[str, list[float]]]:
    """Return device -> feature -> shift of a sound unit at each elevation, in the same weather and room."""
    out: dict[str, dict[str, list[float]]] = {}
    for device in DEVICES:
        systems = [System(Design(refrigerant=r, device=device, swept=v)) for r, v in REFRIGERANTS.items()]
        means = [_mean_at_height(systems, elevation) for elevation in ELEVATIONS_FT]
        out[device] = {n: [round(mean[n], 2 if n == "ratio" else 1) + 0.0 for mean in means] for n in HEIGHT_FEATURES}
    return out


def _mean_at_height(systems: list[System], elevation_ft: float) -> dict[str, float]:
    pressure = atmosphere_psia(elevation_ft) / atmosphere_psia(0.0) * Weather().pressure
    found = []
    for system in systems:
        for weather in WEATHERS:
            low, high = system.run(weather), system.run(replace(weather, pressure=pressure))
            if low is not None and high is not None:
                found.append({name: getattr(high, name) - getattr(low, name) for name in HEIGHT_FEATURES})
    return {name: float(np.mean([one[name] for one in found])) for name in HEIGHT_FEATURES}


def height_yaml(rows: Mapping[str, Mapping[str, list[float]]]) -> str:
    """Return the lines of ``at_height`` in the data file."""
    feet = ", ".join(f"{one:g}" for one in ELEVATIONS_FT)
    lines = ["  at_height:", f"    feet: [{feet}]", "    share: 0.5", "    rows:"]
    for device, features in rows.items():
        cells = ", ".join(f"{name}: [{', '.join(f'{v:g}' for v in values)}]" for name, values in features.items())
        lines.append(f"      {device}: {{{cells}}}")
    return "\n".join(lines) + "\n"


def as_yaml(table: Mapping[str, Mapping[str, Mapping[str, list[float]]]]) -> str:
    """Return the table as the lines below ``shifts:`` of the data file."""
    lines = []
    for fault, devices in table.items():
        lines.append(f"    {fault}:")
        for device, rows in devices.items():
            cells = ", ".join(f"{name}: [{', '.join(f'{v:g}' for v in values)}]" for name, values in rows.items())
            lines.append(f"      {device}: {{{cells}}}")
    return "\n".join(lines) + "\n"

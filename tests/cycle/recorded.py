"""Units for practice, worked out beforehand: what gauges show on each, sound and with every fault.

``python -m tests.cycle --units`` writes them into the knowledge, so that practice needs neither this model nor the
fluid library it stands on.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from assistant.physics.refrigerant import Curve, SaturationTable, saturation_psia
from knowledge.base import KnowledgeBase

from .model import Faults, Shown, Weather
from .selftest import IDS, between, drawn_readings, drawn_system
from .table import DEGREES, DEVICES, STATIC

SOUND = "sound"
PER_DEVICE = 4
SEED = 11
SHOWN = (
    "g_suction", "g_liquid", "g_suction_line", "g_liquid_line", "g_discharge_line", "g_superheat", "g_subcooling",
    "g_split", "t_outdoor", "t_return", "t_wet_bulb", "t_supply",
)  # fmt: skip


def recorded_units(kb: KnowledgeBase) -> list[dict[str, object]]:
    """Return ``PER_DEVICE`` drawn units per metering device, with all their readings."""
    rng = np.random.default_rng(SEED)
    return [_recorded(kb, device, number, rng) for device in DEVICES for number in range(1, PER_DEVICE + 1)]


def _recorded(kb: KnowledgeBase, device: str, number: int, rng: np.random.Generator) -> dict[str, object]:
    while True:
        system = drawn_system(device, rng)  # type: ignore[arg-type]
        weather = Weather(float(rng.uniform(303, 311)), float(rng.uniform(297, 301)), float(rng.uniform(0.42, 0.6)))
        wrong = {SOUND: Faults(), **{fault: between(fault, rng) for fault in DEGREES}}
        shown = {name: system.run(weather, faults) for name, faults in wrong.items()}
        if all(one is not None for one in shown.values()):
            break
    own = system.design.refrigerant
    readings = {
        name: _readings(drawn_readings(kb, system, weather, one, rng), one) for name, one in shown.items() if one
    }
    return {
        "id": f"{device}_{number}", "refrigerant": IDS[own], "device": device, "readings": readings,
        "standing": {name: _standing(kb, IDS[own], weather, name) for name in shown},
    }  # fmt: skip


def _readings(found: Mapping[str, float], shown: Shown) -> dict[str, float]:
    more = {
        "g_superheat": found["g_suction_line"] - shown.suction,
        "g_subcooling": shown.condensing - found["g_liquid_line"],
        "g_split": found["t_return"] - found["t_supply"],
    }
    return {name: round((found | more)[name], 0) + 0.0 for name in SHOWN}


def _standing(kb: KnowledgeBase, refrigerant: str, weather: Weather, fault: str) -> float:
    found = kb.saturation[refrigerant]
    table = SaturationTable(found.id, found.first_f, found.step_f, found.bubble_psia, found.dew_psia)
    over = STATIC[fault][1] if fault in STATIC else 0.0
    return round(saturation_psia(table, Curve.BUBBLE, weather.outdoor * 1.8 - 459.67 + over) - 14.696, 0)


def units_yaml(units: list[dict[str, object]]) -> str:
    """Return the data file."""
    lines = [
        "# Refrigerant sides for practice: invented units, worked out by the cycle model of the tests",
        "# (python -m tests.cycle --units). Derived; degrees F, psi. No measured data.",
        "running_units:",
    ]
    for unit in units:
        lines.append(f"  - id: {unit['id']}\n    refrigerant: {unit['refrigerant']}\n    device: {unit['device']}")
        lines.append("    readings:")
        readings = unit["readings"]
        assert isinstance(readings, dict)
        lines += [f"      {name}: {{{_cells(row)}}}" for name, row in readings.items()]
        standing = unit["standing"]
        assert isinstance(standing, dict)
        lines.append(f"    standing: {{{_cells(standing)}}}")
    return "\n".join(lines) + "\n"


def _cells(row: Mapping[str, float]) -> str:
    return ", ".join(f"{name}: {value:g}" for name, value in row.items())

"""The height of the place: gauges read against thinner air, and a sound unit runs a little otherwise."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st

from assistant.physics.atmosphere import atmosphere_psia
from assistant.reasoning.calculations import Calculated, calculate
from assistant.reasoning.calculations.results import Standing
from assistant.reasoning.gauges.shifts import DEVICES
from assistant.reasoning.gauges.targets import Readings, compare
from assistant.reasoning.height import height_shift, height_spread
from assistant.reasoning.tables import Tables
from knowledge.base import KnowledgeBase
from tests.cycle.model import Faults, Weather
from tests.cycle.selftest import IDS, drawn_readings, drawn_system, judged
from tests.cycle.table import at_height

AIR_AT_5000_FT_PSIA = 12.228
"""U.S. Standard Atmosphere as tabulated in the ASHRAE Handbook, Fundamentals, chapter 1 (from memory)."""
PA_PER_PSI = 6894.757293168361
GOOD = {"metering": "fixed_orifice", "airflow_proved": "yes", "minutes_running": 20, "refrigerant": "R-22"}


def readings(kb: KnowledgeBase, values: dict[str, float], elevation: float | None, device: str = "orifice") -> Readings:
    plate = {} if elevation is None else {"elevation": elevation}
    return Readings(kb, values, plate, "r_22", device)  # type: ignore[arg-type]


def test_the_atmosphere_is_the_tabulated_one() -> None:
    assert atmosphere_psia(5000) == pytest.approx(AIR_AT_5000_FT_PSIA, abs=0.003)


def test_a_gauge_reads_against_the_air_of_the_place(kb: KnowledgeBase) -> None:
    """R-22 at 58 psig boils 3 degrees F lower at 5,000 ft than at the sea (CoolProp)."""
    values = {"g_suction": 58.0, "t_return": 76.0}
    high, low = (compare("suction", readings(kb, values, at)).measured for at in (5000, None))
    for measured, air in ((high, AIR_AT_5000_FT_PSIA), (low, 14.696)):
        boiling_k = PropsSI("T", "P", (58 + air) * PA_PER_PSI, "Q", 1, "R22")
        assert measured == pytest.approx(boiling_k * 1.8 - 459.67, abs=0.1)
    assert low - high == pytest.approx(2.0, abs=0.6)


@given(st.sampled_from(DEVICES), st.floats(0, 12000), st.sampled_from(["suction", "superheat", "condensing", "split"]))
def test_nothing_shifts_at_the_sea_and_more_the_higher(device: str, feet: float, feature: str) -> None:
    from knowledge import load

    kb = load()
    assert height_shift(kb, feature, 0, device) == 0  # type: ignore[arg-type]
    assert height_shift(kb, feature, -300, device) == 0  # type: ignore[arg-type]
    there, higher = (abs(height_shift(kb, feature, one, device)) for one in (feet, feet + 100))  # type: ignore[arg-type]
    assert higher >= there
    assert height_spread(kb, feature, feet, None) >= height_spread(kb, feature, 0, None) == 0


def test_thin_air_makes_the_condenser_hotter_and_the_split_larger(kb: KnowledgeBase) -> None:
    """The same fan moves less air by weight: common practice, no source for the sizes."""
    for device in DEVICES:
        assert height_shift(kb, "condensing", 5000, device) > 2
        assert height_shift(kb, "split", 5000, device) > 0.5


def test_the_shipped_rows_are_what_the_model_makes(kb: KnowledgeBase) -> None:
    made = at_height()
    for device, rows in kb.signatures.at_height.rows.items():
        for feature, values in rows.items():
            assert values == pytest.approx(made[device][feature], abs=0.15), (device, feature)


def test_a_sound_unit_at_height_is_suspected_less_once_the_height_is_told(tables: Tables) -> None:
    """Drawn sound units at 7,000 ft: a wrong fault is named less often with the height than without."""
    rng = np.random.default_rng(11)
    wrong = {"told": 0.0, "not told": 0.0}
    for _ in range(12):
        system = drawn_system("orifice", rng)
        pressure = atmosphere_psia(7000) * PA_PER_PSI
        weather = Weather(float(rng.uniform(300, 311)), float(rng.uniform(296, 300)), 0.5, pressure)
        shown = system.run(weather, Faults())
        if shown is None:
            continue
        found = drawn_readings(tables.kb, system, replace(weather), shown, rng)
        name = IDS[system.design.refrigerant].replace("_", "-")
        for told, plate in (("told", {"elevation": 7000.0}), ("not told", {})):
            said, p = judged(tables, found, "orifice", name, plate)
            wrong[told] += p if said != "healthy" else 1 - p
    assert wrong["told"] < wrong["not told"]


def charge(kb: KnowledgeBase, elevation: float, line: float) -> Calculated:
    known = {"outdoor": 95, "return_air": 78, "wet_bulb": 65, "suction_pressure": 68.5, "suction_line": line}
    result = calculate(kb, "charge_by_superheat", GOOD | known, {"elevation": elevation})
    assert isinstance(result, Calculated), result
    return result


def test_no_verdict_on_the_charge_inside_what_the_height_alone_does(kb: KnowledgeBase) -> None:
    """20 degrees F of superheat is far over the table's 8 at the sea; at 7,000 ft the table itself may be off by 9."""
    assert charge(kb, 0, 60).standing is Standing.HIGH
    at_height = charge(kb, 7000, 57)
    assert at_height.standing is Standing.TOO_CLOSE
    assert at_height.against_error > abs(height_shift(kb, "superheat", 7000, "orifice"))
    assert any("7000 ft" in note for note in at_height.notes)
    assert charge(kb, 7000, 85).standing is Standing.HIGH

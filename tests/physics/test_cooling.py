"""Refrigerant and air physics: published values (``published_cooling.yaml``) and what must hold for every value."""

from __future__ import annotations

from inspect import getdoc, getmembers, isfunction
from pathlib import Path
from typing import Any

import psychrolib
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from assistant.physics import air, atmosphere, grid, refrigerant, uncertainty
from assistant.physics.errors import OutsideValidity
from assistant.physics.refrigerant import Curve, SaturationTable, saturation_psia, saturation_temperature_f
from assistant.physics.uncertainty import carried_errors, combined_error
from assistant.reasoning.calculations import saturation_table
from assistant.reasoning.limits.printed import grid as printed
from knowledge.base import load
from knowledge.reader import read_model

from .published import Check, Closed


class CoolingValues(Closed):
    checks: tuple[Check, ...]


KB = load()
CHECKS = read_model(Path(__file__).with_name("published_cooling.yaml"), CoolingValues).checks
TABLES = {name: saturation_table(KB, KB.refrigerants[name]) for name in KB.saturation}
WORDS: dict[str, Any] = {
    **TABLES,
    **{name: printed(table) for name, table in KB.tables.items()},
    **dict(zip(Curve, Curve, strict=True)),
}
FUNCTIONS: dict[str, Any] = {
    **{name: getattr(package, name) for package in (air, refrigerant) for name in package.__all__},
    **{
        n: f
        for m in (atmosphere, grid, uncertainty)
        for n, f in getmembers(m, isfunction)
        if f.__module__ == m.__name__
    },
}
FUNCTIONS = {name: f for name, f in FUNCTIONS.items() if isfunction(f) and not name.startswith("_")}
TESTED_BY_PROPERTY = {"look_up", "carried_errors"}
TABLE = st.sampled_from(sorted(TABLES)).map(lambda name: TABLES[name])
CURVE = st.sampled_from(list(Curve))


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.name)
def test_formula_gives_the_sourced_value(check: Check) -> None:
    call, _, attribute = check.call.partition(".")
    result = FUNCTIONS[call](*[WORDS[a] if isinstance(a, str) else a for a in check.args], **check.given)
    assert (getattr(result, attribute) if attribute else result) == pytest.approx(check.gives, abs=check.within + 1e-12)


def test_every_public_function_is_compared_and_names_a_source_of_the_bibliography() -> None:
    assert {check.call.partition(".")[0] for check in CHECKS} == set(FUNCTIONS) - TESTED_BY_PROPERTY
    assert {check.source for check in CHECKS} <= set(KB.sources)
    for name, function in FUNCTIONS.items():
        source = (getdoc(function) or "").rpartition("Source: ")[2].split(" ")[0].rstrip(".;")
        assert source in KB.sources, name


@given(TABLE, CURVE, st.floats(0, 1))
def test_pressure_and_temperature_are_each_others_inverse(table: SaturationTable, curve: Curve, share: float) -> None:
    temp_f = table.first_f + share * (table.last_f - table.first_f)
    pressure = saturation_psia(table, curve, temp_f)
    assume(table.pressures_psia(curve)[0] <= pressure <= table.pressures_psia(curve)[-1])
    assert saturation_temperature_f(table, curve, pressure) == pytest.approx(temp_f, abs=1e-6)


@given(TABLE, CURVE, st.floats(0, 0.99), st.floats(0.01, 5))
def test_warmer_is_higher(table: SaturationTable, curve: Curve, share: float, more_f: float) -> None:
    temp_f = table.first_f + share * (table.last_f - table.first_f)
    warmer = min(table.last_f, temp_f + more_f)
    assert saturation_psia(table, curve, warmer) > saturation_psia(table, curve, temp_f)


@given(TABLE, st.floats(0, 1))
def test_bubble_pressure_is_never_below_dew_pressure(table: SaturationTable, share: float) -> None:
    temp_f = table.first_f + share * (table.last_f - table.first_f)
    assert saturation_psia(table, Curve.BUBBLE, temp_f) >= saturation_psia(table, Curve.DEW, temp_f) * (1 - 1e-9)


@pytest.mark.parametrize("name", sorted(TABLES))
def test_beyond_the_table_is_refused_with_its_range(name: str) -> None:
    table = TABLES[name]
    assert table is not None
    for temp_f in (table.first_f - 0.1, table.last_f + 0.1, float("nan")):
        with pytest.raises(OutsideValidity, match=f"{table.first_f:g} to {table.last_f:g}"):
            saturation_psia(table, Curve.DEW, temp_f)
    with pytest.raises(OutsideValidity, match="psia"):
        saturation_temperature_f(table, Curve.DEW, 2000)


@given(st.floats(0, 8000), st.floats(100, 2000), st.floats(20, 200))
def test_a_higher_place_means_a_lower_saturation_temperature(low_ft: float, more_ft: float, psig: float) -> None:
    table = TABLES["r_22"]
    assert table is not None
    below, above = (atmosphere.absolute_psia(psig, ft) for ft in (low_ft, low_ft + more_ft))
    assert saturation_temperature_f(table, Curve.DEW, above) < saturation_temperature_f(table, Curve.DEW, below)


@given(st.floats(-1500, 15000))
def test_atmosphere_is_that_of_the_psychrometric_library(elevation_ft: float) -> None:
    assert psychrolib.isIP()
    library = psychrolib.GetStandardAtmPressure(elevation_ft)
    assert atmosphere.atmosphere_psia(elevation_ft) == pytest.approx(library, rel=1e-4)


def test_no_gauge_reads_below_a_perfect_vacuum() -> None:
    with pytest.raises(OutsideValidity, match="perfect vacuum"):
        atmosphere.absolute_psia(-14.7, 0)
    assert atmosphere.absolute_psia(-12, 0) > 0


@given(st.floats(40, 120), st.floats(2, 100), st.floats(0, 8000))
def test_wet_bulb_and_humidity_are_each_others_inverse(dry_f: float, humidity: float, elevation_ft: float) -> None:
    pressure = atmosphere.atmosphere_psia(elevation_ft)
    wet_f = air.wet_bulb_from_humidity_f(dry_f, humidity, pressure)
    assume(wet_f <= dry_f)
    assert air.moist_air(dry_f, wet_f, pressure).humidity_pct == pytest.approx(humidity, abs=0.5)


def test_impossible_air_is_refused() -> None:
    with pytest.raises(OutsideValidity, match="wet bulb"):
        air.moist_air(75, 80, 14.696)
    with pytest.raises(OutsideValidity, match="wet bulb"):
        air.moist_air(100, 40, 14.696)
    with pytest.raises(OutsideValidity, match="dry bulb"):
        air.target_temperature_split_f(WORDS["target_temperature_split"], 72, 74)


@given(st.floats(0, 10000), st.floats(300, 2000), st.floats(5, 30))
def test_thin_air_carries_less_and_more_air_shows_a_smaller_rise(
    elevation_ft: float, airflow_cfm: float, drop_f: float
) -> None:
    here, sea = atmosphere.atmosphere_psia(elevation_ft), atmosphere.SEA_LEVEL_PSIA
    assert air.sensible_btuh(airflow_cfm, drop_f, here) <= air.sensible_btuh(airflow_cfm, drop_f, sea) * (1 + 1e-9)
    power_w = air.sensible_btuh(airflow_cfm, drop_f, here) / 3.412142
    assert air.electric_heat_airflow_cfm(power_w, drop_f, here) == pytest.approx(airflow_cfm)


@given(st.floats(55, 115), st.floats(50, 76))
def test_between_printed_lines_a_value_lies_between_their_cells_or_is_refused(row: float, column: float) -> None:
    table = WORDS["target_superheat"]
    try:
        value = grid.look_up(table, row, column)
    except OutsideValidity:
        return
    i, j = min(int(row - 55), 59), min(int(column - 50), 25)
    corners = [table.cells[a][b] for a in (i, i + 1) for b in (j, j + 1)]
    known = [corner for corner in corners if corner is not None]
    assert min(known) - 1e-9 <= value <= max(known) + 1e-9
    if None not in corners and column < 76:
        assert grid.look_up(table, row, min(76, column + 0.2)) >= value


@pytest.mark.parametrize(("row", "column"), [(54.9, 65), (115.1, 70), (95, 49.9), (95, 76.1), (float("nan"), 65)])
def test_printed_table_is_never_left(row: float, column: float) -> None:
    with pytest.raises(OutsideValidity, match=r"must be"):
        grid.look_up(WORDS["target_superheat"], row, column)


@given(st.floats(0.1, 5), st.floats(0.1, 5))
def test_errors_of_a_difference_add_as_squares(first: float, second: float) -> None:
    carried = carried_errors(lambda x: x["a"] - x["b"], {"a": 50, "b": 40}, {"a": first, "b": second, "absent": 9})
    assert combined_error(*carried.values()) == pytest.approx((first**2 + second**2) ** 0.5)


def test_an_error_that_leaves_the_validity_counts_from_the_side_that_stays_in() -> None:
    def upwards(x: Any) -> float:
        if x["a"] > 10:
            raise OutsideValidity("too much")
        return 2.0 * x["a"]

    assert carried_errors(upwards, {"a": 10}, {"a": 1}) == {"a": 2}

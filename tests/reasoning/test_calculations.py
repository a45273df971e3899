"""Calculations against their sourced cases, and what must hold for all of them."""

from __future__ import annotations

from collections import Counter
from typing import Annotated

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import Field

from assistant.physics.atmosphere import absolute_psia
from assistant.physics.errors import OutsideValidity
from assistant.physics.grid import look_up
from assistant.physics.refrigerant import Curve, saturation_temperature_f
from assistant.physics.uncertainty import instrument_error
from assistant.physics.units import celsius_from_fahrenheit, kpa_from_psi
from assistant.reasoning.calculations import (
    Amount,
    Calculated,
    Missing,
    Refused,
    calculate,
    find_refrigerant,
    saturation_table,
)
from assistant.reasoning.calculations.results import Standing
from assistant.reasoning.calculations.rules import RULES
from assistant.reasoning.limits.printed import grid
from knowledge.base import DATA, load
from knowledge.models.entry import Closed, Id, Text
from knowledge.models.source import Known
from tests.knowledge.case_files import cases

KB = load()


class Case(Closed):
    name: Text
    calculation: Id
    given: dict[Id, float | str]
    gives: float | None = None
    within: float = 0.0
    error: float | None = None
    standing: Standing | None = None
    refused: str = ""
    asks: Id | None = None
    source: Id
    known: Known


class CaseFile(Closed):
    cases: tuple[Case, ...]


class Name(Closed):
    said: str
    is_: Annotated[Id | None, Field(alias="is")]


class Chart(Closed):
    name: Text
    refrigerant: Id
    curve: Curve
    psig: float
    temp_f: float
    within: float
    source: Id
    known: Known
    outside: bool = False


class NameFile(Closed):
    names: tuple[Name, ...]
    charts: tuple[Chart, ...]


class Cell(Closed):
    name: Text
    row: float
    column: float
    gives: float | None
    within: float
    source: Id
    known: Known


class CellFile(Closed):
    cells: tuple[Cell, ...]


class Instrument(Closed):
    name: Text
    input: Id
    reading: float
    error: float
    source: Id
    known: Known


class InstrumentFile(Closed):
    inputs: tuple[Instrument, ...]


ALL = [
    c
    for name in ("refrigeration", "air", "electrical", "heat")
    for c in cases(f"calculations/{name}.yaml", CaseFile).cases
]
NAMES = cases("refrigerants/refrigerants.yaml", NameFile)
TABLES = [(table, cell) for table in KB.tables for cell in cases(f"tables/{table}.yaml", CellFile).cells]


@pytest.mark.parametrize("case", ALL, ids=lambda case: case.name)
def test_calculation_case(case: Case) -> None:
    result = calculate(KB, case.calculation, case.given)
    if case.refused:
        assert isinstance(result, Refused)
        assert case.refused in result.sentence
    elif case.asks:
        assert isinstance(result, Missing)
        assert result.inputs[0].id == case.asks
    else:
        assert isinstance(result, Calculated), result
        assert result.value == pytest.approx(case.gives, abs=case.within + 1e-9)
        assert case.error is None or result.error == pytest.approx(case.error, abs=0.1)
        assert case.standing in {None, result.standing}


def test_every_calculation_has_a_case_a_rule_and_sources_in_the_bibliography() -> None:
    assert {case.calculation for case in ALL} | {"saturation_temperature"} == set(KB.calculations)
    assert {calculation.formula for calculation in KB.calculations.values()} == set(RULES)
    assert {case.source for case in ALL} <= set(KB.sources)
    assert [name for name, count in Counter(case.name for case in ALL).items() if count > 1] == []


def test_every_input_is_used_and_every_number_has_a_quantity() -> None:
    used = {name for c in KB.calculations.values() for name in (*c.needs, *c.may)}
    assert used == set(KB.calculation_inputs)
    for one in KB.calculation_inputs.values():
        assert (one.quantity is not None) == (one.kind == "number"), one.id
        assert one.ask.endswith("?")
        assert one.spoken.endswith("?")
    for calculation in KB.calculations.values():
        assert set(calculation.conditions) <= {*calculation.needs, *calculation.may}, calculation.id
        assert not set(calculation.needs) & set(calculation.may), calculation.id


@pytest.mark.parametrize("name", NAMES.names, ids=lambda name: name.said)
def test_refrigerant_is_found_by_its_exact_name_only(name: Name) -> None:
    found = find_refrigerant(KB, name.said)
    assert (found.id if found else None) == name.is_


@pytest.mark.parametrize("chart", NAMES.charts, ids=lambda chart: chart.name)
def test_saturation_agrees_with_charts_and_equations(chart: Chart) -> None:
    table = saturation_table(KB, KB.refrigerants[chart.refrigerant])
    assert table is not None
    pressure = absolute_psia(chart.psig, 0)
    if chart.outside:
        with pytest.raises(OutsideValidity):
            saturation_temperature_f(table, chart.curve, pressure)
    else:
        assert saturation_temperature_f(table, chart.curve, pressure) == pytest.approx(chart.temp_f, abs=chart.within)


def test_composition_adds_up_and_every_refrigerant_has_a_table_or_a_reason() -> None:
    for refrigerant in KB.refrigerants.values():
        assert sum(refrigerant.mass_pct.values()) == pytest.approx(100)
        assert (refrigerant.id in KB.saturation) == (not refrigerant.no_table) == (refrigerant.error_f is not None)


@pytest.mark.parametrize(("table", "cell"), TABLES, ids=lambda value: getattr(value, "name", value))
def test_printed_table_gives_its_cell_and_refuses_its_dashes(table: str, cell: Cell) -> None:
    printed = grid(KB.tables[table])
    if cell.gives is None:
        with pytest.raises(OutsideValidity, match="no valid test"):
            look_up(printed, cell.row, cell.column)
    else:
        assert look_up(printed, cell.row, cell.column) == pytest.approx(cell.gives, abs=cell.within + 1e-9)


def test_every_cell_of_the_split_table_fits_one_smooth_surface() -> None:
    """A mistyped cell would stand out: the residual is what rounding to 0.1 leaves."""
    table = KB.tables["target_temperature_split"]
    for row in table.rows:
        for wet_bulb, cell in zip(table.columns, row.values, strict=True):
            fit = -70.0329 + 2.19683 * wet_bulb - 0.0228193 * wet_bulb**2 + 0.544173 * row.at
            assert cell is None or cell == pytest.approx(fit, abs=0.06)


def test_every_column_of_the_superheat_table_falls_with_outdoor_air_and_every_row_rises_with_wet_bulb() -> None:
    table = KB.tables["target_superheat"]
    for one, other in zip(table.rows, table.rows[1:], strict=False):
        assert all(b is None or (a is not None and b < a) for a, b in zip(one.values, other.values, strict=True))
    for row in table.rows:
        known = [value for value in row.values if value is not None]
        assert known == sorted(known)
        assert all(value >= 5 for value in known)
        assert row.values[len(row.values) - len(known) :] == tuple(known)


@pytest.mark.parametrize("case", cases("calculations/inputs.yaml", InstrumentFile).inputs, ids=lambda case: case.name)
def test_instruments_have_the_errors_that_the_procedure_allows(case: Instrument) -> None:
    one = KB.calculation_inputs[case.input]
    assert instrument_error(case.reading, one.error_abs, one.error_pct) == pytest.approx(case.error)


BACKED = st.sampled_from([KB.refrigerants[name].name for name in KB.saturation])


@given(BACKED, st.floats(40, 160), st.floats(30, 80), st.floats(0, 8000))
def test_superheat_is_the_same_in_si(name: str, psig: float, line_f: float, elevation_ft: float) -> None:
    us = {"refrigerant": name, "suction_pressure": psig, "suction_line": line_f, "elevation": elevation_ft}
    si = us | {
        "suction_pressure": Amount(kpa_from_psi(psig), "kPa"),
        "suction_line": Amount(celsius_from_fahrenheit(line_f), "°C"),
        "elevation": Amount(elevation_ft * 0.3048, "m"),
    }
    first, second = calculate(KB, "superheat", us), calculate(KB, "superheat", si)
    assert isinstance(first, Calculated)
    assert isinstance(second, Calculated)
    assert second.value == pytest.approx(first.value, abs=1e-4)
    assert second.error == pytest.approx(first.error, abs=1e-4)


@given(st.floats(55, 115), st.floats(58, 76), st.floats(40, 90), st.floats(90, 170))
def test_no_verdict_is_given_inside_the_error(outdoor: float, wet_bulb: float, line_f: float, psig: float) -> None:
    known = {"metering": "fixed_orifice", "airflow_proved": "yes", "minutes_running": 20.0, "return_air": 78.0}
    known |= {"refrigerant": "R-410A", "outdoor": outdoor, "wet_bulb": wet_bulb}
    result = calculate(KB, "charge_by_superheat", known | {"suction_pressure": psig, "suction_line": line_f})
    if isinstance(result, Refused):
        assert "no valid test" in result.sentence or "validity" in result.sentence
        return
    assert isinstance(result, Calculated)
    assert result.limit is not None
    assert result.limit.low is not None
    assert result.limit.high is not None
    near = min(abs(result.value - bound) for bound in (result.limit.low, result.limit.high))
    assert (result.standing is Standing.TOO_CLOSE) == (near < result.against_error) or near == result.against_error
    assert result.against_error > result.error  # the thermometers of the target count too
    if result.standing is Standing.TOO_CLOSE:
        assert result.verdict is not None
        assert result.verdict.ok is None


def test_better_instruments_make_a_verdict_possible() -> None:
    known = {"refrigerant": "R-134a", "liquid_pressure": 160.0, "liquid_line": 106.0, "metering": "expansion_valve"}
    plate = {"target_subcooling": 10.0}
    usual = calculate(KB, "subcooling", known, plate)
    fine = known | {"liquid_pressure": Amount(160, "psig", error=1), "liquid_line": Amount(106, "°F", error=0.5)}
    better = calculate(KB, "subcooling", fine, plate)
    assert isinstance(usual, Calculated)
    assert isinstance(better, Calculated)
    assert (usual.standing, better.standing) == (Standing.TOO_CLOSE, Standing.INSIDE)


def test_what_would_give_a_verdict_is_named() -> None:
    known = {"refrigerant": "R-410A", "suction_pressure": 118.0, "suction_line": 52.0}
    bare = calculate(KB, "superheat", known)
    orifice = calculate(KB, "superheat", known | {"metering": "fixed_orifice"})
    assert isinstance(bare, Calculated)
    assert isinstance(orifice, Calculated)
    assert [one.id for one in bare.to_judge] == ["metering"]
    assert [one.id for one in orifice.to_judge] == ["outdoor", "wet_bulb"]


def test_a2l_brings_its_cautions_and_a_wrong_unit_is_refused() -> None:
    result = calculate(KB, "superheat", {"refrigerant": "R-32", "suction_pressure": 120.0, "suction_line": 50.0})
    assert isinstance(result, Calculated)
    assert {"a2l_circuit", "refrigerant"} <= {caution.id for caution in result.cautions}
    refused = calculate(KB, "compression_ratio", {"suction_pressure": Amount(5, "furlong")})
    assert isinstance(refused, Refused)
    assert "use one of psig, kPa, MPa, bar" in refused.sentence


@pytest.mark.parametrize("calculation", KB.calculations)
def test_every_calculation_asks_its_needs_in_order_until_it_has_them(calculation: str) -> None:
    result = calculate(KB, calculation, {})
    assert isinstance(result, Missing)
    assert [one.id for one in result.inputs] == list(KB.calculations[calculation].needs)
    assert result.ask
    assert result.spoken


def test_every_file_of_calculations_has_cases() -> None:
    named = {"refrigeration.yaml", "air.yaml", "electrical.yaml", "heat.yaml", "inputs.yaml"}
    named |= {"asking.yaml", "asking_electrical.yaml"}  # their cases: tests/language/test_asking.py
    assert {p.name for p in (DATA / "calculations").glob("*.yaml")} == named

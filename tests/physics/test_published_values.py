"""The physics against published tables and worked examples; ``published.yaml`` names each source."""

from __future__ import annotations

import ast
from collections import Counter
from inspect import getdoc, getmembers, isfunction
from pathlib import Path
from typing import Any

import pytest

from assistant import physics
from assistant.physics import curves, electricity, heat, units
from assistant.physics.heat import fit_cooling, heat_index_f, heat_index_regression_f
from knowledge.base import load

from .published import Check, Cooling, published

DATA = published()
TABLES: dict[str, Any] = {
    "standard_sizes": DATA.standard_sizes.amps,
    "derating_curve": DATA.derating_curve.rows,
    "humidity_additions": DATA.humidity_additions.rows,
    "copper_60_c": DATA.copper_60_c.amps,
    "single_phase": electricity.Circuit.SINGLE_PHASE,
}
OTHERWISE_COMPARED = {"fit_cooling", "minutes_to_band", "heat_index_regression_f"}
"""Compared with tables below, or (the band) by simulation."""


def public_functions() -> dict[str, Any]:
    found: dict[str, Any] = {name: getattr(electricity, name) for name in electricity.__all__}
    for module in (heat, units, curves):
        found |= {n: f for n, f in getmembers(module, isfunction) if f.__module__ == module.__name__}
    return {name: f for name, f in found.items() if isfunction(f) and not name.startswith("_")}


FUNCTIONS = public_functions()


@pytest.mark.parametrize("check", DATA.checks, ids=lambda check: check.name)
def test_formula_gives_the_sourced_value(check: Check) -> None:
    args = [TABLES.get(arg, arg) if isinstance(arg, str) else arg for arg in check.args]
    result = FUNCTIONS[check.call](*args, **check.given)
    if isinstance(check.gives, str):
        assert result == check.gives
    else:
        assert result == pytest.approx(check.gives, abs=check.within)


def test_every_public_function_is_compared_with_something() -> None:
    assert {check.call for check in DATA.checks} == set(FUNCTIONS) - OTHERWISE_COMPARED


def test_every_value_names_a_source_of_the_bibliography_and_has_its_own_name() -> None:
    entries = (*DATA.checks, *DATA.chart_cells, *DATA.chart_misfits, *DATA.cooling)
    tables = (DATA.standard_sizes, DATA.derating_curve, DATA.humidity_additions, DATA.copper_60_c)
    assert {entry.source for entry in (*entries, *tables)} <= set(load().sources)
    assert [name for name, count in Counter(entry.name for entry in entries).items() if count > 1] == []


def test_every_public_function_says_unit_validity_and_a_source_of_the_bibliography() -> None:
    for name, function in FUNCTIONS.items():
        doc = getdoc(function) or ""
        source = doc.rpartition("Source: ")[2].split(" ")[0].rstrip(".;")
        assert source in load().sources, name


@pytest.mark.parametrize("cell", [c for chart in DATA.chart_cells for c in chart.cells], ids=str)
def test_heat_index_regression_rounds_to_the_printed_chart(cell: tuple[float, float, float]) -> None:
    temp_f, humidity_pct, printed_f = cell
    assert round(heat_index_regression_f(temp_f, humidity_pct)) == printed_f
    humid = humidity_pct > 85 and temp_f <= 87
    assert humid or round(heat_index_f(temp_f, humidity_pct)) == printed_f


@pytest.mark.parametrize("cell", [c for chart in DATA.chart_misfits for c in chart.cells], ids=str)
def test_known_misfit_of_the_printed_chart_is_less_than_a_degree(cell: tuple[float, float, float]) -> None:
    temp_f, humidity_pct, printed_f = cell
    assert round(heat_index_regression_f(temp_f, humidity_pct)) != printed_f
    assert heat_index_regression_f(temp_f, humidity_pct) == pytest.approx(printed_f, abs=0.6)


@pytest.mark.parametrize("example", DATA.cooling, ids=lambda example: example.name)
def test_cooling_fit_gives_the_worked_example(example: Cooling) -> None:
    fit = fit_cooling(
        example.minutes, example.shell_f, example.ambient_f, min_readings=3, min_span_min=20, min_excess_f=15
    )
    assert fit.tau_min == pytest.approx(example.tau_min, abs=0.001)
    assert fit.start_f == pytest.approx(example.start_f, abs=0.001)
    assert fit.largest_residual_f == pytest.approx(example.largest_residual_f, abs=0.005)
    for target_f, minutes in example.targets:
        assert fit.minutes_to(target_f) == pytest.approx(minutes, abs=0.06)


def test_physics_imports_nothing_of_ours() -> None:
    for path in Path(physics.__path__[0]).rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            module = (node.module or "") if isinstance(node, ast.ImportFrom) and not node.level else ""
            if not module.startswith("assistant.physics"):
                assert not module.startswith(("assistant", "knowledge", "speech")), path

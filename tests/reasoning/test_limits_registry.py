"""The knowledge of limits and the code of limits fit together: names, constants, sentences, references."""

from __future__ import annotations

import re
import string

import pytest

from assistant.reasoning.limits import limit_for, pedigree
from assistant.reasoning.limits.formulas import FORMULAS
from knowledge.base import load
from knowledge.models.limit import Limit

KB = load()
LIMITS = tuple(KB.limits.values())
JUDGED = {"low", "high", "far_high", "watch", "edge", "outside", "open", "inside"}
BOUND = re.compile(r"(low|high|warn_low|warn_high|far_high)_([a-z]+)")
SUFFIX = {
    "voltage": "v",
    "current": "a",
    "resistance": "ohm",
    "temperature": "f",
    "temperature_difference": "f",
    "capacitance": "uf",
    "percent": "pct",
    "ratio": "ratio",
    "airflow_per_ton": "cfm",
    "static_pressure": "inwc",
}
PLACES = {
    "ready": {"last", "target"},
    "forecast": {"minutes", "target", "early", "late"},
    "forecast_open": {"minutes", "target"},
    "need_readings": {"have", "need", "span", "excess"},
    "air_too_warm": {"air", "target"},
}


def test_every_formula_of_the_knowledge_is_registered_and_every_registered_one_is_used() -> None:
    assert {limit.formula for limit in LIMITS} == set(FORMULAS)


@pytest.mark.parametrize("limit", LIMITS, ids=lambda limit: limit.id)
def test_constants_are_those_the_formula_declares(limit: Limit) -> None:
    formula, names = FORMULAS[limit.formula], set(limit.constants)
    if formula.bounds:
        found = [BOUND.fullmatch(name) for name in names]
        assert found
        assert all(match and match[2] == SUFFIX[limit.quantity] for match in found), names
    else:
        assert formula.constants <= names <= formula.constants | formula.optional


@pytest.mark.parametrize("limit", LIMITS, ids=lambda limit: limit.id)
def test_sentences_are_those_that_can_be_said_with_their_places(limit: Limit) -> None:
    needed = FORMULAS[limit.formula].says
    assert needed <= set(limit.says) <= needed | JUDGED
    for outcome, text in limit.says.items():
        places = {name for _, name, _, _ in string.Formatter().parse(text) if name is not None}
        assert places == (PLACES.get(outcome, set()) if limit.formula == "cool_down" else set()), outcome
        assert text.endswith((".", "?")), outcome


@pytest.mark.parametrize("limit", LIMITS, ids=lambda limit: limit.id)
def test_references_resolve_and_typical_values_are_possible_ones(limit: Limit) -> None:
    assert limit.quantity in KB.quantities
    assert {c for checks in limit.uses.values() for c in checks} <= set(KB.checks)
    assert {*limit.needs_plate, *limit.optional_plate} <= set(KB.plate_items)
    assert {*limit.defaults, *limit.ranges} <= set(limit.needs_plate)
    assert set(limit.sources) <= set(KB.sources)
    assert limit.sources
    for item, value in limit.defaults.items():
        plausible = KB.plate_items[item].plausible
        assert plausible is not None
        low, high = limit.ranges.get(item, plausible)
        assert plausible[0] <= low <= value <= high <= plausible[1]


@pytest.mark.parametrize("limit", LIMITS, ids=lambda limit: limit.id)
def test_limit_without_a_plate_can_be_shown(limit: Limit) -> None:
    result = limit_for(KB, limit.id, {})
    assert result is not None
    assert set(result.typical) == set(limit.defaults)
    assert set(result.missing) == set(limit.needs_plate) - set(limit.defaults)
    assert len(result.assumed) == len(result.typical)
    assert result.problem == ""


def test_bounds_stay_inside_what_a_meter_can_read() -> None:
    for limit in LIMITS:
        result = limit_for(KB, limit.id, {})
        low, high = KB.quantities[limit.quantity].plausible
        assert result is not None
        if not limit.unit:
            assert all(low <= b <= high for b in (result.low, result.high) if b is not None), limit.id


def test_pedigree_says_how_each_source_is_known() -> None:
    words = pedigree(KB, ("nema_mg1_12_44", "ansi_c84_1", "practice", "ul_5085_3", "practice"))
    assert "NEMA MG 1, 12.44.1 and 12.44.2 (opened)" in words
    assert "ANSI C84.1, table 1 (from memory)" in words
    assert "(as quoted elsewhere)" in words
    assert words.count("ommon practice of the trade, no source") == 1
    assert "not in the bibliography" in pedigree(KB, ("nobody_wrote_this",))

"""Whole visits in a closed loop on units that are not the model: see ``simulated_unit`` for what is drawn.

The limits are the ones the reasoning was designed to: at most one needless repair in ten visits, nine of ten cured.
"""

from __future__ import annotations

import numpy as np
import pytest

from assistant.reasoning.hypotheses import Row
from assistant.reasoning.tables import Tables

from .field_visit import Visit, run_visit
from .simulated_unit import FieldUnit, drawn_unit

VISITS = 160
BREAKER_FIRST = 0.35


def visit(tables: Tables, seed: int) -> Visit:
    """Play one visit with one fault, drawn by the faults' own weights."""
    rng, kb = np.random.default_rng(seed), tables.kb
    weight = np.array([fault.prior for fault in kb.faults.values()])
    fault = str(rng.choice(list(kb.faults), p=weight / weight.sum()))
    kind, plate = drawn_unit(tables.unit, rng)
    grounded = any(change.mode == "ground" for change in kb.faults[fault].sets)
    row = Row((fault,), 1.0, breaker_first=bool(grounded and rng.random() < BREAKER_FIRST))
    return run_visit(tables, FieldUnit(kb, kind, row, rng), plate, ("not_cooling",))


def test_most_visits_are_cured_and_hardly_a_part_is_wasted(tables: Tables, capsys: pytest.CaptureFixture[str]) -> None:
    visits = [visit(tables, seed) for seed in range(VISITS)]
    fixed = sum(v.fixed for v in visits) / VISITS
    needless = sum(len(v.needless) for v in visits) / VISITS
    with capsys.disabled():
        checks = sum(v.checks for v in visits) / VISITS
        minutes = sum(v.minutes for v in visits) / VISITS
        print(f"\n{VISITS} visits: fixed {fixed:.3f}, needless repairs {needless:.3f} per visit, "
              f"{checks:.1f} checks, {minutes:.0f} min")  # fmt: skip

    assert fixed >= 0.9
    assert needless <= 0.1


def test_no_compressor_is_condemned_in_vain_more_than_once_in_fifty_visits(tables: Tables) -> None:
    visits = [visit(tables, seed) for seed in range(1000, 1100)]
    wasted = sum("replace_compressor" in v.needless for v in visits)

    assert wasted <= 2


def test_healthy_units_are_left_alone(tables: Tables) -> None:
    """A false alarm ends without a part. Washing a coil that looks matted counts as no part: it is right anyhow."""
    fitted: list[str] = []
    ends: list[str] = []
    for seed in range(30):
        rng = np.random.default_rng(5000 + seed)
        kind, plate = drawn_unit(tables.unit, rng)
        played = run_visit(tables, FieldUnit(tables.kb, kind, Row((), 1.0), rng), plate, ("not_cooling",))
        fitted += [name for name in played.needless if tables.kb.repairs[name].price != "none"]
        ends.append(played.end)

    assert len(fitted) <= 1
    assert set(ends) <= {"NoFault", "repaired"}

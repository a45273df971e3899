"""Subjects and checks made on demand for any two test points and any lead."""

from __future__ import annotations

from itertools import combinations

import pytest

from knowledge import load
from knowledge.models.check import Amps, Volts
from knowledge.narrowing import configured
from knowledge.points import pair_check_id, pair_id
from knowledge.variants import Configuration

KB = load()
HERE = configured(KB, Configuration("split_psc_240"))
POINTS = HERE.points


def test_the_order_of_two_points_does_not_matter() -> None:
    assert pair_id("T1", "CC") == pair_id("CC", "T1")
    assert POINTS.between("between_cc_t1") == POINTS.between("between_t1_cc")


@pytest.mark.parametrize(
    "wrong", ["between_t1_t1", "between_t1", "between_t1_cc_cr", "between_t1_zz", "contactor_load"]
)
def test_what_is_no_pair_here_is_none(wrong: str) -> None:
    assert POINTS.between(wrong) is None
    assert wrong == "contactor_load" or wrong not in HERE.subjects


def test_a_pair_is_found_and_not_listed() -> None:
    check = pair_check_id("between_cc_t1")
    assert check in HERE.checks
    assert "between_cc_t1" in HERE.subjects
    assert check not in set(HERE.checks)
    assert isinstance(HERE.checks[check].measure, Volts)


def test_between_two_circuits_there_is_no_check() -> None:
    """24 volts to ground depends on how the transformer is bonded (common practice, no source)."""
    assert "between_g_y" in HERE.subjects
    assert pair_check_id("between_g_y") not in HERE.checks


def test_a_point_of_an_option_that_is_not_there_is_none() -> None:
    pump = configured(KB, Configuration("split_psc_240", (("cycle", "heat_pump"),)))
    check = pair_check_id(pair_id("O", "K2"))
    assert check in pump.points.solved
    assert check not in POINTS.solved
    assert POINTS.check(check) is None


def test_a_lead_is_clamped() -> None:
    check = HERE.checks["a_through_lead_r"]
    assert isinstance(check.measure, Amps)
    assert check.measure.through == "lead_r"
    assert POINTS.clamped("l1_ground") is not None


def test_all_pairs_on_one_circuit_are_solved() -> None:
    named = [name for name, node in HERE.units["split_psc_240"].nodes.items() if node.phrases]
    made = [pair_check_id(pair_id(a, b)) for a, b in combinations(named, 2)]
    assert {check for check in made if check in POINTS.solved} == {c for c in made if POINTS.check(c) is not None}


@pytest.mark.parametrize(
    ("pair", "fed"), [("between_cc_t1", False), ("between_c_r", True), ("between_d1_g", True), ("between_g_l1", False)]
)
def test_what_stays_live_with_the_disconnect_open(pair: str, fed: bool) -> None:
    assert HERE.subjects[pair].upstream is fed


def test_every_named_point_says_its_area() -> None:
    for unit in KB.units.values():
        for name, node in unit.nodes.items():
            assert name == "G" or bool(node.phrases) == (node.area is not None), name

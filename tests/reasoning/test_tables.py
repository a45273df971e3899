"""The compiled tables: complete, telling, and the same from the cache."""

from __future__ import annotations

import subprocess
import sys
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from assistant.reasoning.confirming import confirming_power
from assistant.reasoning.predictions import PLAIN
from assistant.reasoning.tables import HEALTHY, UNKNOWN, Tables, compile_tables
from knowledge.base import KnowledgeBase, load
from knowledge.generated import left_out, possible
from knowledge.models.check import Gauge
from knowledge.models.fault import Fault
from tests.knowledge.built_tables import tables_of

SEPARABLE = 0.6
"""Two faults can be told apart where some check's outcomes differ by this total variation distance."""

COOL = "the overload at this terminal has to cool first; then ohms to the shell tell"
ACCEPTED = {
    frozenset(("lead_s_burnt", "open_start_wire_2")): "one look along the wiring finds either; which wire is off tells",
    frozenset(("fuse_2_aged", "ground_comp_aux")): COOL,
    frozenset(("fuse_3_aged", "ground_comp_third")): COOL,
    frozenset(("supply_low", "resistive_comp_overload")): COOL,
    frozenset(("supply_low", "resistive_comp_main")): COOL,
    frozenset(
        ("phase_lost", "open_breaker_3")
    ): "told at the panel only, by whoever is licensed for it; both are referred",
}
"""Pairs of faults with different repairs that no check tells apart, each with its reason."""
SEEN = 0.8
"""Two faults that one look shows this surely need no second check: what is burnt or off tells which it is."""


KINDS = ({}, {"kind": "three_phase"}, {"hard_start": "kit", "crankcase_heater": "fitted"})


@pytest.fixture(params=KINDS, ids=["usual", "three-phase", "hard-start kit"])
def built(request: pytest.FixtureRequest) -> Tables:
    """The tables of each kind of unit, and of one with all that a unit may have besides."""
    return tables_of(request.param)


def outcomes_of(tables: Tables, fault: str | None) -> np.ndarray:
    """Return the planning outcomes of all checks under one fault, averaged over its degrees."""
    rows = np.flatnonzero(tables.alone[fault]) if fault else np.array([HEALTHY])
    weight = tables.prior[rows] / tables.prior[rows].sum()
    return np.asarray(weight @ tables.outcomes.probability[rows])


def distance(tables: Tables, one: np.ndarray, other: np.ndarray) -> float:
    """Return the total variation distance of the check that separates best."""
    apart = np.abs(one - other)
    return max(float(apart[span].sum()) / 2 for span in tables.outcomes.span.values())


def test_prior_sums_to_one_and_every_outcome_is_a_distribution(tables: Tables) -> None:
    assert tables.prior.sum() == pytest.approx(1)
    for span in tables.outcomes.span.values():
        assert tables.outcomes.probability[:, span].sum(axis=1) == pytest.approx(1, abs=1e-5)


def test_every_check_has_predictions_and_every_fact_a_rule(tables: Tables) -> None:
    raw = {check.id for check in tables.kb.checks.values() if isinstance(check.measure, Gauge)}

    assert set(tables.checks) == set(tables.kb.checks) - raw


def test_there_is_a_row_for_every_fault_and_every_compatible_pair_in_the_wiring(built: Tables) -> None:
    kb = built.kb
    for name in kb.faults:
        assert (name,) in built.row_of
    for one, other in combinations(kb.faults, 2):
        same = {c.element for c in kb.faults[one].sets} & {c.element for c in kb.faults[other].sets}
        contradict = set(kb.faults[one].facts) & set(kb.faults[other].facts)
        rare = kb.faults[one].rare or kb.faults[other].rare
        if kb.faults[one].sets and kb.faults[other].sets:
            assert ((one, other) in built.row_of) == (not same and not contradict and not rare)
    pairs = sum(len(faults) == 2 for faults in built.row_of)
    assert pairs <= kb.reasoning.priors.most_pairs


def test_every_fault_changes_what_some_check_shows(built: Tables) -> None:
    healthy = outcomes_of(built, None)
    silent = [f for f in built.fault_ids if distance(built, outcomes_of(built, f), healthy) < SEPARABLE]

    assert silent == []


def test_every_part_and_conductor_has_a_fault(built: Tables) -> None:
    """Written, or made of the element; the way to fail that is left out for all of it has its reason in the data."""
    broken = {change.element for fault in built.kb.faults.values() for change in fault.sets}
    left = left_out(built.kb.generated)
    without = [e for e in built.unit.elements if e.id not in broken]
    assert all((e.id, mode) in left for e in without for mode in possible(e, built.kb.generated))


choices = st.fixed_dictionaries(
    {
        option.id: st.sampled_from([choice.id for choice in option.choices])
        for option in load().units["split_psc_240"].options
    }
)


@settings(max_examples=4, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(choices)
def test_what_is_made_of_a_part_shows_in_some_check_however_the_unit_is_built(told: dict[str, str]) -> None:
    tables = tables_of(told)
    healthy = outcomes_of(tables, None)
    made = [name for name, fault in tables.kb.faults.items() if fault.rare]

    assert len(made) > 60
    assert [f for f in made if distance(tables, outcomes_of(tables, f), healthy) < SEPARABLE] == []


def test_a_chafed_control_wire_lists_the_fuse_that_it_blows(tables: Tables) -> None:
    said = tables.consequences(tables.row_of[("short_near_stat_y",)])
    assert any("low-voltage fuse" in line for line in said)


def test_a_chafed_whip_opens_a_fuse_or_trips_the_breaker(tables: Tables) -> None:
    said = [tables.consequences(h) for h in np.flatnonzero(tables.alone["ground_whip_1"])]
    assert any("fuse 1" in line for lines in said for line in lines)
    assert any("breaker" in line for lines in said for line in lines)


def test_what_is_made_of_an_element_is_rare_and_in_no_pair(built: Tables) -> None:
    made = {name for name, fault in built.kb.faults.items() if fault.rare}
    assert made
    assert not [faults for faults in built.row_of if len(faults) == 2 and made & set(faults)]


def one_look(one: Fault, other: Fault) -> bool:
    """Return True where the same look finds either, and what is burnt or off there tells which."""
    both = one.shows.keys() & other.shows.keys()
    return any(min(1 - one.shows[c].get("fine", 0), 1 - other.shows[c].get("fine", 0)) >= SEEN for c in both)


def test_faults_with_different_repairs_can_be_told_apart(built: Tables) -> None:
    faults = built.kb.faults
    shown = np.array([outcomes_of(built, f) for f in built.fault_ids])
    alike = set()
    for place, name in enumerate(built.fault_ids):
        apart = np.abs(shown[place] - shown)
        best = np.max([apart[:, span].sum(axis=1) / 2 for span in built.outcomes.span.values()], axis=0)
        others = [built.fault_ids[k] for k in np.flatnonzero(best < SEPARABLE)]
        alike |= {
            frozenset((name, other))
            for other in others
            if faults[name].repair != faults[other].repair and not one_look(faults[name], faults[other])
        }

    assert alike - ACCEPTED.keys() == set()


def test_what_is_accepted_as_alike_is_so_somewhere() -> None:
    everywhere = {f for kind in KINDS for f in tables_of(kind).fault_ids}
    assert all(pair <= everywhere for pair in ACCEPTED)


def test_each_repair_can_be_confirmed_for_each_of_its_faults(built: Tables) -> None:
    """The hand-written confirm lists, tested by physics (the leg trap of a lost leg once was in such a list)."""
    for fault in built.kb.faults.values():
        confirm = built.kb.repairs[fault.repair].confirm
        assert max(confirming_power(built, check, (fault.id,)) for check in confirm) > 0.5, fault.id


def test_no_check_of_a_confirm_list_is_there_for_nothing(built: Tables) -> None:
    for repair in built.kb.repairs.values():
        faults = tuple(f.id for f in built.kb.faults.values() if f.repair == repair.id)
        for check in repair.confirm:
            assert confirming_power(built, check, faults) >= 0.3 - 1e-9, f"{repair.id}: {check}"


def test_the_leg_to_ground_reading_does_not_confirm_a_lost_leg(tables: Tables) -> None:
    assert confirming_power(tables, "v_l1_ground", ("breaker_pole_open",)) == 0


def test_consequences_are_told_in_the_order_of_time(tables: Tables) -> None:
    said = tables.consequences(tables.row_of[("cap_fan_open",)])

    assert [word in line for word, line in zip(("fan", "pressure", "contactor", "compressor"), said, strict=True)] == [
        True
    ] * 4


def test_a_healthy_unit_has_no_consequences(tables: Tables) -> None:
    assert tables.consequences(HEALTHY) == ()
    assert tables.consequences(UNKNOWN) == ()


def test_the_cache_gives_the_same_tables(kb: KnowledgeBase, tables: Tables, tmp_path: Path) -> None:
    compile_tables(kb, "split_psc_240", tmp_path)
    cached = compile_tables(kb, "split_psc_240", tmp_path)

    assert [path.suffix for path in tmp_path.iterdir()] == [".npz"]
    for name in PLAIN:
        assert np.array_equal(getattr(cached.predictions, name), getattr(tables.predictions, name), equal_nan=True)
    for name in tables.predictions.senses:
        assert np.array_equal(cached.seen(name), tables.seen(name))


@pytest.mark.parametrize("damage", [b"", b"not a zip", b"PK\x03\x04 torn"])
def test_a_damaged_cache_is_worked_out_again(kb: KnowledgeBase, tmp_path: Path, damage: bytes) -> None:
    compile_tables(kb, "split_psc_240", tmp_path)
    (file,) = tmp_path.iterdir()
    file.write_bytes(damage)

    assert compile_tables(kb, "split_psc_240", tmp_path).prior.sum() == pytest.approx(1)


_AT_ONCE = """
import sys
from pathlib import Path
from assistant.reasoning.tables import compile_tables
from knowledge import load
print(compile_tables(load(), "split_psc_240", Path(sys.argv[1])).prior.sum())
"""


def test_two_programs_that_start_at_once_leave_one_whole_cache(kb: KnowledgeBase, tmp_path: Path) -> None:
    command = [sys.executable, "-c", _AT_ONCE, str(tmp_path)]
    both = [subprocess.Popen(command, stdout=subprocess.PIPE, text=True) for _ in range(2)]  # noqa: S603  # our own
    sums = [float(one.communicate(timeout=120)[0]) for one in both]

    assert sums == pytest.approx([1, 1])
    (file,) = tmp_path.iterdir()
    with np.load(file) as stored:
        assert set(PLAIN) <= set(stored.files)
    assert compile_tables(kb, "split_psc_240", tmp_path).prior.sum() == pytest.approx(1)


def test_a_cache_folder_that_cannot_be_written_does_not_matter(kb: KnowledgeBase, tmp_path: Path) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("in the way")

    assert compile_tables(kb, "split_psc_240", blocked / "cache").prior.sum() == pytest.approx(1)


def test_an_unknown_unit_kind_is_refused_with_the_known_ones(kb: KnowledgeBase) -> None:
    with pytest.raises(KeyError, match="split_psc_240"):
        compile_tables(kb, "window_unit")

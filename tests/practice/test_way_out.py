"""Where the program itself does not repair a unit, the end tells the way that its physics gives.

A potential relay's contact between 1 and 2 is closed at rest: common practice of the trade, no source. An open
capacitor section reads no microfarads: definition of capacitance.
"""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from assistant.practice.desk import PracticeDesk
from assistant.practice.exercise import Exercise, Wish, exercise
from assistant.practice.field_visit import Visit
from assistant.practice.open_exercise import open_exercise
from assistant.practice.score import Score, debrief, given_by_physics
from assistant.practice.way_out import WayOut
from assistant.reasoning.tables import Tables, compile_tables
from knowledge import load
from knowledge.narrowing import configured
from knowledge.variants import Configuration

KIND = "split_psc_240"


def desk_of(folder: Path, *faults: str, built: tuple[str, ...] = ()) -> PracticeDesk:
    start = datetime(2026, 7, 14, 15, tzinfo=UTC)
    return open_exercise(load(), folder, Wish(faults, built=built), seed=3, now=lambda: start)


def test_an_exercise_given_up_on_a_unit_the_program_does_not_mend_ends_with_the_way_of_the_physics(
    tmp_path: Path,
) -> None:
    desk = desk_of(tmp_path, "start_relay_open", built=("kit",))
    end = desk.say("I give up").reply
    assert "PRACTICE OVER" in end
    assert "Shortest path" not in end
    assert 'start relay contact 1-2 confirms "start relay contact burnt open", then replace the hard-start kit' in end


def way_of(*faults: str) -> tuple[tuple[WayOut, ...], Tables, Exercise]:
    built = Configuration(KIND)
    kb = configured(load(), built)
    tables = compile_tables(kb, KIND)
    given = exercise(kb, built, 3, Wish(faults))
    return given_by_physics(tables, given), tables, given


@pytest.mark.parametrize(
    ("fault", "checks"),
    [("cap_herm_open", {"uf_herm", "look_capacitor"}), ("fuse_1_aged", {"r_fuse_1", "v_fuse_1"})],
)
def test_the_check_that_is_told_is_one_on_the_part(fault: str, checks: set[str]) -> None:
    ((way,), _, _) = way_of(fault)
    assert way.check in checks


def test_every_fault_of_two_gets_its_own_check_and_repair() -> None:
    ways, tables, given = way_of("cap_fan_open", "fuse_1_aged")
    assert [(way.fault, way.repair) for way in ways] == [
        ("cap_fan_open", "replace_capacitor"), ("fuse_1_aged", "replace_fuses"),
    ]  # fmt: skip
    assert all(way.check for way in ways)
    ends = debrief(tables.kb, given, Score(), "practice_not_fixed", Visit(), ways)
    assert " ".join(said.screen for said in ends).count(" confirms ") == 2


def test_the_programs_own_path_is_told_where_it_has_one() -> None:
    ways, tables, given = way_of("cap_fan_open")
    ends = " ".join(
        said.screen for said in debrief(tables.kb, given, Score(), "practice_fixed", Visit(fixed=True), ways)
    )
    assert "Shortest path" in ends
    assert "physics" not in ends

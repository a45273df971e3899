"""Whole exercises in conversation: the unit answers, unsafe moves are counted, the end tells how it went."""

from __future__ import annotations

import re
from datetime import UTC, datetime
from pathlib import Path

import pytest

from assistant.practice.desk import PracticeDesk
from assistant.practice.exercise import UnknownFaultError, Wish, exercise
from assistant.practice.open_exercise import open_exercise
from assistant.practice.playing import Player
from assistant.reasoning.diagnosis import Evidence
from knowledge import load
from knowledge.narrowing import configured
from knowledge.variants import Configuration

SAFE = (
    "pulled the disconnect", "locked and tagged", "proved the tester", "leg to leg", "leg 1 to ground",
    "leg 2 to ground", "proved the tester again", "discharged the capacitor through the resistor",
    "dc volts on the capacitor",
)  # fmt: skip
BACK_ON = ("tools clear", "everybody clear", "lock off and power on")
KIND = "split_psc_240"


def desk_of(folder: Path, *faults: str, seed: int = 3, double: bool = False, built: str = "") -> PracticeDesk:
    start = datetime(2026, 7, 14, 15, tzinfo=UTC)
    wish = Wish(faults, double=double, built=tuple(built.split()))
    return open_exercise(load(), folder, wish, seed=seed, now=lambda: start)


@pytest.fixture
def desk(tmp_path: Path) -> PracticeDesk:
    return desk_of(tmp_path, "cap_fan_open", seed=7)


def say(desk: PracticeDesk, *notes: str) -> str:
    return [desk.say(note).reply for note in notes][-1]


def test_a_visit_worked_well_ends_without_a_needless_part_or_an_unsafe_move(desk: PracticeDesk) -> None:
    assert "still" in say(desk, "is the fan turning")
    assert "0.0" in say(desk, *SAFE, "microfarads fan") or "0 µF" in desk.last_reply.reply
    end = closed(desk, most=30)
    assert desk.score.unsafe == []
    assert desk.score.needless == []
    assert "repaired and right" in end
    assert "FAN section of the run capacitor open" in end
    assert "Shortest path" in end


@pytest.mark.parametrize("seed", [3, 4, 5, 6])
def test_proving_ends_though_a_look_or_a_reading_was_misread(tmp_path: Path, seed: int) -> None:
    end = worked_well(desk_of(tmp_path, "cap_fan_open", seed=seed))
    assert "repaired and right" in end


def test_a_capacitor_that_reads_low_under_load_is_settled_off_line(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Common practice, no source: leads off and discharged, a capacitance is measured better than by amps and volts."""
    always_shows(monkeypatch, Evidence("a_fan_cap", 0.3))
    desk = desk_of(tmp_path, "cap_fan_open", seed=7)
    assert "repaired and right" in worked_well(desk)
    assert desk.score.unsafe == []


def test_a_proof_that_fails_after_a_search_in_vain_is_handed_over(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Common practice, no source: what stays unexplained is written down, not measured all day."""
    always_shows(monkeypatch, Evidence("v_pole_1", 0.5))
    desk = desk_of(tmp_path, "cap_fan_open", seed=7)
    assert "Nothing was asked" in worked_well(desk)
    assert "volts across the contactor poles failed again" in say(desk, "what next")


def always_shows(monkeypatch: pytest.MonkeyPatch, found: Evidence) -> None:
    shows = Player.found
    monkeypatch.setattr(Player, "found", lambda self, check: found if check.id == found.check else shows(self, check))


def worked_well(desk: PracticeDesk) -> str:
    """Work a visit to its end, doing what the program asks; return the last it says."""
    say(desk, "is the fan turning", *SAFE, "microfarads fan")
    return closed(desk, most=90)  # with a second search in it


def closed(desk: PracticeDesk, most: int) -> str:
    """Fit the capacitor and do what the program asks, however long the closing list is; return the last it says."""
    end = say(desk, "replaced the capacitor", *BACK_ON, "do it", "gloves and glasses on, ready")
    for _ in range(most):
        if "PRACTICE OVER" in end or "Nothing was asked" in end:
            break
        end = say(desk, "do it")
    return end


def test_a_part_that_was_not_the_cause_is_counted_and_the_fault_stays(desk: PracticeDesk) -> None:
    say(desk, *SAFE, "replaced the fan motor", *BACK_ON)
    assert desk.score.needless == ["replace_fan_motor"]
    assert "still" in say(desk, "is the fan turning")


@pytest.mark.parametrize(
    ("before", "wish", "named"),
    [
        ((), "ohms c to r", "on a live circuit"),
        ((), "volts across the contactor line side", "without the live-work precautions"),
        (SAFE[:2], "look at the capacitor", "without the proof that it is dead"),
        (SAFE[:7], "microfarads fan", "capacitor not discharged"),
    ],
)
def test_an_unsafe_move_is_named_counted_and_reads_nothing(
    desk: PracticeDesk, before: tuple[str, ...], wish: str, named: str
) -> None:
    reply = say(desk, *before, wish)
    assert "UNSAFE MOVE 1" in reply
    assert named in reply
    assert len(desk.score.unsafe) == 1
    assert desk.last_reply.readings == ()


def test_power_back_before_all_is_clear_is_unsafe(desk: PracticeDesk) -> None:
    assert "UNSAFE MOVE" in say(desk, *SAFE, "power is back on")


def test_a_repair_on_a_live_unit_is_unsafe(desk: PracticeDesk) -> None:
    assert "UNSAFE MOVE" in say(desk, "replaced the capacitor")


def test_a_dead_unit_says_nothing_of_itself_and_that_is_no_unsafe_move(desk: PracticeDesk) -> None:
    assert "the disconnect is open" in say(desk, *SAFE, "compressor amps")
    assert desk.score.unsafe == []
    assert desk.score.checks == 0


def test_the_program_keeps_its_thoughts_until_it_is_asked_for_a_hint(desk: PracticeDesk) -> None:
    for note in ("is the fan turning", *SAFE, "microfarads fan"):
        reply = desk.say(note)
        assert reply.next is None
        assert reply.repair is None
        assert reply.suspects == ()
        assert reply.safety_steps == ()
    hint = desk.say("hint")
    assert hint.repair is not None or hint.next is not None
    assert desk.score.hints == 1


def test_the_answer_is_shown_to_who_asks(desk: PracticeDesk) -> None:
    assert "FAN section of the run capacitor open" in say(desk, "reveal")


def test_words_that_fit_several_points_are_asked_back(desk: PracticeDesk) -> None:
    assert "Which one" in say(desk, "voltage at the contactor")


def test_the_plate_is_told_and_known(desk: PracticeDesk) -> None:
    assert "compressor RLA" in desk.greet().reply
    assert "compressor RLA" in say(desk, "nameplate")


def test_a_seed_gives_the_same_unit_and_another_seed_another(tmp_path: Path) -> None:
    built = Configuration(KIND)
    kb = configured(load(), built)
    first, again, other = (exercise(kb, built, seed, Wish()) for seed in (5, 5, 6))
    assert (first.faults, first.plate, first.complaint) == (again.faults, again.plate, again.complaint)
    assert first.plate != other.plate


def test_an_unknown_fault_is_refused_with_what_is_near(tmp_path: Path) -> None:
    with pytest.raises(UnknownFaultError, match="cap_fan_open"):
        desk_of(tmp_path, "cap_fan_opn")


@pytest.mark.parametrize(
    ("fault", "unit"),
    [("fuse_3_aged", "three-phase unit"), ("rv_coil_open", "heat pump"), ("start_relay_open", "hard-start kit")],
)
def test_a_fault_that_only_some_units_have_brings_such_a_unit(tmp_path: Path, fault: str, unit: str) -> None:
    desk = desk_of(tmp_path, fault)
    assert unit in desk.greet().reply
    assert f"--fault {fault}" in say(desk, "reveal")


def test_on_three_phases_the_lost_leg_is_read_and_the_plate_has_no_herm(tmp_path: Path) -> None:
    """Line to line 208 V: 120 V to neutral times the root of three."""
    desk = desk_of(tmp_path, "phase_lost", built="three_phase")
    assert "rated voltage 208 V" in desk.greet().reply
    assert "HERM" not in desk.greet().reply
    say(desk, "gloves and glasses on, ready")
    found = re.search(r"I measure (\d+)", say(desk, "volts L1 to L2, contactor line side"))
    assert found is not None
    assert 195 <= int(found[1]) <= 220


def test_two_faults_are_both_told_and_each_needs_its_repair(tmp_path: Path) -> None:
    desk = desk_of(tmp_path, "cap_fan_weak", "fan_main_open")
    say(desk, *SAFE, "replaced the fan motor", "replaced the capacitor")
    assert desk.score.needless == []
    end = say(desk, "reveal")
    assert "FAN section of the run capacitor weak and fan motor run winding open" in end


def test_a_drawn_pair_is_the_same_again_and_has_two_repairs(tmp_path: Path) -> None:
    built = Configuration(KIND)
    kb = configured(load(), built)
    first, again = (exercise(kb, built, 7, Wish(double=True)) for _ in range(2))
    assert first.faults == again.faults
    assert len({kb.faults[fault].repair for fault in first.faults}) == 2
    assert "--double" in say(desk_of(tmp_path, seed=7, double=True), "reveal")


@pytest.mark.parametrize(
    ("faults", "built", "told"),
    [
        ((), "frob", "There is no unit 'frob'"),
        (("rv_coil_open",), "three_phase", "has no choice for: cycle"),
        (("cap_fan_weak", "cap_fan_open"), "", "of the same part"),
        (("cap_fan_weak", "cap_herm_weak", "fan_main_open"), "", "At most 2 faults"),
        ((), "heat_pump cooling_only", "both heat_pump and cooling_only"),
    ],
)
def test_what_cannot_be_is_refused_with_the_reason(
    tmp_path: Path, faults: tuple[str, ...], built: str, told: str
) -> None:
    with pytest.raises(UnknownFaultError, match=told):
        desk_of(tmp_path, *faults, built=built)


@pytest.mark.parametrize("wish", ["is the fan turning", "does the fan turn", "is the outdoor fan running"])
def test_asking_whether_the_fan_turns_is_a_look_and_no_unsafe_move(desk: PracticeDesk, wish: str) -> None:
    assert "outdoor fan: still" in say(desk, wish)
    assert desk.score.unsafe == []


def test_measure_the_capacitor_asks_for_a_meter_and_not_for_a_look(desk: PracticeDesk) -> None:
    assert "Which one" in say(desk, *SAFE, "measure the capacitor")


def test_gauges_on_a_standing_unit_show_equal_pressures(tmp_path: Path) -> None:
    desk = desk_of(tmp_path, "comp_overload_failed")
    shown = [re.search(r"I measure (\d+) psig", say(desk, wish)) for wish in ("suction pressure", "liquid pressure")]
    low, high = (found[1] for found in shown if found)
    assert low == high


def test_practice_is_kept_apart_from_real_visits_and_says_so_in_its_note(tmp_path: Path) -> None:
    desk = desk_of(tmp_path)
    note = next(path for path in desk.write_note() if path.suffix == ".md")
    assert "no real visit" in note.read_text(encoding="utf-8")
    assert note.is_relative_to(tmp_path)

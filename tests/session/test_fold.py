"""Events to state: what is kept, what taking back does, and what it can never do."""

from __future__ import annotations

import pytest

from assistant.session import events as e
from assistant.session.fold import KEPT, Visit, apply, fold
from assistant.session.state import Power, VisitState

from .made import CLEAR, DEAD, DISCHARGED, ISOLATE, KB, NOON, PROVE, Story, reading

# --- the record ---


def test_opening_names_the_visit() -> None:
    state = Story().state
    assert (state.visit, state.unit_kind, state.phase) == ("2026-07-04-a", "split_psc_240", "intake")
    assert state.opened is not None


def test_numbers_follow_the_events() -> None:
    story = Story()
    story.hear()
    story.read("v_coil", 27.0)
    assert story.state.note == 2
    assert story.state.seq == len(story.visit.events)


def test_a_repeated_check_replaces_what_counts_and_keeps_both_readings() -> None:
    story = Story()
    first, second = story.read("v_coil", 0.0), story.read("v_coil", 27.0)
    assert story.state.readings == (first, second)
    assert story.state.latest == {"v_coil": second}


def test_a_finding_replaces_a_reading_of_the_same_check() -> None:
    story = Story()
    story.read("feel_shell", 95.0)
    found = story.find("compressor_shell", "hot", check="feel_shell", outcomes=("hot",))
    assert story.state.latest == {"feel_shell": found}


def test_a_reading_outside_the_checks_is_kept_and_counts_for_none() -> None:
    story = Story()
    story.read("v_coil", 5.0, check=None)
    assert len(story.state.readings) == 1
    assert story.state.latest == {}


def test_a_check_set_aside_comes_back_with_its_answer() -> None:
    story = Story()
    story.add(e.CheckSkipped, check="v_coil", because="cannot reach it")
    story.add(e.CheckSkipped, check="look_fan", because="dark")
    story.read("v_coil", 27.0)
    assert set(story.state.skipped) == {"look_fan"}


def test_the_small_things_are_kept() -> None:
    story = Story()
    story.add(e.ComplaintReported, complaint="nothing_runs", said="nothing runs")
    story.add(e.PlateRead, item="rla", value=14.0, said="rla 14")
    story.add(e.PlateRead, item="rla", value=14.1, said="rla 14.1")
    story.add(e.ToolMissing, tool="clamp")
    story.add(e.HazardReported, hazard="roof")
    story.add(e.FreeNote, text="dog in the yard")
    story.add(e.Asked, kind="check", id="look_fan")
    story.add(e.VerdictReached, verdict="cannot tell", because=("no meter",))
    state = story.state
    assert [complaint.complaint for complaint in state.complaints] == ["nothing_runs"]
    assert state.plate["rla"].value == 14.1
    assert state.tools_missing == {"clamp"}
    assert state.hazards == {"roof"}
    assert [note.text for note in state.notes] == ["dog in the yard"]
    assert state.asked is not None
    assert state.asked.id == "look_fan"
    assert state.verdict is not None


def test_timers_run_until_they_end_and_restart_when_started_again() -> None:
    story = Story()
    story.add(e.TimerStarted, wait="cool_down", minutes=45, because="hot shell")
    story.add(e.TimerStarted, wait="time_delay", minutes=5, because="delay")
    again = story.add(e.TimerStarted, wait="cool_down", minutes=30, because="still hot")
    story.add(e.TimerEnded, wait="time_delay")
    story.add(e.TimerEnded, wait="never_started")
    assert set(story.state.timers) == {"cool_down"}
    assert (story.state.timers["cool_down"].minutes, story.state.timers["cool_down"].started) == (30, again.at)


def test_a_repair_done_ends_its_own_proposal_only() -> None:
    story = Story()
    proposal = {"cause": ("cap_fan_open",), "probability": 0.9, "evidence": ("0.2 µF",)}
    story.add(e.RepairProposed, repair="replace_capacitor", **proposal)
    story.add(e.RepairDone, repair="replace_contactor", said="contactor too", proposed=False)
    before = story.state
    story.add(e.RepairDone, repair="replace_capacitor", said="done", proposed=True)
    assert before.proposed is not None
    assert story.state.proposed is None
    assert [done.repair for done in story.state.repairs] == ["replace_contactor", "replace_capacitor"]


def test_a_phase_that_does_not_exist_is_not_entered() -> None:
    story = Story()
    story.add(e.PhaseEntered, phase="lunch")
    assert story.state.phase == "intake"


def test_heard_notes_and_replies_leave_no_trace_but_their_number() -> None:
    story = Story()
    before = story.state
    story.hear("what next")
    story.add(e.ReplyGiven, next="look_fan")
    after = story.state
    assert (after.note, after.seq) == (1, before.seq + 2)
    assert all(
        getattr(before, name) == getattr(after, name) for name in VisitState.__slots__ if name not in {"note", "seq"}
    )


# --- taking back: the record ---


def test_a_note_taken_back_leaves_no_trace_in_the_record() -> None:
    story = Story()
    first = story.read("v_coil", 0.0)
    story.read("v_coil", 27.0)
    story.add(e.HazardReported, hazard="roof")
    story.add(e.PhaseEntered, phase="finding")
    story.take_back(2)
    state = story.state
    assert state.readings == (first,)
    assert state.latest == {"v_coil": first}
    assert state.hazards == frozenset()
    assert state.phase == "intake"
    assert state.taken_back == {2}
    assert state.note == 3


def test_an_earlier_note_can_be_taken_back_too() -> None:
    story = Story()
    story.read("v_coil", 0.0)
    kept = story.read("v_contactor_line", 240.0)
    story.take_back(1)
    assert story.state.readings == (kept,)
    assert set(story.state.latest) == {"v_contactor_line"}


def test_taking_back_the_taking_back_brings_the_words_back() -> None:
    story = Story()
    first = story.read("v_coil", 0.0)
    taking = story.take_back(1)
    story.take_back(taking)
    assert story.state.latest == {"v_coil": first}
    assert story.state.taken_back == {taking}


def test_taking_back_a_correction_brings_the_corrected_note_back() -> None:
    story = Story()
    first = story.read("uf_fan", 13.0)
    correcting = story.take_back(1, "correction")
    story.add(e.ReadingTaken, **reading(story.state, "uf_fan", 30.0))
    assert [taken.value for taken in story.state.readings] == [30.0]
    story.take_back(correcting)
    assert story.state.readings == (first,)


@pytest.mark.parametrize("note", [0, 2, 3, 99, -1])
def test_a_note_can_only_take_back_an_earlier_one(note: int) -> None:
    story = Story()
    story.read("v_coil", 0.0)
    before = story.state.latest
    story.take_back(note)
    assert story.state.latest == before
    assert story.state.taken_back == frozenset()
    assert story.state.visit == "2026-07-04-a"


def test_resuming_is_no_word_of_the_technician() -> None:
    story = Story().steps(ISOLATE)
    story.add(e.VisitResumed, knowledge="k2", program="p2")
    story.take_back(story.note)
    assert story.state.power is Power.UNKNOWN


def test_a_closed_visit_is_open_again_when_the_closing_note_is_taken_back() -> None:
    story = Story()
    story.hear("we are done")
    story.add(e.VisitClosed, outcome="repaired")
    story.take_back(1)
    assert (story.state.closed, story.state.phase) == (None, "intake")


# --- taking back: safety ---


@pytest.mark.parametrize("taken", range(1, len(DISCHARGED) + 1))
def test_taking_back_any_step_leaves_the_power_unknown_and_no_proof(taken: int) -> None:
    story = Story().steps(DISCHARGED)
    epoch = story.state.epoch
    story.take_back(taken)
    assert story.state.power is Power.UNKNOWN
    assert story.state.epoch == epoch + 1
    assert story.state.steps_done == ()


def test_taking_back_a_step_of_an_earlier_epoch_counts_as_well() -> None:
    story = Story().steps(DEAD)
    story.add(e.PowerChanged, to="live", because="on")
    story.steps(DEAD)
    story.take_back(1)
    assert story.state.power is Power.UNKNOWN


def test_taking_back_that_power_came_back_does_not_restore_the_proofs() -> None:
    story = Story().steps(DISCHARGED)
    note = story.hear("power is on")
    story.add(e.PowerChanged, to="live", because="power is on")
    story.take_back(note)
    assert story.state.power is Power.UNKNOWN
    assert story.state.steps_done == ()


def test_taking_back_the_taking_back_of_a_step_does_not_restore_the_proofs() -> None:
    story = Story().steps(DEAD)
    story.take_back(story.take_back(len(DEAD)))
    assert story.state.power is Power.UNKNOWN
    story.step(*PROVE[-1])
    assert story.state.power is Power.UNKNOWN


def test_taking_back_a_dangerous_zero_reading_leaves_it_unknown() -> None:
    story = Story().steps(DEAD)
    note = story.step("zero_leg_1", 118.0)
    story.take_back(note, "correction")
    story.add(e.StepConfirmed, step="zero_leg_1", value=1.18, said="1.18")
    assert story.state.power is Power.UNKNOWN


def test_taking_back_a_note_without_steps_keeps_the_proofs() -> None:
    story = Story().steps(DISCHARGED)
    story.read("uf_fan", 13.0)
    story.take_back(story.note, "correction")
    assert story.state.power is Power.DISCHARGED


def test_the_proofs_can_be_done_again_after_taking_back() -> None:
    story = Story().steps(DEAD)
    story.take_back(3)
    assert story.steps(DISCHARGED).state.power is Power.DISCHARGED


def test_a_stop_stays_when_the_note_that_raised_it_is_taken_back() -> None:
    story = Story()
    story.read("r_comp_ground", 900.0)
    story.add(e.StopRaised, stop="comp_grounded", because="900 Ω")
    story.take_back(1)
    assert story.standing() == ["comp_grounded"]


def test_a_stop_stands_again_when_the_re_test_is_taken_back() -> None:
    story = Story()
    story.hear()
    story.add(e.StopRaised, stop="comp_grounded", because="900 Ω")
    note = story.hear()
    story.add(e.StopCleared, stop="comp_grounded", because="OL")
    assert story.standing() == []
    taking = story.take_back(note)
    assert story.standing() == ["comp_grounded"]
    assert "taken back" in story.state.stops[0].because
    story.take_back(taking)
    assert story.standing() == ["comp_grounded"], "not cleared by a word either"


def test_a_stop_raised_twice_stands_once_with_its_first_reason() -> None:
    story = Story()
    story.add(e.StopRaised, stop="wet_electrics", because="first")
    story.add(e.StopRaised, stop="wet_electrics", because="second")
    assert [stop.because for stop in story.state.stops] == ["first"]


# --- the visit as a growing thing ---


def test_extending_leaves_the_earlier_visit_as_it_was() -> None:
    story = Story().steps(ISOLATE)
    before, state, size = story.visit, story.state, len(story.visit.events)
    story.steps(PROVE)
    assert (before.state, len(before.events)) == (state, size)


def test_two_branches_from_one_visit_do_not_see_each_other() -> None:
    story = Story().steps(ISOLATE)
    fork = story.visit
    note = e.FreeNote(at=NOON, seq=99, note=3, text="left")
    other = e.FreeNote(at=NOON, seq=99, note=3, text="right")
    left, right = fork.extended([note]), fork.extended([other])
    assert [text.text for text in left.state.notes] == ["left"]
    assert [text.text for text in right.state.notes] == ["right"]
    assert list(left.events)[:-1] == list(right.events)[:-1] == list(fork.events)
    assert (left.events[-1], right.events[-1]) == (note, other)


def test_events_read_like_a_list() -> None:
    story = Story().steps(ISOLATE)
    events, plain = story.visit.events, list(story.visit.events)
    story.steps(CLEAR)
    assert len(events) == len(plain)
    assert list(reversed(events)) == plain[::-1]
    assert (events[0], events[-1], events[1:3]) == (plain[0], plain[-1], plain[1:3])
    with pytest.raises(IndexError):
        events[len(plain)]


def test_apply_by_single_events_is_the_fold() -> None:
    story = Story().steps(DEAD)
    story.read("v_coil", 27.0)
    story.take_back(story.note)
    state = VisitState()
    for place, event in enumerate(story.visit.events):
        state = apply(state, event, KB, story.visit.events[:place])
    assert state == story.state == fold(story.visit.events, KB)


def test_taking_back_without_the_past_is_a_mistake_of_the_caller() -> None:
    with pytest.raises(ValueError, match="events before"):
        apply(VisitState(), e.NoteTakenBack(at=NOON, note=2, taken_back=1, because="undo"), KB)


def test_notes_far_back_are_taken_back_as_well() -> None:
    story = Story()
    first = story.read("v_coil", 0.0)
    for value in range(3 * KEPT):
        story.read("v_contactor_line", float(value))
    story.take_back(1)
    assert first not in story.state.readings
    assert "v_coil" not in story.state.latest
    story.take_back(5)
    assert story.state.taken_back == {1, 5}
    assert story.state == fold(story.visit.events, KB)


def test_notes_taken_back_one_after_another_in_any_order() -> None:
    for order in ([3, 2, 1], [1, 2, 3], [2, 1, 3]):
        story = Story()
        for value in (1.0, 2.0, 3.0, 4.0):
            story.read("v_coil", value)
        for place, note in enumerate(order):
            story.take_back(note)
            left = [float(kept) for kept in (1, 2, 3, 4) if kept not in order[: place + 1]]
            assert [taken.value for taken in story.state.readings] == left
        assert story.state == fold(story.visit.events, KB)


def test_an_event_that_carries_an_old_number_is_taken_back_with_its_note() -> None:
    story = Story()
    for value in range(2 * KEPT):
        story.read("v_coil", float(value))
    late = e.HazardReported(at=NOON, seq=story.state.seq + 1, note=3, hazard="wet")
    story.visit = story.visit.extended([late])
    story.take_back(3)
    assert story.state.hazards == frozenset()
    assert [taken.value for taken in story.state.readings][:3] == [0.0, 1.0, 3.0]
    assert story.state == fold(story.visit.events, KB)


def test_the_words_heard_are_not_piled_up_in_the_state() -> None:
    story = Story()
    for _ in range(50):
        story.hear("a long story " * 50)
    assert "long story" not in repr(story.state)


def test_an_empty_visit_has_the_first_state() -> None:
    assert Visit(KB).state == VisitState() == fold([], KB)

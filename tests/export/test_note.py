"""What the note says about the invented visits, section by section."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from assistant.export import JobNote, to_markdown
from assistant.export.sections import FindingLine
from assistant.session import events as e
from knowledge import KnowledgeBase

from .conftest import note_of
from .stories import DISCHARGED, Story, fan_capacitor


def line(note: JobNote, check: str, place: int = 0) -> FindingLine:
    return [one for one in note.findings if one.check == check][place]


class TestRepairedVisit:
    """Fan section open: capacitor replaced and proved."""

    @pytest.fixture
    def note(self, notes: dict[str, JobNote]) -> JobNote:
        return notes["fan capacitor"]

    def test_the_summary_tells_the_whole_visit_in_six_lines(self, note: JobNote) -> None:
        short = note.summary

        assert short.complaint == 'it does not cool ("house is hot, AC not cooling")'
        assert short.found == "FAN section of the run capacitor open"
        assert short.because == "capacitance of the FAN section: 1.2 µF (low; should be 4.7 to 5.3 µF)"
        assert short.done == "run capacitor replaced"
        assert short.works == "yes, all 13 proofs good"
        assert short.open == "nothing"

    def test_the_header_names_unit_times_and_versions(self, note: JobNote) -> None:
        head = note.header

        assert note.title == head.place == "12 Example Lane, unit 2 (invented)"
        assert (head.model, head.refrigerant) == ("EX-36-A, serial 0001", "R-410A")
        assert head.opened == datetime(2031, 7, 14, 18, 5, tzinfo=UTC)
        assert head.closed is not None
        assert head.closed_as == "repaired"
        assert head.conditions == ("on a roof",)
        assert (head.program, head.knowledge) == ("0.1.0", "k0")

    def test_plate_values_keep_unit_and_words(self, note: JobNote) -> None:
        plate = {one.item: one for one in note.plate}

        assert plate["cap_herm_uf"].shown == "45 µF"
        assert plate["rla"].shown == "14.5 A"
        assert plate["cap_herm_uf"].said == "cap is 45 over 5"

    def test_readings_carry_limits_verdict_pedigree_and_power_state(self, note: JobNote) -> None:
        herm = next(one for one in note.readings if one.check == "uf_herm")

        # 45 µF marked, 6 % where no tolerance is printed: 42.3 to 47.7 µF (common practice, no source).
        assert (herm.judged.low, herm.judged.high) == (42.3, 47.7)
        assert herm.judged.should_be == "42.3 to 47.7 µF"
        assert herm.judged.verdict == "in range"
        assert "IEC 60252-1" in herm.judged.basis
        assert herm.power == DISCHARGED

    def test_a_reading_before_the_repair_still_counts_and_is_set_beside_the_one_after(self, note: JobNote) -> None:
        assert [line(note, "uf_fan", place).standing for place in (0, 1)] == ["before repair", "counts"]
        assert [(one.before, one.after) for one in note.before_after] == [("1.2 µF", "5.02 µF")]
        assert note.before_after[0].before_verdict == "low"
        assert note.before_after[0].after_verdict == "in range"

    def test_the_cause_has_its_evidence_and_what_followed(self, note: JobNote) -> None:
        (cause,) = note.outcome.causes

        assert note.outcome.kind == "repaired"
        assert cause.faults == ("FAN section of the run capacitor open",)
        assert cause.probability == 0.9634
        assert len(cause.evidence) == 2
        assert cause.consequences == ("high-pressure switch opens after some minutes without air",)

    def test_the_part_is_named_in_trade_terms(self, note: JobNote) -> None:
        (done,) = note.work

        assert done.part == "run capacitor"
        assert "dual run capacitor" in done.specify
        assert done.said == "new 45/5 cap is in, strapped"
        assert not done.unasked
        assert done.unproved == ()

    def test_the_safety_record_holds_every_step_with_its_value(self, note: JobNote) -> None:
        steps = [one for one in note.safety if one.kind == "step"]

        assert [one.shown for one in steps if one.group == "prove_dead"] == ["", "0 V", "0 V", "0 V", ""]
        assert [one.shown for one in steps if one.group == "remove_charge"] == ["", "0.4 V"]
        assert [one.at for one in steps] == sorted(one.at for one in steps)

    def test_the_customer_is_told_in_words_without_trade_letters(self, note: JobNote) -> None:
        assert len(note.advice) == 1
        assert "wearing part" in note.advice[0]

    def test_cautions_of_place_and_repair_are_there_gravest_first(self, note: JobNote) -> None:
        signals = [one.signal for one in note.cautions]

        assert any("Roof" in one.text for one in note.cautions)
        assert signals == sorted(signals, key=["danger", "warning", "caution", "notice"].index)

    def test_what_was_not_understood_is_kept_with_its_whole_note(self, note: JobNote) -> None:
        (one,) = note.unread

        assert one.phrases == ("hot as hell up here",)
        assert one.whole == "on the roof, hot as hell up here"

    def test_the_footer_refuses_to_be_a_licence_and_defers_to_local_codes(self, note: JobNote) -> None:
        foot = " ".join(note.footer)

        assert "not a licence" in foot
        assert "Local codes" in foot
        assert "estimated" in foot


class TestOtherEndings:
    def test_no_fault_found_says_what_was_seen_good_and_what_was_not_proved(self, notes: dict[str, JobNote]) -> None:
        note = notes["no fault"]

        assert note.outcome.kind == "no fault found"
        assert "outdoor fan: turning at speed" in note.outcome.because
        assert note.work == ()
        assert note.summary.works == "as far as proved: 7 of 13 proofs good, 6 are missing"
        assert [(one.kind, one.text, one.reason) for one in note.left_open[:2]] == [
            ("proof not done", "return and supply air", "no thermometer"),
            ("tool", "thermometer", ""),
        ]
        assert {one.text for one in note.left_open if one.kind == "not recorded"} == {
            "fan amps",
            "HERM capacitance under load",
            "fan capacitance under load",
            "volts across the contactor poles",
            "controls cut out",
        }

    def test_a_limit_from_a_typical_plate_value_says_so(self, notes: dict[str, JobNote]) -> None:
        volts = line(notes["no fault"], "v_contactor_line")

        assert "typical rated voltage 230 V assumed" in volts.judged.basis
        assert volts.judged.ok is None
        assert volts.judged.in_order

    def test_cannot_tell_says_what_is_excluded_in_order_possible_and_skipped(self, notes: dict[str, JobNote]) -> None:
        note = notes["cannot tell"]

        assert note.outcome.kind == "cannot tell"
        assert note.summary.found.startswith("the cause could not be told; still possible: high-pressure switch")
        assert note.outcome.because == ("contactor poles", "outdoor fan")
        assert note.outcome.in_order == (
            "outdoor fan (turning at speed)",
            "volts across the contactor line side (239 V)",
        )
        assert note.outcome.still_possible == (
            "high-pressure switch failed open",
            "condensate drain blocked and float switch up",
        )
        skipped = next(one for one in note.left_open if one.kind == "check skipped")
        assert skipped.reason == "can't get at the drain pan, attic is locked"

    def test_a_standing_stop_comes_first_everywhere(self, notes: dict[str, JobNote]) -> None:
        note = notes["stop and undo"]

        assert note.left_open[0].kind == "stop"
        assert note.summary.works.startswith("no, it must not be switched on")
        assert "must stay off" in note.advice[0]
        assert note.summary.open.startswith("STOP: compressor winding to ground")

    def test_what_was_corrected_or_taken_back_is_marked_and_not_counted(self, notes: dict[str, JobNote]) -> None:
        note = notes["stop and undo"]

        assert line(note, "r_coil", 0).standing == "corrected"
        assert line(note, "r_coil", 0).doubts == ("misheard",)
        assert line(note, "r_coil", 1).standing == "counts"
        assert line(note, "look_wiring").standing == "taken back"
        assert [one.shown for one in note.readings if one.check == "r_coil"] == ["15 Ω"]
        assert [(one.why, one.whole) for one in note.unread] == [
            ("corrected", "fifty ohms on the coil"),
            ("taken back", "a wire is loose"),
        ]

    def test_a_resumed_session_stands_in_the_safety_record(self, notes: dict[str, JobNote]) -> None:
        kinds = [one.kind for one in notes["stop and undo"].safety]

        assert kinds.count("resumed") == 1
        assert kinds[-1] == "stop raised"

    def test_a_question_asked_back_and_never_answered_is_left_open(self, notes: dict[str, JobNote]) -> None:
        (question,) = [one for one in notes["stop and undo"].left_open if one.kind == "question"]

        assert question.text == '"0.9": outdoor fan 0.9 A or fan common to run 900 Ω?'

    def test_a_question_answered_later_is_not(self, kb: KnowledgeBase, stories: dict[str, Story]) -> None:
        told = stories["stop and undo"]
        story = Story(kb)
        story.events, story.now, story.note = list(told.events), told.now, told.note
        story.reads("a_fan", 0.9, "amps")

        assert not [one for one in note_of(story).left_open if one.kind == "question"]

    def test_a_visit_broken_off_names_what_was_out_of_order(self, notes: dict[str, JobNote]) -> None:
        note = notes["stop and undo"]

        assert note.outcome.kind == "visit broken off"
        assert note.header.closed is None
        assert note.outcome.out_of_order == (
            "breaker of the outdoor unit: tripped or off",
            "compressor winding to ground: 40 kΩ (low; should be at least 2 MΩ)",
        )

    def test_a_proposed_repair_that_was_not_done_is_found_not_repaired(self, kb: KnowledgeBase) -> None:
        story = fan_capacitor(kb)
        proposal = next(place for place, one in enumerate(story.events) if isinstance(one, e.RepairProposed))
        story.events = story.events[: proposal + 1]
        note = note_of(story)

        assert note.outcome.kind == "found, not repaired"
        assert note.summary.found == "FAN section of the run capacitor open"
        assert note.summary.done == "not done: replace the run capacitor"
        assert note.left_open[0].kind == "repair"

    def test_a_referral_is_a_referral_and_not_a_repair(self, kb: KnowledgeBase) -> None:
        story = Story(kb)
        story.reads("p_standing", 3.0, "three pounds")
        cause = ("charge_lost",)
        story.add(e.RepairProposed, repair="refer_leak", cause=cause, probability=0.9, evidence=("got 3 psig",))
        story.says("done, told them")
        story.add(e.RepairDone, repair="refer_leak", said="done, told them", proposed=True)
        story.add(e.VerdictReached, verdict="referred", because=("leak search by a certified technician",))
        note = note_of(story)

        assert note.outcome.kind == "referred"
        assert [cause.faults for cause in note.outcome.causes] == [("refrigerant charge lost",)]
        assert note.work[0].unproved == ()

    def test_an_unasked_repair_claims_no_cause(self, kb: KnowledgeBase) -> None:
        story = Story(kb)
        story.says("swapped the contactor")
        story.add(e.RepairDone, repair="replace_contactor", said="swapped the contactor", proposed=False)
        note = note_of(story)

        assert note.summary.found == "no cause was established before the repair"
        assert note.summary.done == "contactor replaced (unasked)"
        assert note.work[0].unasked

    def test_work_on_a_unit_not_proved_safe_stands_in_the_record_with_the_missing_steps(
        self, kb: KnowledgeBase
    ) -> None:
        story = Story(kb)
        story.step("disconnect_open", "pulled it")
        story.says("swapped the cap")
        story.add(e.RepairDone, repair="replace_capacitor", said="swapped the cap", proposed=False)
        note = note_of(story)

        missing = note.work[0].unproved
        assert "own lock and tag on" in missing
        assert "volts leg to leg" in missing
        assert "disconnect opened" not in missing
        assert note.safety[-1].kind == "unproved work"
        assert "NOT PROVED SAFE" in to_markdown(note)

    def test_a_zero_reading_that_is_not_zero_is_called_not_safe(self, kb: KnowledgeBase) -> None:
        story = Story(kb)
        story.step("zero_leg_to_leg", "one eighteen", 118.0)

        assert note_of(story).safety[0].reason == "NOT SAFE: above 2 V"

    def test_a_safety_step_taken_back_stays_in_the_record_and_the_power_is_unknown(self, kb: KnowledgeBase) -> None:
        story = Story(kb)
        story.step("disconnect_open", "disconnect pulled")
        story.says("take that back")
        story.takes_back(1)
        step, lost = note_of(story).safety

        assert step.taken_back
        assert lost.kind == "power"
        assert "unknown" in lost.text

    def test_a_step_that_was_refused_is_kept_with_the_words_that_did_not_count(self, kb: KnowledgeBase) -> None:
        story = Story(kb)
        story.says("leg to leg zero", heard=("safety",))
        story.add(e.Asked, kind="step", id="tester_before")
        story.says("what next", heard=("request",))
        note = note_of(story)

        assert [(one.why, one.whole) for one in note.unread] == [("did not count", "leg to leg zero")]
        assert not [one for one in note.safety if one.kind == "step"]

    def test_a_bad_proof_after_the_repair_is_said_plainly(self, kb: KnowledgeBase) -> None:
        story = fan_capacitor(kb)
        story.says("it trips again")
        story.add(e.ProofRecorded, item="prove_start", verdict="bad", words="it trips again")
        note = note_of(story)

        assert note.summary.works == "no: fan and compressor start together not good"
        assert note.left_open[0].kind == "proof bad"
        assert any("not good" in words for words in note.advice)

    def test_a_search_that_goes_on_after_a_verdict_is_judged_by_its_end(self, kb: KnowledgeBase) -> None:
        story = Story(kb)
        story.says("that is all I have")
        story.add(e.VerdictReached, verdict="cannot tell", because=("nothing more to check",))
        story.reads("uf_fan", 1.0, "one")
        evidence = ("got 1 µF",)
        cause = ("cap_fan_open",)
        story.add(e.RepairProposed, repair="replace_capacitor", cause=cause, probability=0.95, evidence=evidence)

        assert note_of(story).outcome.kind == "found, not repaired"

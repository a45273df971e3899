"""Readings, times, long and strange input, and the words for the customer."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone

import pytest

from assistant.export import build_note, to_json, to_markdown, to_text
from assistant.export.wording import percent
from assistant.session import events as e
from assistant.session.state import VisitState
from knowledge import KnowledgeBase

from .conftest import MADE_AT, note_of
from .stories import Story


class TestReadings:
    def test_over_limit_and_ranges_are_shown_as_such(self, kb: KnowledgeBase) -> None:
        story = Story(kb)
        story.reads("r_coil", None, "OL on the coil")
        story.reads("uf_herm", 38.0, "38 to 40", high=40.0, doubts=("approximate",))
        note = note_of(story)

        assert [one.shown for one in note.readings] == ["over limit (OL)", "38 to 40 µF"]
        assert note.readings[0].judged.verdict == "open"
        assert note.readings[1].doubts == ("approximate",)

    def test_an_unproved_power_state_is_a_doubt_of_the_reading(self, kb: KnowledgeBase) -> None:
        story = Story(kb)
        story.reads("uf_fan", 1.2, "1.2", proved=False)

        assert note_of(story).readings[0].doubts == ("power state not proved",)

    def test_a_reading_taken_again_without_a_repair_between_does_not_count(self, kb: KnowledgeBase) -> None:
        story = Story(kb)
        story.reads("uf_fan", 1.2)
        story.reads("uf_fan", 1.3)
        note = note_of(story)

        assert [one.standing for one in note.findings] == ["read again", "counts"]
        assert [one.value for one in note.readings] == [1.3]

    def test_a_reading_outside_the_curated_checks_is_kept_without_a_verdict(self, kb: KnowledgeBase) -> None:
        story = Story(kb)
        story.reads("a_fan", 4.2, "4.2 amps on the blower", check=None, about="blower")
        (reading,) = note_of(story).readings

        assert reading.name == "indoor blower, amps"
        assert reading.shown == "4.2 A"
        assert reading.judged.should_be == ""


class TestLongWords:
    def test_a_long_complaint_is_cut_in_the_summary_and_whole_below(self, kb: KnowledgeBase) -> None:
        story = Story(kb)
        words = "and then it stopped again " * 40
        story.complains("not_cooling", words)
        note = note_of(story)

        assert len(note.summary.complaint) < 160
        assert note.summary.complaint.endswith('…")')
        assert " ".join(words.split()) in to_markdown(note)


class TestTime:
    def test_times_are_in_the_zone_of_made_at_and_say_which(self, stories: dict[str, Story]) -> None:
        story = stories["fan capacitor"]
        made_at = MADE_AT.astimezone(timezone(timedelta(hours=5, minutes=30)))
        note = build_note(story.state, story.events, story.kb, made_at=made_at)

        assert note.zone == "UTC+05:30"
        # 18:05 UTC is 23:35 at +05:30, and the visit runs past midnight there.
        text = to_text(note)
        assert "2031-07-14 23:35" in text
        assert "2031-07-15 00:" in text

    def test_utc_is_called_utc(self, stories: dict[str, Story]) -> None:
        story = stories["fan capacitor"]

        assert build_note(story.state, story.events, story.kb, made_at=MADE_AT.astimezone(UTC)).zone == "UTC"

    def test_a_time_without_zone_is_refused(self, kb: KnowledgeBase) -> None:
        with pytest.raises(ValueError, match="time zone"):
            build_note(VisitState(), (), kb, made_at=datetime(2031, 7, 14))  # noqa: DTZ001  # the point


class TestStrangeInput:
    def test_an_empty_visit_still_gives_a_note(self, kb: KnowledgeBase) -> None:
        note = build_note(VisitState(), (), kb, made_at=MADE_AT)

        assert note.outcome.kind == "visit broken off"
        assert note.summary.complaint == "none recorded"
        for render in (to_markdown, to_text, to_json):
            assert render(note).strip()

    def test_ids_that_todays_knowledge_no_longer_has_are_shown_in_words(
        self, kb: KnowledgeBase, stories: dict[str, Story]
    ) -> None:
        story = stories["fan capacitor"]
        bare = replace(
            kb,
            checks={},
            faults={},
            repairs={},
            subjects={},
            states={},
            quantities={},
            steps={},
            cautions={},
            plate_items={},
            hazards={},
            complaints={},
            close_out={},
        )
        note = build_note(story.state, story.events, bare, made_at=MADE_AT)

        assert note.outcome.causes[0].faults == ("cap fan open",)
        assert "1.2 µF" in to_markdown(note)

    def test_numbers_that_are_none_do_not_break_a_note(self, kb: KnowledgeBase) -> None:
        story = Story(kb)
        story.reads("uf_fan", float("nan"), "nan")
        story.reads("v_contactor_line", float("inf"), "1e999")
        note = note_of(story)

        assert "not a number" in to_text(note)
        assert '"value": null' in to_json(note)


class TestAdvice:
    def test_every_repair_has_a_word_for_the_customer(self, kb: KnowledgeBase) -> None:
        assert [repair.id for repair in kb.repairs.values() if not repair.advice] == []

    def test_advice_holds_no_letters_that_only_the_trade_reads(self, kb: KnowledgeBase) -> None:
        letters = {"HERM", "RLA", "LRA", "MCA", "MOCP", "PSC", "NEC", "OL", "Ω", "µF"}

        assert [one.id for one in kb.repairs.values() if letters & set(one.advice.replace(",", "").split())] == []


class TestRecord:
    """The note is a record for people who were not there."""

    def test_evidence_speaks_to_nobody(self, kb: KnowledgeBase) -> None:
        for name, words in kb.reasoning.sentences.items():
            assert not re.search(r"\byou", words), name

    def test_near_certainty_is_never_told_as_certainty(self) -> None:
        assert [percent(value) for value in (1.0, 0.992, 0.9, 0.004)] == ["over 99 %", "over 99 %", "90 %", "under 1 %"]

    def test_every_reading_stands_once_with_its_limit(self, stories: dict[str, Story]) -> None:
        note = note_of(stories["fan capacitor"])
        for text in (to_markdown(note), to_text(note)):
            words = " ".join(text.split())
            assert len(re.findall(r"13:28 .{,20}capacitance of the FAN section", words)) == 1
            assert words.index("13:25") < words.index("13:28") < words.index("13:29")
        assert "| 1.2 µF (low) | 4.7 to 5.3 µF | a | charge removed | fan side reads 1.2 |" in to_markdown(note)

    def test_what_was_assumed_is_explained(self, kb: KnowledgeBase) -> None:
        story = Story(kb)
        story.reads("uf_fan", 4.9, "4.9", doubts=("assumed",))
        assert "Assumed: the unit or the measuring point was not said" in to_markdown(note_of(story))

    def test_tools_that_were_not_at_hand_are_one_point(self, kb: KnowledgeBase) -> None:
        story = Story(kb)
        story.add(e.ToolMissing, tool="multimeter")
        story.add(e.ToolMissing, tool="thermometer")
        assert [point.text for point in note_of(story).left_open if point.kind == "tool"] == [
            "multimeter and thermometer"
        ]

    def test_a_calculated_proof_does_not_say_its_value_twice(self, kb: KnowledgeBase) -> None:
        story = Story(kb)
        words = "45.2 µF: in range, 42.3 to 47.7 µF."
        story.add(e.ProofRecorded, item="prove_cap_load", verdict="good", value=45.2, unit="µF", words=words)
        assert to_markdown(note_of(story)).count("45.2 µF") == 1

    def test_a_proof_that_asks_for_a_number_says_where_none_was_given(self, kb: KnowledgeBase) -> None:
        story = Story(kb)
        story.add(e.ProofRecorded, item="prove_volts", verdict="good", words="yes")
        story.add(e.ProofRecorded, item="prove_start", verdict="good", words="yes")
        text = " ".join(to_text(note_of(story)).split())
        assert "volts under load: good, no value given;" in text
        assert text.count("no value given") == 1

    def test_words_not_understood_are_named_apart_only_where_they_are_a_part(self, kb: KnowledgeBase) -> None:
        story = Story(kb)
        story.says("flibber", "flibber")
        story.says("3 ton, rla 18", "3 ton")
        text = to_text(note_of(story))
        assert 'not understood: "flibber"\n' in text
        assert 'understood in part: "3 ton, rla 18"; but not: "3 ton"\n' in text

    def test_a_step_said_again_and_again_stands_once_and_a_title_keeps_its_letters(self, kb: KnowledgeBase) -> None:
        story = Story(kb, "2031-07-14-a")
        for _ in range(3):
            story.step("zero_leg_to_leg", "0", 0.0)
        text = to_text(note_of(story))
        assert text.startswith("Job note: 2031-07-14-a\n")
        assert text.count("volts leg to leg 0 V") == 1

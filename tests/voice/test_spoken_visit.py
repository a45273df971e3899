"""A whole demo visit, spoken: the job note states the same facts as the note of the visit typed."""

from __future__ import annotations

from pathlib import Path

from knowledge import load
from tests.speech_sounds import voices
from tests.speech_visits import aloud, breaths, by_voice, differences, facts

VOICE = "slt" if "slt" in voices() else "espeak-ng"


def test_numbers_and_short_forms_are_said_in_words() -> None:
    kb = load()
    assert breaths("cap is a 45/5, RLA 14.5. by myself") == ["cap is a 45/5", "RLA 14.5", "by myself"]
    assert aloud("cap is a 45/5", kb) == "cap is a forty five over five"
    assert aloud("RLA 14.5", kb) == "r l a fourteen point five"
    assert aloud("238 line side", kb) == "two thirty eight line side"
    assert aloud("fan .9", kb) == "fan zero point nine"


def test_a_fact_that_differs_is_found_and_a_quotation_is_not() -> None:
    spoken = {"readings": [{"value": 15.0, "said": "fifteen"}]}
    assert list(differences(facts(spoken), facts({"readings": [{"value": 15.0, "said": "15"}]}))) == []
    assert list(differences(facts(spoken), facts({"readings": [{"value": 50.0, "said": "50"}]})))


def test_a_spoken_visit_ends_with_the_same_job_note(tmp_path: Path, cache: Path) -> None:
    kb = load()
    counts, differ = by_voice("cannot_tell", kb, tmp_path, cache, VOICE, None)
    assert differ == []
    assert counts["typed"] <= 2, counts  # the least that is still a spoken visit

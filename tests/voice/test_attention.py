"""The attention word: said before a note it is for us, everything else is not; off by default."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.settings import Settings
from assistant.voice.lesson import lesson_of
from assistant.voice.listening import Choices, Source, Trouble, Voice, choices_of, without_attention
from knowledge import load
from tests.speech_sounds import at_the_unit, said, voices, write_wave
from tests.voice.phrases import desk_at, phrase

VOICE = "slt" if "slt" in voices() else "espeak-ng"
NOTE = "fan blade spins free"


def test_it_is_off_by_default() -> None:
    assert choices_of(Settings()).attention == ""


@pytest.mark.parametrize("heard", ["partner contactor is out", "partners contactor is out"])
def test_it_is_told_loosely_and_taken_off(heard: str) -> None:
    called = without_attention(phrase(heard), "partner")
    assert called is not None
    assert called.hypotheses[0].text == "contactor is out"


@pytest.mark.parametrize("heard", ["contactor is out", "partner", "the partner is out"])
def test_without_it_before_a_note_nobody_was_called(heard: str) -> None:
    assert without_attention(phrase(heard), "partner") is None


def test_it_is_taught_before_notes_and_only_where_it_is_chosen() -> None:
    kb = load()
    assert any(sentence.startswith("hey_partner ") for sentence in lesson_of(kb, "Hey partner").sentences)
    assert not any("partner" in sentence for sentence in lesson_of(kb).sentences)


def test_only_a_note_behind_the_word_is_taken(tmp_path: Path, cache: Path) -> None:
    path = tmp_path / "said.wav"
    write_wave(path, *(at_the_unit(said(words, VOICE), 30) for words in (NOTE, f"partner {NOTE}", NOTE)))
    voice = Voice(desk_at(tmp_path), cache, Choices(attention="partner"))
    came = list(voice.notes(Source("file", path)))
    voice.close()
    assert [one.note.split()[0] for one in came if not isinstance(one, Trouble)] == ["fan"]


def test_a_word_without_sounds_is_told_and_everything_is_taken(tmp_path: Path, cache: Path) -> None:
    path = tmp_path / "said.wav"
    write_wave(path, *(at_the_unit(said(NOTE, VOICE), 30) for _ in range(2)))
    voice = Voice(desk_at(tmp_path), cache, Choices(attention="qwrtzx"))
    heard, told, *_ = voice.notes(Source("file", path))
    voice.close()
    assert not isinstance(heard, Trouble)
    assert heard.note.startswith("fan")
    assert "attention word" in str(told)

"""Spoken notes from a file and from a pipe, through the real child and the real recogniser, to replies."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest

from assistant.plain import hear_json, hear_plain
from assistant.voice.listening import Source, Trouble, Voice
from tests.speech_sounds import at_the_unit, said, voices, write_wave
from tests.voice.phrases import desk_at

VOICE = "slt" if "slt" in voices() else "espeak-ng"
NOTES = ("contactor is not pulled in", "she wrote a long letter to her grandmother in spain", "what next")


@pytest.fixture(scope="module")
def recording(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("sound") / "notes.wav"
    write_wave(path, *(at_the_unit(said(note, VOICE), 30, seed) for seed, note in enumerate(NOTES)))
    return path


def test_a_recording_becomes_one_json_reply_per_spoken_note(tmp_path: Path, cache: Path, recording: Path) -> None:
    desk, out = desk_at(tmp_path), io.BytesIO()
    voice = Voice(desk, cache)
    assert hear_json(desk, voice, Source("file", recording), None, out) == 0
    voice.close()
    replies = [json.loads(line) for line in out.getvalue().splitlines()]
    assert len(replies) == len(NOTES)
    assert all(reply["notice"] is None for reply in replies)
    contactor, letter, _ = replies
    said_of = [item["about"] for item in contactor["heard"]] or contactor["not_understood"]
    assert said_of in (["contactor"], ["contactor is not pulled in"])
    assert letter["heard"] == []


def test_a_pipe_of_raw_sound_is_heard_like_the_file(tmp_path: Path, cache: Path) -> None:
    desk = desk_at(tmp_path)
    voice = Voice(desk, cache)
    sound = at_the_unit(said("contactor is not pulled in", VOICE), 30).astype("<i2").tobytes()
    (came,) = voice.notes(Source("sent"), io.BytesIO(sound))
    voice.close()
    assert not isinstance(came, Trouble)
    assert came.note == "contactor is not pulled in"


def test_a_file_that_cannot_be_heard_is_a_sentence_and_an_exit_code(tmp_path: Path, cache: Path) -> None:
    desk, out, lines = desk_at(tmp_path), io.BytesIO(), io.StringIO()
    for run, stream in ((hear_json, out), (hear_plain, lines)):
        voice = Voice(desk, cache)
        assert run(desk, voice, Source("file", tmp_path / "none.wav"), None, stream) == 2  # type: ignore[operator, arg-type]
        voice.close()
    assert "There is no file" in json.loads(out.getvalue())["notice"]
    assert "NOTICE: There is no file" in lines.getvalue()

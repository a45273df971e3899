"""The child process: its protocol, an engine that dies, and nonsense on its input."""

from __future__ import annotations

import base64
import io
import json
import sys
import threading
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from assistant.voice.worker import SpeechWorker
from speech import child
from speech.child import Child
from speech.levels import RATE, Samples
from speech.messages import Hypothesis, Lesson, Message, Phrase, read_message
from speech.recogniser import Recognised
from tests.speech_sounds import at_the_unit, said, write_wave


class Echo:
    """Recognises every phrase as its length."""

    name = "echo"

    def teach(self, lesson: Lesson) -> list[str]:
        return [word for word in lesson.words() if word == "unsayable"]

    def begin(self) -> None:
        self.size = 0

    def take(self, samples: Samples) -> None:
        self.size += samples.size

    def finish(self) -> Recognised:
        return Recognised((Hypothesis(str(self.size), 0.0),), 0.9, 0.8)


@pytest.fixture
def lesson(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    monkeypatch.setattr(child, "_recogniser", lambda _model, _cache: Echo())
    path = tmp_path / "lesson.json"
    path.write_text(
        json.dumps({"sentences": ["unsayable note"], "pronunciations": {}, "openers": []}), encoding="utf-8"
    )
    return str(path)


class Line(io.BytesIO):
    """Both ends of the child: commands in, and an end of the input only after all of them were done."""

    def __init__(self, commands: Sequence[Message | bytes]) -> None:
        super().__init__()
        self._lines = [one if isinstance(one, bytes) else json.dumps(one).encode() for one in commands]
        self._to_do = sum(isinstance(one, dict) and one["do"] in {"teach", "listen", "speak"} for one in commands)
        self._all_done = threading.Event()
        self.events: list[Message] = []

    def __iter__(self) -> Iterator[bytes]:
        yield from self._lines
        assert self._all_done.wait(60)

    def write(self, data: Any) -> int:
        message = read_message(bytes(data)) or {}
        self.events.append(message)
        self._to_do -= message == {"event": "state", "state": "idle"}
        if self._to_do <= 0:
            self._all_done.set()
        return len(data)


def events_of(*commands: Message | bytes) -> list[Message]:
    line = Line(commands)
    Child(line, line).run()
    return line.events


def test_a_file_gives_one_phrase_for_each_listen_and_says_its_end(lesson: str, tmp_path: Path) -> None:
    path = tmp_path / "two.wav"
    write_wave(path, at_the_unit(said("contactor is out"), 20), at_the_unit(said("twenty seven at the coil"), 20))
    listen = {"do": "listen", "source": "file", "path": str(path)}
    events = events_of({"do": "teach", "lesson": lesson, "cache": str(tmp_path)}, listen, listen, listen)
    told = [one["event"] for one in events if one["event"] in {"ready", "heard", "ended"}]
    assert told == ["ready", "heard", "heard", "ended"]
    first = Phrase.from_message(next(one for one in events if one["event"] == "heard"))
    assert first.snr_db == pytest.approx(20, abs=6)
    assert {"event": "state", "state": "listening"} in events
    assert next(one for one in events if one["event"] == "ready")["missing"] == ["unsayable"]


def test_sent_sound_is_heard_like_a_file(lesson: str, tmp_path: Path) -> None:
    sound = at_the_unit(said("contactor is out"), 20).astype("<i2").tobytes()
    blocks = [base64.b64encode(sound[start : start + 3200]).decode() for start in range(0, len(sound), 3200)]
    commands = [
        {"do": "teach", "lesson": lesson, "cache": str(tmp_path)},
        *({"do": "audio", "pcm": block} for block in blocks),
        {"do": "audio_end"},
        {"do": "listen", "source": "sent"},
        {"do": "listen", "source": "sent"},
    ]
    events = [message["event"] for message in events_of(*commands)]
    assert events.count("heard") == 1
    assert events.count("taken") == len(blocks)
    assert "ended" in events


def test_a_note_with_a_pause_is_heard_whole_and_one_that_ended_is_heard_once(
    lesson: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    heard: list[int] = []

    class Counting(Echo):
        def finish(self) -> Recognised:
            heard.append(self.size)
            return super().finish()

    monkeypatch.setattr(child, "_recogniser", lambda _model, _cache: Counting())
    word = np.concatenate([said("coil"), np.zeros(RATE * 3 // 10, np.int16), said("coil")])  # 0.3 s between
    path = tmp_path / "pause.wav"
    write_wave(path, at_the_unit(word, None))
    listen = {"do": "listen", "source": "file", "path": str(path)}
    events = events_of({"do": "teach", "lesson": lesson, "cache": str(tmp_path)}, listen)
    phrases = [Phrase.from_message(one) for one in events if one["event"] == "heard"]
    assert [one.hypotheses[0].text for one in phrases] == [str(heard[-1])]  # the words of the whole, heard ahead
    assert heard[-1] > word.size - RATE // 2
    assert len(heard) == 2  # at the pause, and at the end


def test_nonsense_on_the_input_is_left_out(lesson: str, tmp_path: Path) -> None:
    listen = {"do": "listen", "source": "file", "path": "none.wav"}
    events = events_of(b"not json", b"[1, 2]", b'{"do": 5}', b"\xff\xfe", listen)
    assert [one["kind"] for one in events if one["event"] == "trouble"] == ["no_file"]


def test_a_child_that_dies_is_started_once_more_and_that_is_said(tmp_path: Path) -> None:
    dies = (sys.executable, "-c", "import sys; sys.stdin.readline(); sys.stdin.readline()")
    worker = SpeechWorker(tmp_path / "lesson.json", tmp_path, command=dies)
    said_words = []
    for _ in range(2):
        worker.send({"do": "listen"})
        said_words.append(next(worker.events(timeout_s=20)))
    worker.close()
    assert [one["kind"] for one in said_words] == ["restarted", "died"]
    assert "Say it again" in said_words[0]["remedy"]
    assert "Typing goes on" in said_words[1]["remedy"]


def test_what_a_child_prints_that_is_no_message_is_left_out(tmp_path: Path) -> None:
    talks = (sys.executable, "-c", "print('ALSA lib warning'); print('{\"event\": \"ended\"}')")
    worker = SpeechWorker(tmp_path / "lesson.json", tmp_path, command=talks)
    worker.send({"do": "listen"})
    assert next(worker.events(timeout_s=20)) == {"event": "ended"}
    worker.close()


def test_the_talk_key_ends_a_listening_in_which_nothing_was_said(lesson: str, monkeypatch: pytest.MonkeyPatch) -> None:
    line = Line([{"do": "teach", "lesson": lesson, "cache": "."}, {"do": "listen"}])
    heard = run_child(line, monkeypatch)
    assert [one["event"] for one in line.events if one["event"] == "nothing_heard"] == ["nothing_heard"]
    assert heard < 20


def run_child(line: Line, monkeypatch: pytest.MonkeyPatch) -> int:
    """Run the child on a silent microphone whose technician taps the key after ten frames; return the frames."""
    given = 0
    made = Child(line, line)  # type: ignore[arg-type]

    class Silent:
        lost = False

        def frames(self) -> Iterator[Samples]:
            nonlocal given
            for given in range(1, 1000):
                if given == 10:
                    made._interrupt.set()
                yield np.zeros(480, np.int16)

        def close(self) -> None:
            pass

    monkeypatch.setattr(child.devices, "open_microphone", lambda _name: Silent())
    made.run()
    return given

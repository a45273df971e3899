"""Whole demo visits by voice: ``python -m tests.speech_visits [NAME ...] [--voice slt] [--keep FOLDER]``.

First a synthetic technician says the notes of a demo visit, one breath after the other, and answers what the voice
asks back: yes to the right words, no to wrong ones and then the words again, typed after three tries. That makes
recordings and a list of turns. The recordings are then played into the real child process, as ``--audio`` does, and
the job note must state the same facts as the note of the same visit typed.
"""

from __future__ import annotations

import argparse
import json
import re
import sys
import tempfile
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import timedelta
from pathlib import Path
from typing import Any

import numpy as np

from assistant.demo import DemoVisit, ReplayClock, demo_folder, read_demo
from assistant.desk import Desk
from assistant.open_visit import Visits
from assistant.voice.lesson import lesson_of
from assistant.voice.listening import Source, Trouble, Voice
from assistant.voice.number_speech import NumberSpeaker
from assistant.voice.talk import Talk
from knowledge import KnowledgeBase, load
from speech.levels import FRAME, Gate, Samples
from speech.recogniser import Recogniser
from speech.sphinx import SphinxRecogniser
from tests.benchmarks.speech import hearings, meaning
from tests.speech_sounds import at_the_unit, said, voices, write_wave

TRIES = 3
"""Times that the same words are said before they are typed."""
_BREATH = re.compile(r"[,.]\s+")
_NUMBER = re.compile(r"\d*\.?\d+")
_SPELT = {"rla": "r l a", "lra": "l r a", "fla": "f l a", "txv": "t x v", "runnin": "running"}
_WORDING = frozenset({"said", "whole", "words", "reason", "note"})
"""Fields of a job note that quote the technician (digits are typed where words are said) or count the notes."""


@dataclass(frozen=True)
class Turn:
    """One breath: said (with the phrases that it is cut into) or typed."""

    text: str
    minutes: float
    phrases: int = 0
    """0: typed, because it was not heard after all tries."""


@dataclass
class Recorded:
    """A visit as it went by voice: per start of the program the turns and the sounds of them."""

    runs: list[list[Turn]] = field(default_factory=list)
    sounds: list[list[Samples]] = field(default_factory=list)
    counts: Counter[str] = field(default_factory=Counter)


def breaths(note: str) -> list[str]:
    """Return the parts of a typed note that are said in one breath."""
    return [part.strip() for part in _BREATH.split(note) if part.strip()]


def aloud(text: str, kb: KnowledgeBase) -> str:
    """Return typed words as they are said: numbers in words (238 is "two thirty eight"), short forms spelt."""
    numbers = NumberSpeaker(kb.number_words)

    def say(match: re.Match[str]) -> str:
        ways = list(numbers.ways(float(match[0])))
        return f" {ways[1] if float(match[0]) > 100 and len(ways) > 1 else ways[0]} "

    words = _NUMBER.sub(say, text.lower().replace("/", " over "))
    return " ".join(_SPELT.get(word, word) for word in words.split())


class Technician:
    """Says a visit and answers what is asked back."""

    def __init__(
        self, kb: KnowledgeBase, teach: Callable[[], Recogniser], home: Path, voice: str, snr_db: float | None
    ) -> None:
        self._kb = kb
        self._teach = teach
        self._home = home
        self._voice = voice
        self._snr_db = snr_db
        self.recorded = Recorded()

    def play(self, demo: DemoVisit) -> Recorded:
        """Go through the whole visit."""
        clock, visits = started(self._kb, self._home, demo)
        desk = visits.new()
        self._begin(desk)
        for note in demo.notes:
            clock.now += timedelta(minutes=note.after_min)
            if note.restart:
                desk.close()
                desk = visits.resumed(desk.visit)
                self._begin(desk)
            minutes = (clock.now - demo.starts).total_seconds() / 60
            for breath in breaths(note.say):
                self._get_across(breath, minutes)
        desk.close()
        return self.recorded

    def _begin(self, desk: Desk) -> None:
        self._desk, self._talk = desk, Talk(desk)
        # it carries the noise of the last phrase on: only one that has heard the same before hears the same again
        self._recogniser = self._teach()
        self.recorded.runs.append([])
        self.recorded.sounds.append([])

    def _get_across(self, breath: str, minutes: float) -> None:
        words = aloud(breath, self._kb)
        wanted = meaning(words, self._kb, self._desk.expecting())
        for nth in range(TRIES):
            before = self._desk.last_reply
            asked = self._say(words, minutes)
            while asked is not None:
                right = meaning(asked, self._kb, self._desk.expecting()) == wanted
                self.recorded.counts["asked back" if right else "asked back, wrong"] += 1
                asked = self._answer("yes" if right else "no", minutes)
            if self._desk.last_reply is not before:
                self.recorded.counts["said once" if nth == 0 else "said again"] += 1
                self._settle(breath, minutes)
                return
        self.recorded.counts["typed"] += 1
        self.recorded.runs[-1].append(Turn(breath, minutes))
        self._talk.typed(breath)

    def _settle(self, breath: str, minutes: float) -> None:
        """Give the clear yes of a safety step, or type what the visit could not tell apart."""
        asked = self._desk.expecting().asked
        if asked is not None and asked.kind == "clarify" and len(asked.options) == 1:
            self._answer("yes", minutes)
        elif asked is not None and asked.kind == "clarify":
            self.recorded.counts["typed"] += 1
            self.recorded.runs[-1].append(Turn(breath, minutes))
            self._talk.typed(breath)

    def _answer(self, word: str, minutes: float) -> str | None:
        """Say yes or no; where it is not clear enough, once more, and typed in the end; return what is asked next."""
        before, waiting = self._desk.last_reply, self._talk.asked_back
        for _ in range(TRIES):
            asked = self._say(word, minutes)
            if self._desk.last_reply is not before or self._talk.asked_back is not waiting:
                return asked
        self.recorded.counts["yes or no typed"] += 1
        self.recorded.runs[-1].append(Turn(word, minutes))
        self._talk.typed(word)
        return self._talk.asked_back.text if self._talk.asked_back else None

    def _say(self, words: str, minutes: float) -> str | None:
        """Say words; return what was asked back, if anything was."""
        seed = sum(len(sounds) for sounds in self.recorded.sounds)
        sound = _in_frames(at_the_unit(said(words, self._voice), self._snr_db, seed))
        phrases = list(hearings(self._recogniser, sound, Gate()))
        if phrases:  # what is not heard at all is not there in the recording either
            self.recorded.runs[-1].append(Turn(words, minutes, len(phrases)))
            self.recorded.sounds[-1].append(sound)
        for phrase in phrases:
            self._talk.hear(phrase)
        return self._talk.asked_back.text if self._talk.asked_back else None


def _in_frames(sound: Samples) -> Samples:
    """Return a sound of whole frames: in the recording the next one then begins on a frame, too, and is heard alike."""
    return np.pad(sound, (0, -sound.size % FRAME), mode="edge")


def started(kb: KnowledgeBase, home: Path, demo: DemoVisit) -> tuple[ReplayClock, Visits]:
    """Return the clock and the visits of one playing."""
    clock = ReplayClock(demo.starts)
    return clock, Visits(kb, home / "visits", home / "notes", cache=home / "cache", clock=clock)


def replayed(recorded: Recorded, demo: DemoVisit, kb: KnowledgeBase, home: Path, cache: Path) -> dict[str, Any]:
    """Play the recordings into the real child and return the job note."""
    clock, visits = started(kb, home, demo)
    desk = visits.new()
    for nth, turns in enumerate(recorded.runs):
        if nth:
            clock.now = demo.starts + timedelta(minutes=turns[0].minutes)
            desk.close()
            desk = visits.resumed(desk.visit)
        path = home / f"run-{nth}.wav"
        write_wave(path, *recorded.sounds[nth])
        voice = Voice(desk, cache)
        for turn in turns:
            clock.now = demo.starts + timedelta(minutes=turn.minutes)
            if not turn.phrases:
                voice.talk.typed(turn.text)
            for _ in range(turn.phrases):
                came = voice.one(Source("file", path))
                if came is None or isinstance(came, Trouble):
                    raise ValueError(f"the recording of {turn.text!r} gave {came}")
        voice.close()
    return _note(desk)


def typed(demo: DemoVisit, kb: KnowledgeBase, home: Path) -> dict[str, Any]:
    """Return the job note of the same visit typed, breath by breath."""
    clock, visits = started(kb, home, demo)
    desk = visits.new()
    for note in demo.notes:
        clock.now += timedelta(minutes=note.after_min)
        if note.restart:
            desk.close()
            desk = visits.resumed(desk.visit)
        for breath in breaths(note.say):
            desk.say(breath)
    return _note(desk)


def _note(desk: Desk) -> dict[str, Any]:
    paths = desk.write_note()
    desk.close()
    note: dict[str, Any] = json.loads(next(path for path in paths if path.suffix == ".json").read_text("utf-8"))
    return note


def facts(note: Any) -> Any:
    """Return a job note without the technician's own words."""
    if isinstance(note, dict):
        return {key: facts(value) for key, value in note.items() if key not in _WORDING}
    if isinstance(note, list):
        return [facts(one) for one in note]
    return note.casefold() if isinstance(note, str) else note


def differences(one: Any, other: Any, path: str = "") -> Iterator[str]:
    """Yield where two sets of facts differ."""
    if isinstance(one, dict) and isinstance(other, dict):
        for key in sorted({*one, *other}):
            yield from differences(one.get(key), other.get(key), f"{path}/{key}")
    elif isinstance(one, list) and isinstance(other, list) and len(one) == len(other):
        for nth, (left, right) in enumerate(zip(one, other, strict=True)):
            yield from differences(left, right, f"{path}/{nth}")
    elif one != other:
        yield f"{path}: spoken {one!r}, typed {other!r}"


def by_voice(
    name: str, kb: KnowledgeBase, folder: Path, cache: Path, voice: str, snr_db: float | None
) -> tuple[Counter[str], list[str]]:
    """Play one demo visit by voice; return what it took, and where its note differs from the typed one."""
    demo = read_demo(demo_folder() / name / "visit.yaml")
    lesson = lesson_of(kb)

    def taught() -> Recogniser:
        recogniser = SphinxRecogniser(cache)
        recogniser.teach(lesson)
        return recogniser

    recorded = Technician(kb, taught, folder / "said", voice, snr_db).play(demo)
    note = replayed(recorded, demo, kb, folder / "heard", cache)
    return recorded.counts, list(differences(facts(note), facts(typed(demo, kb, folder / "typed"))))


def main() -> int:
    """Play visits and print how it went; 1 where a note differs."""
    parser = argparse.ArgumentParser(prog="python -m tests.speech_visits", description=__doc__)
    parser.add_argument("names", nargs="*", help="demo visits; all of them where none is named")
    parser.add_argument("--voice", default=voices()[0])
    parser.add_argument("--snr", type=float, help="dB of speech over the noise of a unit; a quiet room where left out")
    parser.add_argument("--keep", type=Path, help="folder that keeps recordings, logs and notes")
    options = parser.parse_args()
    kb = load()
    names = options.names or sorted(path.parent.name for path in demo_folder().glob("*/visit.yaml"))
    with tempfile.TemporaryDirectory() as scratch:
        folder = options.keep or Path(scratch)
        wrong = 0
        for name in names:
            counts, differ = by_voice(name, kb, folder / name, folder / "cache", options.voice, options.snr)
            wrong += bool(differ)
            took = ", ".join(f"{what} {count}" for what, count in sorted(counts.items()))
            print(f"{name}: {took}; job note {'differs' if differ else 'the same'}", flush=True)
            print("".join(f"  {one}\n" for one in differ), end="")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())

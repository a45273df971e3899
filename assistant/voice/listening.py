"""Hearing and speaking for one visit: a source of sound, the child, and the talk; blocking, for a thread or a loop."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO

from rapidfuzz import fuzz

from assistant.settings import Settings
from speech.messages import Message, Phrase, SpeechError

from .lesson import lesson_file
from .talk import Answered, Manner, Talk
from .worker import SpeechWorker

if TYPE_CHECKING:
    from assistant.desk import Desk

_ATTENTION_LIKENESS = 70
"""Percent of likeness from which on the first words count as the attention word."""


@dataclass(frozen=True, slots=True)
class Source:
    """Where the sound comes from: the microphone, a WAV file, or a pipe of raw 16 kHz mono."""

    kind: str = "microphone"
    path: Path | None = None
    name: str | None = None
    """Part of the microphone's name; None = the default one."""

    def command(self) -> Message:
        """Return the command that listens to it for one phrase."""
        command: Message = {"do": "listen", "source": self.kind}
        if self.path is not None:
            command["path"] = str(self.path)
        if self.name:
            command["name"] = self.name
        return command


@dataclass(frozen=True, slots=True)
class Trouble:
    """Something about the sound, and what to do; typing goes on."""

    say: str
    remedy: str
    for_good: bool = False
    """True where listening on makes no sense."""

    def __str__(self) -> str:
        return f"{self.say} {self.remedy}"


@dataclass(frozen=True, slots=True)
class Moment:
    """What the ears are doing right now, for the front end to show."""

    state: str
    """idle, listening, thinking, speaking"""
    level_db: float | None = None
    noise_db: float | None = None


@dataclass
class Choices:
    """What the technician chose about the voice."""

    model: Path | None = None
    microphone: str | None = None
    voice: str = "en-us"
    attention: str = ""
    """Attention word for the open microphone; empty = off."""
    manner: Manner = field(default_factory=Manner)


def choices_of(settings: Settings) -> Choices:
    """Return the choices that stand in the settings."""
    return Choices(
        model=settings.voice_model,
        microphone=settings.microphone,
        voice=settings.voice_name,
        attention=settings.attention,
        manner=Manner(settings.voice_speed, muted=settings.muted),
    )


Watcher = Callable[[Moment], None]


class Voice:
    """One visit's ears and mouth. All methods but ``interrupt`` belong to one thread."""

    def __init__(self, desk: Desk, cache: Path, choices: Choices | None = None, watch: Watcher | None = None) -> None:
        """Start the child; the first call for a new knowledge takes some seconds to make the lesson."""
        self.choices = choices or Choices()
        self.talk = Talk(desk, self.choices.manner)
        self._watch: Watcher = watch or (lambda _: None)
        self._worker = SpeechWorker(lesson_file(desk.taught, cache, self.choices.attention), cache, self.choices.model)
        self._closed = threading.Event()
        self._to_tell: Trouble | None = None
        """Found out while listening; told before the next phrase."""

    def warm_up(self) -> None:
        """Start the child now, so that the first phrase need not wait for it. Raises SpeechError."""
        self._worker.start()

    def notes(self, source: Source, stream: BinaryIO | None = None) -> Iterator[Answered | Trouble]:
        """Yield the answer to every phrase of a source until it ends; ``stream``: the pipe, for kind ``sent``."""
        if stream is not None:
            self._worker.pump(stream)
        while not self._closed.is_set():
            came = self.one(source)
            if came is None:
                return
            yield came
            if isinstance(came, Trouble) and came.for_good:
                return

    def one(self, source: Source) -> Answered | Trouble | None:
        """Listen for one phrase and answer it; None where the source ended or nothing was said."""
        heard = self.listen(source)
        if isinstance(heard, Phrase):
            self._watch(Moment("thinking"))
            return self.talk.hear(heard)
        return heard

    def listen(self, source: Source) -> Phrase | Trouble | None:
        """Listen for one phrase; None where the source ended or nothing was said."""
        if self._closed.is_set():
            return None
        told, self._to_tell = self._to_tell, None
        if told is not None:
            return told
        try:
            self._worker.send(source.command())
        except SpeechError as error:
            return Trouble(error.say, error.remedy, for_good=True)
        for event in self._worker.events():
            match event["event"]:
                case "heard":
                    if (phrase := self._called(Phrase.from_message(event))) is not None:
                        return phrase
                    self._worker.send(source.command())
                case "ready" if unheard := set(self.choices.attention.lower().split()) & set(event["missing"]):
                    self.choices.attention = ""
                    self._to_tell = _unheard_attention(unheard)
                case "trouble":
                    self._watch(Moment("idle"))
                    return Trouble(event["say"], event["remedy"], for_good=event["kind"] != "restarted")
                case "ended" | "nothing_heard":
                    self._watch(Moment("idle"))
                    return None
                case _:
                    self._show(event)
        return None

    def say(self, text: str) -> Trouble | None:
        """Speak, unless muted; returns when done or interrupted."""
        manner = self.choices.manner
        if manner.muted or not text.strip():
            return None
        voice = {"voice": self.choices.voice, "words_per_minute": manner.words_per_minute}
        try:
            self._worker.send({"do": "speak", "text": text, **voice})
        except SpeechError as error:
            return Trouble(error.say, error.remedy)
        for event in self._worker.events():
            match event["event"]:
                case "spoken":
                    break
                case "trouble":
                    return Trouble(event["say"], event["remedy"])
                case _:
                    self._show(event)
        self._watch(Moment("idle"))
        return None

    def interrupt(self) -> None:
        """Stop listening (what was said so far counts) or speaking. May be called from any thread."""
        self._worker.send({"do": "stop"})

    def close(self) -> None:
        """End the child."""
        self._closed.set()
        self._worker.close()

    def _called(self, phrase: Phrase) -> Phrase | None:
        """Return what was said to us: everything, or with an attention word only what stands behind it."""
        return without_attention(phrase, self.choices.attention) if self.choices.attention else phrase

    def _show(self, event: Message) -> None:
        if event["event"] == "state":
            self._watch(Moment(event["state"]))
        elif event["event"] == "level":
            self._watch(Moment("listening", event["db"], event["noise_db"]))


def _unheard_attention(words: set[str]) -> Trouble:
    named = " ".join(sorted(words))
    return Trouble(
        f'The attention word "{named}" cannot be heard: the recogniser does not know how it sounds.',
        "Choose an ordinary English word in the settings. Until then everything said is taken.",
    )


def without_attention(phrase: Phrase, attention: str) -> Phrase | None:
    """Return the phrase behind its attention word; None where nobody was called.

    The word is compared loosely: in noise it is heard as another one.
    """
    count = len(attention.split())
    kept = []
    for one in phrase.hypotheses:
        words = one.text.split()
        head = " ".join(words[:count])
        if fuzz.ratio(head, attention.lower()) >= _ATTENTION_LIKENESS and words[count:]:
            kept.append(type(one)(" ".join(words[count:]), one.score))
    if not kept:
        return None
    fields = {name: getattr(phrase, name) for name in phrase.__dataclass_fields__}
    return Phrase(**fields | {"hypotheses": tuple(kept)})

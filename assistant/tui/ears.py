"""Hears and speaks for the screen, in a thread; the screen decides what becomes of a phrase."""

from __future__ import annotations

import threading
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass

from textual import work
from textual.message import Message
from textual.widget import Widget

from assistant.dialogue.wording import error_sentence
from assistant.voice.listening import Moment, Source, Trouble, Voice, Watcher
from speech.messages import Phrase, SpeechError

MakeVoice = Callable[[Watcher], Voice]


class Ears(Widget):
    """Takes no room on the screen. The child starts in the background, so that typing never waits for it."""

    DEFAULT_CSS = "Ears { display: none; }"

    @dataclass
    class Now(Message):
        """What the ears are doing."""

        moment: Moment

    @dataclass
    class Heard(Message):
        """One phrase to be answered."""

        phrase: Phrase

    @dataclass
    class Failed(Message):
        """Trouble in words; typing goes on."""

        sentence: str

    def __init__(self, make: MakeVoice, source: Source) -> None:
        super().__init__()
        self._make = make
        self._source = source
        self._voice: Voice | None = None
        self._busy = False
        self._listen_after = False
        self._tapped = False
        self._starting = threading.Lock()

    def on_mount(self) -> None:
        """Load the recogniser while the technician reads the greeting."""
        self._warm_up()

    @property
    def voice(self) -> Voice | None:
        """The voice, once it was started."""
        return self._voice

    def toggle(self) -> None:
        """The talk key: listen; while listening, that is all; while speaking, be still and listen."""
        if not self._busy:
            self.listen()
        elif self._voice is not None:
            self._tapped = True
            self._listen_after = self.is_speaking
            self._voice.interrupt()

    @property
    def is_speaking(self) -> bool:
        """True while a reply is being said."""
        return self._busy and self._speaking

    _speaking = False
    _closed = False

    def on_unmount(self) -> None:
        """The program ends: no thread may wait for a phrase any more."""
        self.close()

    def listen(self) -> None:
        """Listen for one phrase."""
        self._busy, self._speaking, self._tapped = True, False, False
        self._run("")

    def say(self, text: str) -> None:
        """Speak a reply, then listen on where the microphone is open; a recording is listened to without speaking."""
        self._busy, self._speaking, self._tapped = True, True, False
        self._run("" if self.is_recording else text)

    @property
    def is_recording(self) -> bool:
        """True where the sound comes from a file: it is listened to from the start to its end."""
        return self._source.kind != "microphone"

    def close(self) -> None:
        """End the child, and with it whatever is listened to."""
        self._closed = True
        if self._voice is not None:
            self._voice.close()

    @work(thread=True, exclusive=True, group="ears", exit_on_error=False)
    def _run(self, text: str) -> None:
        try:
            came = self._spoken(text) if text else self._listened()
        except Exception as error:  # noqa: BLE001 - a sentence, never a traceback; typing goes on
            came = Trouble(error_sentence(error), "")
        self._busy = False
        self.post_message(self.Now(Moment("thinking" if isinstance(came, Phrase) else "idle")))
        if isinstance(came, Phrase):
            self.post_message(self.Heard(came))
        elif isinstance(came, Trouble):
            self.post_message(self.Failed(str(came)))

    def _spoken(self, text: str) -> Trouble | Phrase | None:
        trouble = self._started().say(text)
        if self._listen_after or self._goes_on:
            self._listen_after = self._speaking = self._tapped = False
            return self._listened()
        return trouble

    def _listened(self) -> Phrase | Trouble | None:
        """Listen; an open microphone stays open until a phrase, the talk key or the end."""
        voice = self._started()
        came = voice.listen(self._source)
        while came is None and self._goes_on and not self._tapped and not self._closed and not self.is_recording:
            came = voice.listen(self._source)
        return came

    def _now(self, moment: Moment) -> None:
        self.post_message(self.Now(moment))

    @property
    def _goes_on(self) -> bool:
        return bool(self._voice and self._voice.choices.attention)

    @work(thread=True, group="warm-up", exit_on_error=False)
    def _warm_up(self) -> None:
        with suppress(SpeechError, OSError):  # it goes wrong again with the talk key, and is told then
            self._started().warm_up()
        if not self._busy:
            self.post_message(self.Now(Moment("idle")))

    def _started(self) -> Voice:
        with self._starting:
            if self._voice is None:
                self.post_message(self.Now(Moment("starting")))
                self._voice = self._make(self._now)
            return self._voice

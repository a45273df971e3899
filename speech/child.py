"""The child process: takes commands from its input, gives events on its output, and hears and speaks in between."""

from __future__ import annotations

import base64
import json
import threading
from collections.abc import Iterator
from pathlib import Path
from queue import Queue
from time import perf_counter
from typing import BinaryIO

from . import devices
from .levels import FRAME, RATE, SILENT_DB, Cut, Gate, PhraseCutter, Samples
from .messages import Lesson, Message, Phrase, SpeechError, read_message, write_message
from .pulse import PulseMicrophone
from .recogniser import HearingAhead, Recogniser
from .voice import Voice
from .wave_input import Framer, wave_frames

_INTERRUPTS = frozenset({"stop", "quit"})
_LEVEL_EVERY = 5
"""Frames between two level events."""


class Child:
    """Does one thing at a time: half duplex, so that it never hears itself."""

    def __init__(self, commands: BinaryIO, events: BinaryIO) -> None:
        self._commands = commands
        self._events = events
        self._waiting: Queue[Message] = Queue()
        self._audio: Queue[bytes | None] = Queue()
        self._interrupt = threading.Event()
        self._recogniser: Recogniser | None = None
        self._voice: Voice | None = None
        self._source: Iterator[Samples] | None = None
        self._source_key: str | None = None
        self._microphone: devices.Microphone | PulseMicrophone | None = None
        self._frames_taken = 0
        self._ahead: HearingAhead | None = None
        """None where nothing was taught yet."""

    def run(self) -> None:
        """Work until ``quit`` or until the parent is gone."""
        threading.Thread(target=self._read_commands, daemon=True).start()
        while True:
            message = self._waiting.get()
            if message["do"] == "quit":
                self._close_microphone()
                return
            try:
                self._do(message)
            except SpeechError as error:
                self._trouble(error)
            self._tell("state", state="idle")

    def _do(self, message: Message) -> None:
        match message["do"]:
            case "teach":
                self._teach(message)
            case "listen":
                self._listen(message)
            case "speak":
                self._speak(message)
            case "devices":
                self._tell("devices", inputs=devices.inputs())

    def _read_commands(self) -> None:
        """Runs beside the work, so that ``stop`` reaches it while it is busy."""
        for line in self._commands:
            message = read_message(line)
            if message is None or not isinstance(message.get("do"), str):
                continue
            if message["do"] == "audio":
                self._audio.put(base64.b64decode(message["pcm"]))
            elif message["do"] == "audio_end":
                self._audio.put(None)
            else:
                if message["do"] in _INTERRUPTS:
                    self._interrupt.set()
                self._waiting.put(message)
        self._interrupt.set()
        self._waiting.put({"do": "quit"})

    # -- hearing ----------------------------------------------------------------------------------------------

    def _teach(self, message: Message) -> None:
        self._recogniser = _recogniser(message.get("model"), Path(message["cache"]))
        lesson = json.loads(Path(message["lesson"]).read_text(encoding="utf-8"))
        missing = self._recogniser.teach(
            Lesson(
                tuple(lesson["sentences"]),
                {word: tuple(ways) for word, ways in lesson["pronunciations"].items()},
                tuple(lesson["openers"]),
            )
        )
        self._tell("ready", engine=self._recogniser.name, missing=missing)

    def _listen(self, message: Message) -> None:
        """Give one phrase, or say that there was none. ``source``: microphone (default), a file, or the audio sent."""
        self._interrupt.clear()
        source = self._open(message)
        gate = Gate(give_up_s=float(message.get("give_up_s", Gate().give_up_s)))
        cutter = PhraseCutter(gate)
        self._ahead = HearingAhead(self._recogniser) if self._recogniser is not None else None
        self._tell("state", state="listening")
        if self._microphone is not None:
            self._microphone.lost = False
        waited = 0
        for frame in source:
            self._frames_taken += 1
            cut = self._take(cutter, frame)
            waited = 0 if cutter.in_phrase else waited + 1
            if self._frames_taken % _LEVEL_EVERY == 0:
                self._tell("level", db=round(cutter.level_db, 1), noise_db=round(cutter.noise_db, 1))
            if self._interrupt.is_set():
                cut = cut or cutter.finish()
                if cut is None or not self._give(cut):
                    self._tell("nothing_heard", noise_db=round(cutter.noise_db, 1))
                break
            if cut is not None and self._give(cut):
                break
            if self._microphone is not None and waited * FRAME >= gate.give_up_s * RATE:
                self._tell("nothing_heard", noise_db=round(cutter.noise_db, 1))
                break
        else:
            cut = cutter.finish()
            if cut is not None:
                self._give(cut)
            self._source = None
            self._tell("ended")
        if self._microphone is not None and not message.get("keep_open"):
            self._close_microphone()

    def _take(self, cutter: PhraseCutter, frame: Samples) -> Cut | None:
        """Take the next frame and hear it, where it belongs to a phrase; return the phrase that it ends."""
        cut = cutter.take(frame)
        if cut is None and self._ahead is not None:
            self._ahead.follow(cutter)
        return cut

    def _give(self, cut: Cut) -> bool:
        """Recognise a phrase and tell it; False where nothing was taught yet."""
        if self._ahead is None:
            return False
        began = perf_counter()
        found = self._ahead.words(cut)
        phrase = Phrase(
            hypotheses=found.hypotheses,
            fit=found.fit,
            sure=found.sure,
            speech_s=round(cut.speech_s, 2),
            snr_db=round(cut.snr_db, 1),
            noise_db=round(max(cut.noise_db, SILENT_DB), 1),
            cut=cut.too_long,
            lost=self._microphone is not None and self._microphone.lost,
            talk=found.talk,
            compared=found.compared,
            dictated=found.dictated,
            recognise_s=round(perf_counter() - began, 3),
            place_s=round(self._frames_taken * FRAME / RATE, 2),
        )
        write_message(self._events, phrase.as_message())
        return True

    def _open(self, message: Message) -> Iterator[Samples]:
        """Return the frames of the source: a file or pipe goes on where the last phrase ended."""
        kind = message.get("source", "microphone")
        key = f"{kind}:{message.get('path', '')}"
        if kind == "microphone":
            if self._microphone is None:
                self._microphone = devices.open_microphone(message.get("name"))
            return self._microphone.frames()
        if self._source is None or key != self._source_key:
            self._source = wave_frames(Path(message["path"])) if kind == "file" else self._sent_frames()
            self._source_key = key
            self._frames_taken = 0
        return self._source

    def _sent_frames(self) -> Iterator[Samples]:
        framer = Framer(RATE)
        while (block := self._audio.get()) is not None:
            self._tell("taken")
            yield from framer.take(block)
        yield from framer.finish()

    def _close_microphone(self) -> None:
        if self._microphone is not None:
            self._microphone.close()
            self._microphone = None

    # -- speaking ---------------------------------------------------------------------------------------------

    def _speak(self, message: Message) -> None:
        self._interrupt.clear()
        self._close_microphone()
        if self._voice is None:
            self._voice = Voice()
        sound = self._voice.sound(message["text"], message.get("voice", ""), int(message.get("words_per_minute", 160)))
        self._tell("state", state="speaking")
        devices.play(sound, self._voice.rate_hz, self._interrupt.is_set)
        self._tell("spoken", whole=not self._interrupt.is_set())

    # -- telling ----------------------------------------------------------------------------------------------

    def _tell(self, event: str, **what: object) -> None:
        write_message(self._events, {"event": event, **what})

    def _trouble(self, error: SpeechError) -> None:
        self._close_microphone()
        self._tell("trouble", kind=error.kind, say=error.say, remedy=error.remedy)


def _recogniser(model: str | None, cache: Path) -> Recogniser:
    """Return the recogniser for the model folder, or the one whose model comes with its wheel."""
    if model:
        from .vosk_engine import VoskRecogniser  # late: only one of the two is ever loaded

        return VoskRecogniser(Path(model))
    try:
        from .sphinx import SphinxRecogniser
    except ImportError as error:
        raise SpeechError(
            "no_recogniser", "The recogniser is missing.", "Run: pip install pocketsphinx. Typing goes on."
        ) from error
    return SphinxRecogniser(cache)

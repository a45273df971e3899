"""Starts the speech child, talks to it, starts it once more when it dies, and says so."""

from __future__ import annotations

import base64
import json
import os
import subprocess
import sys
import threading
from collections.abc import Iterator, Sequence
from contextlib import suppress
from pathlib import Path
from queue import Empty, Queue
from typing import IO, BinaryIO

from speech.messages import Lesson, Message, SpeechError, read_message, write_message

COMMAND = (sys.executable, "-m", "speech")
_AHEAD = 50
"""Blocks of sent sound that the child may have in hand: about 5 s."""
BLOCK_BYTES = 3200
"""A tenth of a second at 16 kHz."""


class SpeechWorker:
    """The child process as the bridge sees it: commands in, events out. Events come in one queue, in order."""

    def __init__(self, lesson: Path, cache: Path, model: Path | None = None, command: Sequence[str] = COMMAND) -> None:
        """``lesson``: file written by ``lesson.write_lesson``; the child's errors go to a log in ``cache``."""
        folder = str(model) if model else None
        self._teach: Message = {"do": "teach", "lesson": str(lesson), "cache": str(cache), "model": folder}
        self._cache = cache
        self._command = tuple(command)
        self._events: Queue[Message] = Queue()
        self._process: subprocess.Popen[bytes] | None = None
        self._restarts_left = 1
        self._reader = threading.Thread()
        self._lock = threading.Lock()
        self._credit = threading.Semaphore(_AHEAD)

    @property
    def log(self) -> Path:
        """What the child and its libraries wrote to standard error."""
        return self._cache / "speech.log"

    def start(self) -> None:
        """Start the child where there is none. Raises SpeechError where it cannot be started."""
        with self._lock:
            self._running()

    def send(self, message: Message) -> None:
        """Send a command; starts the child where there is none. Raises SpeechError where it cannot be started."""
        with self._lock:
            process = self._running()
            try:
                write_message(_pipe(process.stdin), message)
            except OSError:
                return  # it died just now; the end of its events says so

    def events(self, timeout_s: float | None = None) -> Iterator[Message]:
        """Yield events as they come; ends when none comes for ``timeout_s``."""
        while True:
            try:
                yield self._events.get(timeout=timeout_s)
            except Empty:
                return

    def pump(self, stream: BinaryIO) -> None:
        """Send raw 16 kHz mono 16-bit sound from a stream, in a thread, never far ahead of the child."""
        threading.Thread(target=self._pump, args=(stream,), daemon=True).start()

    def close(self) -> None:
        """Ask the child to end, and end it where it does not."""
        process, self._process = self._process, None
        self._events.put({"event": "ended"})  # whoever waits for a phrase waits no longer
        if process is None:
            return
        with suppress(OSError):  # it is gone already
            write_message(_pipe(process.stdin), {"do": "quit"})
        with suppress(OSError):
            _pipe(process.stdin).close()
        try:
            process.wait(timeout=2)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()
        self._reader.join(timeout=2)

    def _running(self) -> subprocess.Popen[bytes]:
        if self._process is not None and self._process.poll() is None:
            return self._process
        if self._process is not None:
            with suppress(OSError):  # what stood in the pipe is lost with the child
                _pipe(self._process.stdin).close()
        self._cache.mkdir(parents=True, exist_ok=True)
        try:
            with self.log.open("ab") as log:
                process = subprocess.Popen(  # noqa: S603 - our own interpreter and module
                    self._command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=log, env=_environment()
                )
        except OSError as error:
            raise SpeechError("no_child", f"Hearing does not start ({error.strerror}).", "Typing goes on.") from error
        self._process = process
        with suppress(OSError):  # it died at once; the end of its events says so
            write_message(_pipe(process.stdin), self._teach)
        self._reader = threading.Thread(target=self._read, args=(process,), daemon=True)
        self._reader.start()
        return process

    def _read(self, process: subprocess.Popen[bytes]) -> None:
        for line in _pipe(process.stdout):
            message = read_message(line)
            if message is None:
                continue
            if message.get("event") == "taken":
                self._credit.release()
            else:
                self._events.put(message)
        _pipe(process.stdout).close()
        process.wait()  # only now it counts as gone, and the next command starts a new one
        if process is self._process:  # nobody asked it to end
            self._events.put(self._died())

    def _died(self) -> Message:
        again = self._restarts_left > 0
        self._restarts_left -= 1
        say = "Hearing broke off and is started again." if again else "Hearing broke off again and stays off."
        remedy = "Say it again." if again else f"Typing goes on; {self.log} says why."
        return {"event": "trouble", "kind": "restarted" if again else "died", "say": say, "remedy": remedy}

    def _pump(self, stream: BinaryIO) -> None:
        while block := stream.read(BLOCK_BYTES):
            self._credit.acquire()
            self.send({"do": "audio", "pcm": base64.b64encode(block).decode()})
        self.send({"do": "audio_end"})


def write_lesson(lesson: Lesson, path: Path) -> None:
    """Write what the child is to be taught."""
    path.parent.mkdir(parents=True, exist_ok=True)
    data = {"sentences": lesson.sentences, "pronunciations": lesson.pronunciations, "openers": lesson.openers}
    part = path.with_suffix(".part")
    part.write_text(json.dumps(data), encoding="utf-8")
    part.replace(path)


def _environment() -> dict[str, str]:
    """The child imports the same packages as we do, wherever we were started."""
    return os.environ | {"PYTHONPATH": os.pathsep.join([entry for entry in sys.path if entry])}


def _pipe(stream: IO[bytes] | None) -> BinaryIO:
    if stream is None:
        raise RuntimeError("the child has pipes")  # cannot happen; keeps the types honest
    return stream  # type: ignore[return-value]

"""The microphone through PulseAudio's own recorder: where PortAudio is missing or sees no device (Linux, WSL)."""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Iterator
from typing import IO

from .levels import RATE, Samples
from .messages import SpeechError
from .wave_input import Framer

_RECORDER = "parec"
_BLOCK_BYTES = 1920


def has_recorder() -> bool:
    """True where the recorder is installed."""
    return shutil.which(_RECORDER) is not None


class PulseMicrophone:
    """As ``devices.Microphone``: frames of 16 kHz mono until it is closed."""

    def __init__(self) -> None:
        """Start recording from the default source; raises SpeechError where that is not possible."""
        self.lost = False
        command = (_RECORDER, f"--rate={RATE}", "--channels=1", "--format=s16le", "--latency-msec=60", "--raw")
        try:
            self._process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL)  # noqa: S603
        except OSError as error:
            raise SpeechError("no_microphone", "There is no microphone.", "Plug one in. Typing goes on.") from error

    def frames(self) -> Iterator[Samples]:
        """Yield frames as they come. Raises SpeechError where the recorder ends (no source, server gone)."""
        framer = Framer(RATE)
        sound = self._sound()
        while block := sound.read(_BLOCK_BYTES):
            yield from framer.take(block)
        raise SpeechError(
            "unplugged",
            "The microphone gives no sound (PulseAudio has no source, or it went away).",
            "Plug one in and press the talk key. Typing goes on.",
        )

    def close(self) -> None:
        """Stop recording; never raises."""
        self._process.terminate()
        self._process.wait()
        self._sound().close()

    def _sound(self) -> IO[bytes]:
        if self._process.stdout is None:
            raise RuntimeError("the recorder has a pipe")  # cannot happen; keeps the types honest
        return self._process.stdout

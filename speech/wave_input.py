"""Sound from a file or a pipe, as frames of 16 kHz mono."""

from __future__ import annotations

import wave
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import soxr

from .levels import FRAME, RATE, Samples
from .messages import SpeechError


def wave_frames(path: Path) -> Iterator[Samples]:
    """Yield a WAV file (16-bit, any rate, any channels) as frames; raises SpeechError where it cannot be read."""
    try:
        with wave.open(str(path), "rb") as file:
            if file.getsampwidth() != 2:
                raise SpeechError("bad_file", f"{path} is not 16-bit sound.", "Save it as 16-bit PCM WAV.")
            framer = Framer(file.getframerate(), file.getnchannels())
            while data := file.readframes(RATE):
                yield from framer.take(data)
            yield from framer.finish()
    except FileNotFoundError as error:
        raise SpeechError("no_file", f"There is no file {path}.", "Check the name.") from error
    except (wave.Error, EOFError, OSError) as error:
        say = f"{path} is no WAV file that can be read ({error})."
        raise SpeechError("bad_file", say, "Save it as 16-bit PCM WAV.") from error


class Framer:
    """Turns bytes of any rate and channel count into frames of 16 kHz mono."""

    def __init__(self, rate_hz: int, channels: int = 1) -> None:
        self._channels = channels
        self._resampler = None if rate_hz == RATE else soxr.ResampleStream(rate_hz, RATE, 1, dtype="int16")
        self._rest = np.empty(0, np.int16)
        self._odd = b""

    def take(self, data: bytes) -> Iterator[Samples]:
        """Yield the frames that ``data`` completes; half a sample is kept for the next time."""
        data = self._odd + data
        whole = len(data) - len(data) % (2 * self._channels)
        self._odd = data[whole:]
        samples = np.frombuffer(data[:whole], "<i2")
        if self._channels > 1:
            samples = samples.reshape(-1, self._channels).mean(axis=1).astype(np.int16)
        yield from self._framed(samples, last=False)

    def finish(self) -> Iterator[Samples]:
        """Yield what is left, filled up with silence."""
        yield from self._framed(np.empty(0, np.int16), last=True)
        if self._rest.size:
            yield np.concatenate([self._rest, np.zeros(FRAME - self._rest.size, np.int16)])
            self._rest = np.empty(0, np.int16)

    def _framed(self, samples: Samples, *, last: bool) -> Iterator[Samples]:
        if self._resampler is not None:
            samples = np.asarray(self._resampler.resample_chunk(samples, last=last), np.int16)
        samples = np.concatenate([self._rest, samples])
        whole = samples.size - samples.size % FRAME
        for start in range(0, whole, FRAME):
            yield samples[start : start + FRAME]
        self._rest = samples[whole:]

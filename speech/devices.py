"""Microphone and loudspeaker through PortAudio; every trouble is a sentence with its remedy."""

from __future__ import annotations

import importlib
import sys
from collections.abc import Callable, Iterator
from queue import Empty, Full, Queue
from types import ModuleType
from typing import Any

import numpy as np

from .levels import RATE, Samples
from .messages import SpeechError
from .pulse import PulseMicrophone, has_recorder
from .wave_input import Framer

PROBE_S = 0.3
"""All zeros for so long means that the system hands out silence instead of the microphone."""
_QUEUE_BLOCKS = 400
_WAIT_S = 2.0
_BLOCK_S = 0.06
_TYPING = "Typing goes on."


def portaudio() -> ModuleType:
    """Return sounddevice; raises SpeechError where PortAudio is missing."""
    try:
        return importlib.import_module("sounddevice")
    except (OSError, ImportError) as error:
        remedy = {
            "linux": "Run: sudo apt install libportaudio2 (or your system's PortAudio package).",
        }.get(sys.platform, "Install padside again, so that the sounddevice package is complete.")
        say = "Sound devices cannot be reached: PortAudio is missing."
        raise SpeechError("no_portaudio", say, f"{remedy} {_TYPING}") from error


def inputs() -> list[str]:
    """Return the names of the microphones; raises SpeechError where PortAudio is missing."""
    return [str(device["name"]) for device in portaudio().query_devices() if device["max_input_channels"] > 0]


class Microphone:
    """An open microphone: iterate for frames of 16 kHz mono; a generator that ends with ``close``."""

    def __init__(self, name: str | None = None) -> None:
        """Open the named microphone, else the default one. Raises SpeechError."""
        self._sound = portaudio()
        self._blocks: Queue[bytes] = Queue(_QUEUE_BLOCKS)
        self.lost = False
        """True where sound was dropped since it was last looked at."""
        device, rate = self._choose(name)
        self._framer = Framer(rate)
        try:
            self._stream: Any = self._sound.RawInputStream(
                samplerate=rate,
                blocksize=int(rate * _BLOCK_S),
                device=device,
                channels=1,
                dtype="int16",
                callback=self._keep,
            )
            self._stream.start()
        except self._sound.PortAudioError as error:
            raise SpeechError(
                "microphone_refused",
                f"The microphone does not open ({_short(error)}).",
                f"Close other programs that use it, or name another one in the settings (microphone). {_TYPING}",
            ) from error

    def frames(self) -> Iterator[Samples]:
        """Yield frames as they come. Raises SpeechError where none come any more (unplugged, no permission)."""
        heard, probed = False, 0
        while True:
            try:
                block = self._blocks.get(timeout=_WAIT_S)
            except Empty:
                say = "The microphone has stopped giving sound."
                raise SpeechError("unplugged", say, f"Plug it in and press the talk key. {_TYPING}") from None
            for frame in self._framer.take(block):
                probed += frame.size
                heard = heard or bool(frame.any())
                if not heard and probed >= PROBE_S * RATE:
                    raise SpeechError("only_zeros", "The microphone gives nothing but silence.", _zeros_remedy())
                yield frame

    def close(self) -> None:
        """Stop and give the device back; never raises."""
        try:
            self._stream.close(ignore_errors=True)
        except self._sound.PortAudioError:
            return  # the device is gone already

    def _choose(self, name: str | None) -> tuple[Any, int]:
        """Return device and rate: 16 kHz where the device takes it, else its own rate."""
        sound = self._sound
        device = self._named(name)
        try:
            found = sound.query_devices(device, "input")
        except (sound.PortAudioError, ValueError) as error:
            raise SpeechError(
                "no_microphone",
                "There is no microphone.",
                f"Plug one in, or a headset, and press the talk key. {_TYPING}",
            ) from error
        for rate in (RATE, int(found["default_samplerate"]), 48_000, 44_100):
            try:
                sound.check_input_settings(device=device, channels=1, dtype="int16", samplerate=rate)
            except (sound.PortAudioError, ValueError):
                continue
            return device, rate
        raise SpeechError(
            "wrong_rate",
            f"The microphone {found['name']!r} takes none of the usual sample rates.",
            f"Choose another one in the settings (microphone). {_TYPING}",
        )

    def _named(self, name: str | None) -> int | None:
        """Return the number of the microphone whose name holds ``name``; None = the default one."""
        if not name:
            return None
        for number, device in enumerate(self._sound.query_devices()):
            if device["max_input_channels"] > 0 and name.casefold() in str(device["name"]).casefold():
                return number
        return None

    def _keep(self, data: Any, _frames: int, _time: Any, status: Any) -> None:
        """Copy and return: this runs in PortAudio's own thread."""
        if status:
            self.lost = True
        try:
            self._blocks.put_nowait(bytes(data))
        except Full:
            self.lost = True


def open_microphone(name: str | None = None) -> Microphone | PulseMicrophone:
    """Open the microphone, by the system's own recorder where PortAudio cannot. Raises SpeechError."""
    try:
        return Microphone(name)
    except SpeechError as error:
        if error.kind in {"no_portaudio", "no_microphone"} and has_recorder():
            return PulseMicrophone()
        raise


def play(sound: bytes, rate_hz: int, stopped: Callable[[], bool]) -> None:
    """Play 16-bit mono until the end or until ``stopped()``; raises SpeechError where there is no loudspeaker."""
    device = portaudio()
    block = int(rate_hz * _BLOCK_S) * 2
    try:
        with device.RawOutputStream(samplerate=rate_hz, channels=1, dtype="int16") as stream:
            for start in range(0, len(sound), block):
                if stopped():
                    stream.abort()
                    return
                stream.write(sound[start : start + block])
    except (device.PortAudioError, ValueError) as error:
        raise SpeechError(
            "no_speaker",
            f"The loudspeaker does not play ({_short(error)}).",
            "Plug one in or use a headset; the answer stands on the screen.",
        ) from error


def tone(rate_hz: int, hertz: float, seconds: float) -> bytes:
    """Return a soft beep: the technician hears without looking that listening began."""
    time = np.arange(int(rate_hz * seconds)) / rate_hz
    fade = np.minimum(1.0, np.minimum(time, time[::-1]) / 0.01)
    return bytes((np.sin(2 * np.pi * hertz * time) * fade * 6000).astype("<i2").tobytes())


def _short(error: Exception) -> str:
    return str(error.args[0] if error.args else error).split("[")[0].strip()


def _zeros_remedy() -> str:
    where = {
        "darwin": "System Settings, Privacy, Microphone: allow the terminal.",
        "win32": "Settings, Privacy, Microphone: allow desktop programs.",
    }.get(sys.platform, "Look whether it is muted, and whether this program may use it.")
    return f"{where} {_TYPING}"

"""A stand-in for the sound library with the troubles of real machines."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any


class PortAudioError(Exception):
    """As the library raises it."""


class FakeSound:
    """Devices, accepted rates, and what the microphone gives."""

    PortAudioError = PortAudioError

    def __init__(
        self,
        *,
        devices: tuple[str, ...] = ("USB headset",),
        rates: tuple[int, ...] = (16_000,),
        blocks: tuple[bytes, ...] = (),
    ) -> None:
        self._devices = devices
        self._rates = rates
        self.blocks = blocks
        self.refuses = False
        self.opened_at: int | None = None
        self.closed = False
        self.played = bytearray()

    def query_devices(self, device: int | None = None, kind: str | None = None) -> Any:
        if kind is None:
            return [{"name": name, "max_input_channels": 1, "default_samplerate": 44_100.0} for name in self._devices]
        if not self._devices:
            raise PortAudioError("Error querying device -1")
        return {"name": self._devices[device or 0], "max_input_channels": 1, "default_samplerate": 44_100.0}

    def check_input_settings(self, *, samplerate: int, **_: Any) -> None:
        if samplerate not in self._rates:
            raise PortAudioError("Invalid sample rate [PaErrorCode -9997]")

    def RawInputStream(self, *, samplerate: int, callback: Callable[..., None], **_: Any) -> Any:  # noqa: N802 - its name
        if self.refuses:
            raise PortAudioError("Device unavailable [PaErrorCode -9985]")
        self.opened_at = samplerate
        sound = self

        class Stream:
            def start(self) -> None:
                for block in sound.blocks:
                    callback(block, len(block) // 2, None, None)

            def close(self, **_: bool) -> None:
                sound.closed = True

        return Stream()

    def RawOutputStream(self, **_: Any) -> Any:  # noqa: N802 - its name
        sound = self
        if not self._devices:
            raise PortAudioError("Error querying device -1")

        class Stream:
            def __enter__(self) -> Any:
                return self

            def __exit__(self, *_: object) -> None:
                return None

            def write(self, data: bytes) -> None:
                sound.played += data

            def abort(self) -> None:
                sound.played += b"!"

        return Stream()

"""Every trouble with sound devices is a plain sentence with its remedy."""

from __future__ import annotations

import importlib
from typing import Any

import numpy as np
import pytest

from speech import devices
from speech.messages import SpeechError
from tests.speech.fake_sound import FakeSound


@pytest.fixture
def machine(monkeypatch: pytest.MonkeyPatch) -> Any:
    def made(**what: Any) -> FakeSound:
        sound = FakeSound(**what)
        monkeypatch.setattr(devices, "portaudio", lambda: sound)
        monkeypatch.setattr(devices, "_WAIT_S", 0.01)
        return sound

    return made


def trouble(run: Any) -> SpeechError:
    with pytest.raises(SpeechError) as caught:
        run()
    assert "Typing goes on." in caught.value.remedy
    return caught.value


LOUD = (np.arange(960) % 50 * 300).astype("<i2").tobytes()


def test_without_portaudio_the_remedy_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    def missing(_: str) -> None:
        raise OSError("PortAudio library not found")

    monkeypatch.setattr(importlib, "import_module", missing)
    monkeypatch.setattr(devices.sys, "platform", "linux")
    assert "libportaudio2" in trouble(devices.inputs).remedy


def test_no_microphone(machine: Any) -> None:
    machine(devices=())
    assert trouble(devices.Microphone).kind == "no_microphone"


def test_a_device_that_takes_no_usual_rate(machine: Any) -> None:
    machine(rates=())
    assert trouble(devices.Microphone).kind == "wrong_rate"


def test_a_device_is_opened_at_its_own_rate_where_it_refuses_16_khz(machine: Any) -> None:
    sound = machine(rates=(44_100,), blocks=(LOUD,) * 4)
    frames = devices.Microphone().frames()
    assert next(frames).size == 480
    assert sound.opened_at == 44_100


def test_a_device_in_use(machine: Any) -> None:
    machine().refuses = True
    found = trouble(devices.Microphone)
    assert found.kind == "microphone_refused"
    assert "Device unavailable" in found.say


def test_silence_without_permission(machine: Any) -> None:
    machine(blocks=(b"\0" * 1920,) * 10)
    assert trouble(lambda: list(devices.Microphone().frames())).kind == "only_zeros"


def test_a_pause_of_zeros_later_on_is_no_trouble(machine: Any) -> None:
    machine(blocks=(LOUD, *(b"\0" * 1920,) * 10))
    assert trouble(lambda: list(devices.Microphone().frames())).kind == "unplugged"


def test_unplugged_half_way(machine: Any) -> None:
    machine(blocks=(LOUD,) * 3)
    microphone, heard = devices.Microphone(), []

    def listen() -> None:
        heard.extend(microphone.frames())

    assert trouble(listen).kind == "unplugged"
    assert len(heard) == 6


def test_a_microphone_is_found_by_part_of_its_name(machine: Any) -> None:
    machine(devices=("Built-in", "USB headset"))
    assert devices.inputs() == ["Built-in", "USB headset"]
    devices.Microphone("headset")


def test_speaking_stops_at_once_when_told(machine: Any) -> None:
    sound = machine()
    devices.play(b"\1\0" * 16_000, 16_000, iter([False, False, True]).__next__)
    assert sound.played.endswith(b"!")
    assert len(sound.played) < 8000


def test_no_loudspeaker(machine: Any) -> None:
    machine(devices=())
    with pytest.raises(SpeechError, match="stands on the screen"):
        devices.play(b"\0\0", 16_000, lambda: False)

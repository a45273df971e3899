"""A virtual microphone of PulseAudio, played into while the real child listens: from sound in the air to the reply."""

from __future__ import annotations

import os
import shutil
import subprocess
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from assistant.voice.listening import Moment, Source, Trouble, Voice
from tests.speech_sounds import at_the_unit, said, voices, write_wave
from tests.voice.phrases import desk_at

NEEDED = ("pulseaudio", "paplay", "parec")
pytestmark = pytest.mark.skipif(
    not all(shutil.which(name) for name in NEEDED), reason="PulseAudio is not installed: no virtual microphone"
)


@pytest.fixture
def microphone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """A sound server of our own whose default microphone hears what is played into it."""
    socket = tmp_path / "pulse.socket"
    for name, value in (("HOME", tmp_path), ("XDG_RUNTIME_DIR", tmp_path), ("PULSE_SERVER", f"unix:{socket}")):
        monkeypatch.setenv(name, str(value))
    monkeypatch.setenv("PULSE_SOURCE", "unit.monitor")
    monkeypatch.setenv("PULSE_SINK", "unit")
    modules = (
        f"module-native-protocol-unix socket={socket} auth-anonymous=1",
        "module-null-sink sink_name=unit rate=16000",
    )
    command = ["pulseaudio", "-n", "--daemonize=no", "--exit-idle-time=-1", "--disallow-exit", "--use-pid-file=no"]
    command += [part for module in modules for part in ("-L", module)]
    with subprocess.Popen(command, stderr=subprocess.PIPE, text=True, env=os.environ | {"PULSE_SERVER": ""}) as running:  # noqa: S603
        for _ in range(50):
            asked = subprocess.run(["pactl", "info"], capture_output=True, check=False, timeout=10)  # waits by itself  # noqa: S607
            if asked.returncode == 0 or running.poll() is not None:
                break
        if asked.returncode != 0:
            running.terminate()
            pytest.skip(f"PulseAudio does not start here: {(running.stderr.read() if running.stderr else '')[-200:]}")
        yield
        running.terminate()


def test_a_note_said_into_the_microphone_is_answered(microphone: None, tmp_path: Path, cache: Path) -> None:
    path = tmp_path / "said.wav"
    voice_name = "slt" if "slt" in voices() else "espeak-ng"
    write_wave(path, at_the_unit(said("compressor is humming", voice_name), 30, before_s=1.0))
    listening = threading.Event()

    def watch(moment: Moment) -> None:
        if moment.level_db is not None:
            listening.set()

    def play() -> None:
        assert listening.wait(120)
        subprocess.run(["paplay", str(path)], check=True, timeout=60)  # noqa: S603, S607

    player = threading.Thread(target=play)
    player.start()
    voice = Voice(desk_at(tmp_path / "home"), cache, watch=watch)
    came = voice.one(Source())
    voice.close()
    player.join()
    assert came is not None
    assert not isinstance(came, Trouble), came
    assert came.note == "compressor is humming"

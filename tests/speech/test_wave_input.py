"""Sound from files and pipes: any rate, any pieces, and a sentence for what cannot be read."""

from __future__ import annotations

import wave
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from speech.levels import FRAME, RATE
from speech.messages import SpeechError
from speech.wave_input import Framer, wave_frames


@given(st.binary(max_size=9000), st.lists(st.integers(1, 3000), max_size=8))
@settings(max_examples=60)
def test_the_frames_do_not_depend_on_how_the_bytes_came(data: bytes, pieces: list[int]) -> None:
    whole = Framer(RATE)
    expected = [*whole.take(data), *whole.finish()]
    parted, place, found = Framer(RATE), 0, []
    for size in pieces:
        found += parted.take(data[place : place + size])
        place += size
    found += [*parted.take(data[place:]), *parted.finish()]
    assert [frame.tolist() for frame in found] == [frame.tolist() for frame in expected]
    assert all(frame.size == FRAME for frame in found)


@pytest.mark.parametrize(("rate", "channels"), [(8000, 1), (44_100, 2), (48_000, 1)])
def test_another_rate_keeps_pitch_and_length(tmp_path: Path, rate: int, channels: int) -> None:
    tone = (np.sin(np.arange(rate) * 2 * np.pi * 500 / rate) * 8000).astype("<i2")
    path = tmp_path / "tone.wav"
    with wave.open(str(path), "wb") as file:
        file.setnchannels(channels)
        file.setsampwidth(2)
        file.setframerate(rate)
        file.writeframes(np.repeat(tone, channels).tobytes())
    sound = np.concatenate(list(wave_frames(path)))
    assert sound.size == pytest.approx(RATE, abs=2 * FRAME)
    loudest = np.argmax(np.abs(np.fft.rfft(sound[:RATE])))
    assert loudest * RATE / min(sound.size, RATE) == pytest.approx(500, abs=3)


@pytest.mark.parametrize("content", [b"", b"RIFF", b"not a sound at all", b"RIFF\x24\x00\x00\x00WAVEfmt "])
def test_what_is_no_wave_file_is_said_with_a_remedy(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "bad.wav"
    path.write_bytes(content)
    with pytest.raises(SpeechError, match="Save it as 16-bit PCM WAV"):
        list(wave_frames(path))


def test_a_missing_file_is_said(tmp_path: Path) -> None:
    with pytest.raises(SpeechError, match="There is no file"):
        list(wave_frames(tmp_path / "none.wav"))

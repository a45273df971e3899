"""Synthetic speech and the noise of a condensing unit, for tests and the benchmark."""

from __future__ import annotations

import shutil
import subprocess
import tempfile
import wave
from functools import cache
from pathlib import Path

import numpy as np
import soxr
from numpy.typing import NDArray

from speech.levels import RATE, Samples
from speech.voice import Voice

FLITE = ("slt", "rms", "awb", "kal16")
PEAK = 12_000
SUPPLY_HZ = 60


def voices() -> list[str]:
    """Return the voices that this machine can speak with; eSpeak NG from its wheel is always there."""
    return [*(FLITE if shutil.which("flite") else ()), "espeak-ng"]


@cache
def said(text: str, voice: str = "espeak-ng") -> Samples:
    """Return ``text`` as speech at 16 kHz, always equally loud."""
    if voice == "espeak-ng":
        maker = Voice()
        samples = np.frombuffer(maker.sound(text, "en-us", 150), "<i2")
        rate = maker.rate_hz
    else:
        samples, rate = _flite(text, voice)
    sound = soxr.resample(samples.astype(np.float64), rate, RATE)
    return np.asarray(sound / max(np.abs(sound).max(), 1) * PEAK, np.int16)


def _flite(text: str, voice: str) -> tuple[Samples, int]:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "said.wav"
        subprocess.run(["flite", "-voice", voice, "-t", text, "-o", str(path)], check=True)  # noqa: S603, S607
        with wave.open(str(path)) as file:
            return np.frombuffer(file.readframes(file.getnframes()), "<i2"), file.getframerate()


def unit_noise(count: int, seed: int) -> NDArray[np.float64]:
    """Return the noise of a condensing unit with power 1: fan wind falling from 300 Hz on, blade pass, and supply hum.

    Twice the supply frequency and its multiples; blade pass of an invented fan. Shape from memory, no source.
    """
    random = np.random.default_rng(seed)
    frequency = np.fft.rfftfreq(count, 1 / RATE)
    spectrum = np.fft.rfft(random.standard_normal(count)) / np.sqrt(1 + (frequency / 300) ** 2)
    spectrum[frequency < 40] = 0
    wind = np.fft.irfft(spectrum, count)
    time = np.arange(count) / RATE
    parts = ((1, 1.0), (2, 0.5), (3, 0.3), (4, 0.2), (6, 0.1))
    hum = sum(
        (size * np.sin(2 * np.pi * nth * 2 * SUPPLY_HZ * time + random.uniform(0, 2 * np.pi)) for nth, size in parts),
        0.5 * np.sin(2 * np.pi * 47 * time),
    )
    mixed = 0.8 * wind / wind.std() + 0.6 * hum / hum.std()
    return np.asarray(mixed / mixed.std())


def at_the_unit(
    speech: Samples, snr_db: float | None, seed: int = 1, before_s: float = 0.5, after_s: float = 1.0
) -> Samples:
    """Return speech with quiet before and behind it and the unit's noise under all; None = a quiet room."""
    quiet = [np.zeros(int(RATE * seconds)) for seconds in (before_s, after_s)]
    sound = np.concatenate([quiet[0], speech.astype(np.float64), quiet[1]])
    power = float(np.sqrt(np.mean(np.square(speech.astype(np.float64)))))
    if snr_db is None:
        noise = np.random.default_rng(seed).standard_normal(sound.size) * 4
    else:
        noise = unit_noise(sound.size, seed) * power / 10 ** (snr_db / 20)
    return np.asarray(np.clip(sound + noise, -32768, 32767), np.int16)


def write_wave(path: Path, *sounds: Samples, rate: int = RATE) -> None:
    """Write sounds one behind the other as a 16-bit mono WAV file."""
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(rate)
        file.writeframes(np.concatenate(sounds).astype("<i2").tobytes())

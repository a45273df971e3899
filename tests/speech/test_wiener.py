"""Noise before a phrase is taken out of it; clean speech is left alone."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from speech.levels import FRAME, RATE, Gate, PhraseCutter
from speech.wiener import without_noise
from tests.speech_sounds import unit_noise

LEAD, SPEECH = int(0.3 * RATE), RATE


def tone(level: float) -> NDArray[np.float64]:
    """Return a quarter of a minute's worth of nothing, then a tone that comes and goes like syllables."""
    time = np.arange(SPEECH) / RATE
    syllables = (np.sin(2 * np.pi * 3 * time) > 0).astype(float)
    return np.concatenate([np.zeros(LEAD), level * syllables * np.sin(2 * np.pi * 900 * time)])


def power_db(sound: NDArray[np.float64]) -> float:
    return float(10 * np.log10(np.mean(sound**2)))


def test_the_noise_goes_down_and_the_tone_stays() -> None:
    clean = tone(6000)
    noisy = clean + 600 * unit_noise(clean.size, seed=3)
    cleaned = without_noise(noisy.astype(np.int16))
    assert cleaned.shape == clean.shape
    assert power_db(cleaned[:LEAD]) < power_db(noisy[:LEAD]) - 8
    assert power_db(cleaned - clean) < power_db(noisy - clean) - 3
    assert abs(power_db(cleaned[LEAD:]) - power_db(clean[LEAD:])) < 1


def test_a_quiet_place_and_a_scrap_of_sound_are_left_as_they_are() -> None:
    quiet = (tone(6000) + np.random.default_rng(1).standard_normal(LEAD + SPEECH)).astype(np.int16)
    assert np.array_equal(without_noise(quiet), quiet.astype(float))
    scrap = np.ones(300, np.int16)
    assert np.array_equal(without_noise(scrap), scrap.astype(float))


def test_what_is_said_at_once_in_a_quiet_room_is_not_taken_for_its_noise() -> None:
    cutter = PhraseCutter(Gate())
    sound = np.concatenate([np.zeros(RATE // 2), tone(6000)[LEAD:], np.zeros(RATE)])
    sound = (sound + 4 * np.random.default_rng(2).standard_normal(sound.size)).astype(np.int16)
    frames = (sound[start : start + FRAME] for start in range(0, sound.size - FRAME, FRAME))
    phrase = next(cut for frame in frames if (cut := cutter.take(frame))).samples
    assert np.array_equal(without_noise(phrase), phrase.astype(float))


def test_silence_gives_silence() -> None:
    assert not without_noise(np.zeros(RATE, np.int16)).any()

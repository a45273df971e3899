"""Phrases are cut out of sound: by loudness over the noise before them, and never by a machine's hum."""

from __future__ import annotations

import numpy as np
import pytest

from speech.levels import FRAME, FRAME_S, RATE, SILENT_DB, Cut, Gate, PhraseCutter, Samples, loudness_db
from tests.speech_sounds import at_the_unit, said, unit_noise


def cuts(sound: Samples, gate: Gate | None = None) -> list[Cut]:
    cutter = PhraseCutter(gate or Gate())
    found = [cutter.take(sound[start : start + FRAME]) for start in range(0, sound.size - FRAME + 1, FRAME)]
    return [cut for cut in [*found, cutter.finish()] if cut is not None]


def noise(seconds: float, level: float, seed: int = 1) -> Samples:
    return np.asarray(unit_noise(int(seconds * RATE), seed) * level, np.int16)


def test_loudness_of_a_full_scale_square_is_0_db_and_of_nothing_the_range_of_16_bits() -> None:
    assert loudness_db(np.full(480, 32767, np.int16)) == pytest.approx(0, abs=0.01)
    assert loudness_db(np.zeros(480, np.int16)) == SILENT_DB
    # a sine of amplitude 1 has the power 1/2: -3.01 dB (textbook mathematics)
    sine = np.sin(np.arange(16_000) * 2 * np.pi * 440 / RATE) * 32767
    assert loudness_db(sine.astype(np.int16)) == pytest.approx(-3.01, abs=0.02)


@pytest.mark.parametrize("snr_db", [None, 20, 15])
def test_one_note_is_one_phrase_with_its_first_sound_kept(snr_db: float | None) -> None:
    speech = said("fan side reads four point eight microfarads")
    (cut,) = cuts(at_the_unit(speech, snr_db))
    assert cut.samples.size >= speech.size * 0.9
    if snr_db is not None:
        assert cut.snr_db == pytest.approx(snr_db, abs=6)


def test_two_notes_with_a_pause_are_two_phrases() -> None:
    one, two = at_the_unit(said("contactor is out"), 20), at_the_unit(said("twenty seven at the coil"), 20)
    assert len(cuts(np.concatenate([one, two]))) == 2


def test_noise_alone_is_no_phrase() -> None:
    assert cuts(noise(6, 600)) == []
    assert cuts(np.zeros(RATE * 3, np.int16)) == []


def test_a_unit_that_starts_meanwhile_does_not_keep_the_phrase_open() -> None:
    quiet, loud = noise(2, 20), noise(12, 450)
    assert cuts(np.concatenate([quiet, loud])) == []
    # and the next note is heard over the new noise
    speech = said("compressor is humming").astype(np.float64)
    later = noise(4, 450, 2).astype(np.float64)
    later[RATE : RATE + speech.size] += speech
    (cut,) = cuts(np.concatenate([quiet, loud, later.astype(np.int16)]))
    assert cut.samples.size < 3 * RATE


def test_a_phrase_ends_in_a_place_that_is_loud_from_the_first_sound_on() -> None:
    speech = said("compressor is humming").astype(np.float64)
    sound = noise(4, 900).astype(np.float64)
    sound[RATE // 2 : RATE // 2 + speech.size] += speech
    (cut,) = cuts(sound.astype(np.int16))
    assert cut.samples.size < speech.size + RATE


def test_what_is_said_at_once_is_kept() -> None:
    speech = said("compressor is humming")
    (cut,) = cuts(np.concatenate([speech, np.zeros(RATE, np.int16)]))
    assert cut.samples.size >= speech.size * 0.9


def test_a_click_is_no_phrase() -> None:
    sound = np.asarray(np.random.default_rng(1).standard_normal(RATE * 2) * 20, np.int16)
    sound[RATE : RATE + FRAME] = 20_000
    assert cuts(sound) == []


def test_endless_speech_is_cut_hard() -> None:
    talk = np.concatenate([said("the compressor hums and cuts out and the fan runs")] * 20)
    first, *_ = cuts(talk, Gate(longest_s=5.0))
    assert first.too_long
    assert first.samples.size <= 5.0 * RATE + FRAME_S * RATE

"""A phrase is heard while it is spoken: in pieces as whole, and never otherwise for what was heard before."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.voice.lesson import lesson_of
from knowledge import load
from speech.levels import FRAME, RATE, Cut, Gate, PhraseCutter, Samples
from speech.messages import Hypothesis, Lesson
from speech.recogniser import HearingAhead, Recognised, hear
from speech.sphinx import SphinxRecogniser
from speech.wiener import NoiseRemover, without_noise
from tests.speech_sounds import at_the_unit, said, unit_noise

NOTES = ("pulled the disconnect", "contactor is out", "compressor locked rotor seventeen amps")
SILENCE = round((Gate().end_s - Gate().pause_s) * RATE)
"""Samples between the pause, where the hearing is finished, and the end of the phrase."""


class Sizes:
    """Hears each phrase as its length, and keeps what it was asked to do."""

    name = "sizes"

    def __init__(self) -> None:
        self.pieces: list[int] = []
        self.finished: list[int] = []

    def teach(self, lesson: Lesson) -> list[str]:
        raise AssertionError(lesson)

    def begin(self) -> None:
        self.pieces = []

    def take(self, samples: Samples) -> None:
        self.pieces.append(samples.size)

    def finish(self) -> Recognised:
        self.finished.append(sum(self.pieces))
        return Recognised((Hypothesis(str(self.finished[-1]), 0.0),), 1.0, 1.0)


@pytest.fixture(scope="module")
def recogniser(tmp_path_factory: pytest.TempPathFactory) -> SphinxRecogniser:
    made = SphinxRecogniser(tmp_path_factory.mktemp("lesson"))
    made.teach(lesson_of(load()))
    return made


def in_pieces(recogniser: SphinxRecogniser, sound: Samples, size: int) -> Recognised:
    recogniser.begin()
    for start in range(0, sound.size, size):
        recogniser.take(sound[start : start + size])
    return recogniser.finish()


@pytest.mark.parametrize("snr_db", [None, 20])
@pytest.mark.parametrize("note", NOTES)
def test_a_phrase_in_pieces_is_heard_as_the_whole_whatever_was_heard_before(
    recogniser: SphinxRecogniser, note: str, snr_db: float | None
) -> None:
    sound = at_the_unit(said(note), snr_db, before_s=0.3, after_s=0.2)
    whole = hear(recogniser, sound)
    assert whole.hypotheses[0].text.startswith(note[:6])  # and not as nothing, both times
    assert in_pieces(recogniser, sound, FRAME) == whole
    other = at_the_unit(said(NOTES[1]), 15, seed=9)
    hear(recogniser, other)
    assert in_pieces(recogniser, sound, 777) == whole
    recogniser.begin()
    recogniser.take(other)  # and dropped in the middle
    assert in_pieces(recogniser, sound, RATE) == whole


def follow(recogniser: Sizes, sound: Samples) -> tuple[Cut | None, str]:
    """Return the first phrase of a sound, cut at the latest where the sound ends, and what was heard."""
    cutter, ahead = PhraseCutter(Gate()), HearingAhead(recogniser)
    cut = None
    for start in range(0, sound.size - FRAME + 1, FRAME):
        cut = cutter.take(sound[start : start + FRAME])
        if cut is not None:
            break
        ahead.follow(cutter)
    cut = cut or cutter.finish()
    return cut, ahead.words(cut).hypotheses[0].text if cut is not None else ""


def test_the_whole_phrase_reaches_the_recogniser_by_and_by_and_once() -> None:
    recogniser = Sizes()
    cut, heard = follow(recogniser, at_the_unit(said("twenty seven at the coil"), None))
    assert cut is not None
    assert recogniser.finished == [cut.samples.size - SILENCE]
    assert heard == str(recogniser.finished[0])
    assert set(recogniser.pieces[1:]) == {FRAME}  # after what was kept from before the begin


def test_a_knock_before_a_phrase_is_no_part_of_it() -> None:
    recogniser = Sizes()
    knock = np.asarray(np.random.default_rng(1).standard_normal(RATE // 10) * 5000, np.int16)
    sound = np.concatenate([at_the_unit(knock, None), at_the_unit(said("twenty seven at the coil"), None)])
    cut, _ = follow(recogniser, sound)
    assert cut is not None
    assert len(recogniser.finished) == 2  # the knock's pause too
    assert recogniser.finished[1] == cut.samples.size - SILENCE


def test_a_phrase_that_the_key_ends_is_finished_with_all_of_its_sound() -> None:
    recogniser = Sizes()
    cut, heard = follow(recogniser, at_the_unit(said("twenty seven at the coil"), None)[: RATE * 3 // 2])
    assert cut is not None
    assert heard == str(cut.samples.size)


@given(cuts=st.lists(st.integers(1, RATE), max_size=8), seconds=st.floats(0.1, 2.0), level=st.sampled_from([0, 5, 900]))
def test_noise_is_taken_out_of_pieces_as_out_of_the_whole(cuts: list[int], seconds: float, level: int) -> None:
    time = np.arange(int(RATE * seconds)) / RATE
    tone = 5000 * np.sin(2 * np.pi * 700 * time) * (time > 0.3)
    sound = (tone + level * unit_noise(time.size, 1)).astype(np.int16)
    remover = NoiseRemover()
    pieces = np.split(sound, sorted(cut for cut in cuts if cut < sound.size))
    cleaned = np.concatenate([*(remover.take(piece) for piece in pieces), remover.finish()])
    assert np.array_equal(cleaned, without_noise(sound))
    assert cleaned.size == sound.size

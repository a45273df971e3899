"""Numbers said in words are read back as the same numbers by the language part."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from assistant.language.spoken_numbers import NumberReader
from assistant.voice.number_speech import NumberSpeaker
from knowledge import load

WORDS = load().number_words
SPEAKER, READER = NumberSpeaker(WORDS), NumberReader(WORDS)


@given(st.integers(0, 99_999) | st.decimals(0, 999, places=1) | st.decimals(0, 99, places=2))
def test_every_way_to_say_a_number_is_read_as_that_number(value: float) -> None:
    for way in SPEAKER.ways(float(value)):
        pieces = way.split()
        found = READER.read(pieces)
        assert found is not None, way
        assert found.length == len(pieces), way
        assert float(value) in found.values, way


@given(st.integers(0, 9999) | st.decimals(0, 99, places=1))
def test_digits_name_every_digit_once(value: float) -> None:
    said = SPEAKER.digits(float(value))
    assert len(said.split()) == len(f"{float(value):.6g}")


def test_fifteen_and_fifty_sound_nothing_alike_digit_by_digit() -> None:
    assert (SPEAKER.digits(15), SPEAKER.digits(50), SPEAKER.digits(1.2)) == ("one five", "five zero", "one point two")

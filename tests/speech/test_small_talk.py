"""The rival of the notes: ordinary talk, made of the wheel's own model."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest
from pocketsphinx import get_model_path

from speech.pronounce import PHONES, read_dictionary
from speech.small_talk import MARK, small_talk

ORDER = Path(get_model_path("en-us/en-us.lm.bin"))
SOUNDS = read_dictionary(Path(get_model_path("en-us/cmudict-en-us.dict")))


@pytest.fixture(scope="module")
def talk() -> tuple[list[str], dict[str, tuple[str, ...]]]:
    return small_talk(ORDER, SOUNDS)


def test_every_word_is_marked_and_has_its_sounds(talk: tuple[list[str], dict[str, tuple[str, ...]]]) -> None:
    sentences, sounds = talk
    for word in {word for sentence in sentences for word in sentence.split()}:
        assert word.startswith(MARK)
        assert all(set(way.split()) <= PHONES for way in sounds[word])


def test_words_follow_each_other_as_in_english(talk: tuple[list[str], dict[str, tuple[str, ...]]]) -> None:
    sentences, _ = talk
    pairs = Counter(
        pair for sentence in sentences for pair in zip(sentence.split(), sentence.split()[1:], strict=False)
    )
    assert pairs[(f"{MARK}of", f"{MARK}the")] > 20 * max(1, pairs[(f"{MARK}the", f"{MARK}of")])


def test_the_same_talk_is_made_every_time(talk: tuple[list[str], dict[str, tuple[str, ...]]]) -> None:
    assert small_talk(ORDER, SOUNDS) == talk

"""What the recogniser doubts is marked, never dropped; what was typed is never doubted."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.language.hearing import SURE
from assistant.language.models import Context, Doubt, Heard, Kind
from assistant.language.understand import understand
from knowledge import load
from tests.language.notes import asked_for

NOTES = st.sampled_from(
    (
        "line side two forty one load side zero",
        "herm thirty eight point two fan four point nine",
        "pulled the disconnect and locked it",
        "fan humming compressor silent",
        "coil fifteen volts",
        "replaced the capacitor",
        "what next",
        "c to r fifty",
        "condenser wont start",
    )
)
LEVELS = st.floats(0, 1, allow_nan=False)


def all_items(heard: tuple[Heard, ...]) -> list[Heard]:
    return [one for item in heard for one in (item, *item.options)]


def without(items: tuple[Heard, ...], doubt: Doubt) -> list[Heard]:
    def clean(item: Heard) -> Heard:
        return replace(
            item,
            doubts=tuple(one for one in item.doubts if one is not doubt),
            options=tuple(clean(option) for option in item.options),
        )

    return [clean(item) for item in items]


@settings(max_examples=150, deadline=None)
@given(NOTES, LEVELS, st.lists(LEVELS, max_size=12))
def test_a_typed_note_is_never_misheard(note: str, confidence: float, words: list[float]) -> None:
    found = understand(note, load(), Context(confidence=confidence, word_confidence=tuple(words)))
    assert not any(Doubt.MISHEARD in item.doubts for item in all_items(found.heard))


@settings(max_examples=150, deadline=None)
@given(NOTES, LEVELS, st.data())
def test_confidence_only_marks_and_marks_what_stands_on_a_doubtful_word(
    note: str, confidence: float, data: st.DataObject
) -> None:
    count = len(note.split())
    words = tuple(data.draw(st.lists(LEVELS, min_size=count, max_size=count)))
    sure = understand(note, load(), Context(spoken=True))
    found = understand(note, load(), Context(spoken=True, confidence=confidence, word_confidence=words))
    assert without(found.heard, Doubt.MISHEARD) == without(sure.heard, Doubt.MISHEARD)
    assert found.not_understood == sure.not_understood
    for plain, item in zip(sure.heard, found.heard, strict=True):
        inside = [w for w, (s, e) in zip(words, spans(note), strict=True) if s < item.end and item.start < e]
        doubted = confidence < SURE or any(word < SURE for word in inside)
        assert (Doubt.MISHEARD in item.doubts) == (doubted or Doubt.MISHEARD in plain.doubts)


def spans(note: str) -> list[tuple[int, int]]:
    found, at = [], 0
    for word in note.split():
        start = note.index(word, at)
        at = start + len(word)
        found.append((start, at))
    return found


@given(NOTES, st.lists(LEVELS, max_size=12))
def test_a_count_that_does_not_fit_the_words_says_nothing(note: str, words: list[float]) -> None:
    if len(words) != len(note.split()):
        odd = understand(note, load(), Context(spoken=True, word_confidence=tuple(words)))
        assert odd == understand(note, load(), Context(spoken=True))


TEENS = {13: "thirteen", 14: "fourteen", 15: "fifteen", 16: "sixteen", 17: "seventeen", 18: "eighteen", 19: "nineteen"}
TENS = {13: "thirty", 14: "forty", 15: "fifty", 16: "sixty", 17: "seventy", 18: "eighty", 19: "ninety"}
CHECKS = ("v_coil", "uf_herm", "uf_fan", "a_fan", "a_compressor", "v_l1_ground", "v_contactor_line")


@settings(max_examples=200, deadline=None)
@given(st.sampled_from(sorted(TEENS)), st.booleans(), st.sampled_from(CHECKS))
def test_a_spoken_teen_or_ten_is_asked_or_marked_and_only_a_possible_value_is_taken(
    teen: int, heard_teen: bool, check: str
) -> None:
    ten = (teen - 10) * 10
    asked = asked_for(f"check:{check}")
    words, other = (TEENS[teen], ten) if heard_teen else (TENS[teen], teen)
    value = teen if heard_teen else ten
    (item,) = understand(words, load(), Context(asked=asked, spoken=True)).heard
    assert asked.plausible is not None
    low, high = asked.plausible
    possible = {float(one) for one in (value, other) if low <= one <= high}
    if item.usable:
        assert item.value in possible
        assert Doubt.MISHEARD in item.doubts
    elif possible:
        assert {option.value for option in item.options} == possible
    (typed,) = understand(words, load(), Context(asked=asked)).heard
    assert Doubt.MISHEARD not in typed.doubts
    assert typed.value == value


@pytest.mark.parametrize("level", [0.0, SURE - 0.01])
def test_a_doubtful_step_is_marked_for_the_engine_to_refuse(level: float) -> None:
    (item,) = understand("locked out and tagged", load(), Context(spoken=True, confidence=level)).heard
    assert item.kind is Kind.SAFETY
    assert Doubt.MISHEARD in item.doubts

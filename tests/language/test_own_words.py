"""Whoever answers in the words of the question is understood: every answer of every look."""

from __future__ import annotations

import pytest

from assistant.language.models import Asked, Context, Kind
from assistant.language.understand import understand
from knowledge import load

KB = load()
ANSWERS = [(check, answer) for check in KB.checks.values() for answer in check.answers if answer.states]


@pytest.mark.parametrize(("check", "answer"), ANSWERS, ids=lambda one: getattr(one, "id", None) or one.outcome)
def test_the_name_of_an_answer_is_that_answer(check, answer) -> None:  # type: ignore[no-untyped-def]
    asked = Asked("check", check.id, check.about)
    (item,) = understand(f"{answer.name.capitalize()}.", KB, Context(asked=asked)).heard
    assert item.kind is Kind.FINDING
    assert [other.outcome for other in check.answers if item.state in other.states] == [answer.outcome]


def test_without_the_question_the_words_are_read_as_always() -> None:
    asked = Asked("check", "ask_size", "unit_size")
    assert understand("big enough", KB, Context(asked=asked)).heard
    assert not understand("big enough", KB).heard


@pytest.mark.parametrize("note", ["it is free", "free."])
def test_words_around_the_name_of_an_answer_are_let_pass(note: str) -> None:
    asked = Asked("check", "look_condenser_air", "condenser_air")
    (item,) = understand(note, KB, Context(asked=asked)).heard
    assert item.about == "condenser_air"


@pytest.mark.parametrize("note", ["not big enough", "maybe big enough", "hardly big enough", "big enough or too small"])
def test_a_negation_a_hedge_or_two_answers_are_not(note: str) -> None:
    asked = Asked("check", "ask_size", "unit_size")
    heard = understand(note, KB, Context(asked=asked)).heard
    sure = [item for item in heard if item.usable and not item.negated and not item.doubts]
    assert not {item.state for item in sure} & {"good", "usual"}


@pytest.mark.parametrize("note", ["-----", "/", "?", "yes -----"])
def test_signs_alone_answer_nothing(note: str) -> None:
    """Asked whether fan and compressor start: no sign is a part that does or does not."""
    asked = Asked("close_out", "prove_start")
    assert not any(item.kind is Kind.FINDING for item in understand(note, KB, Context(asked=asked)).heard)

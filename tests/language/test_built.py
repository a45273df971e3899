"""How the unit is built is heard at any time, and never taken for a finding."""

from __future__ import annotations

import pytest

from assistant.language.models import Asked, Context, Kind
from assistant.language.understand import understand
from knowledge import load

KB = load()
SAID = [
    (phrase, f"{option.id}.{choice.id}")
    for unit in KB.units.values()
    for option in unit.options
    for choice in option.choices
    for phrase in choice.phrases
] + [(phrase, f"kind.{unit.id}") for unit in KB.units.values() for phrase in unit.phrases]
SAID += [
    (phrase, f"kind.{unit.id}.{made}")
    for unit in KB.units.values()
    for made, both in unit.phrases_with.items()
    for phrase in both
]


@pytest.mark.parametrize(("phrase", "meant"), sorted(set(SAID)))
@pytest.mark.parametrize("asked", [None, Asked("check", "v_pole_1", "pole_1", "voltage", "V")], ids=["", "asked"])
def test_each_phrase_says_how_the_unit_is_built(phrase: str, meant: str, asked: Asked | None) -> None:
    found = understand(phrase, KB, Context(asked=asked))
    assert [(item.kind, item.about, item.negated) for item in found.heard] == [(Kind.BUILT, meant, False)]
    assert not found.not_understood


def test_it_is_heard_beside_a_reading() -> None:
    found = understand("one pole contactor, 241 volts on the line side", KB)
    assert [(item.kind, item.about) for item in found.heard] == [
        (Kind.BUILT, "contactor_poles.one_pole"),
        (Kind.READING, "contactor_line"),
    ]


def test_a_denied_phrase_is_marked_as_denied() -> None:
    (item,) = understand("not a two pole contactor", KB).heard
    assert (item.about, item.negated) == ("contactor_poles.two_pole", True)


CHOICES = [
    (option.id, choice.id, said)
    for unit in KB.units.values()
    for option in unit.options
    for choice in option.choices
    for said in choice.answers
]


@pytest.mark.parametrize(("option", "choice", "said"), CHOICES)
def test_a_short_answer_is_taken_right_after_its_question_only(option: str, choice: str, said: str) -> None:
    asked = Context(asked=Asked("built", option))
    assert [item.about for item in understand(f"{said}.", KB, asked).heard] == [f"{option}.{choice}"]
    if not any(phrase in said for phrase in _phrases(option, choice)):
        assert f"{option}.{choice}" not in {item.about for item in understand(said, KB).heard}


def test_no_short_answer_means_two_choices_of_an_option() -> None:
    for unit in KB.units.values():
        for option in unit.options:
            said = [answer for choice in option.choices for answer in choice.answers]
            assert len(said) == len(set(said)), option.id
            assert all(choice.answers for choice in option.choices)


def _phrases(option: str, choice: str) -> set[str]:
    return {phrase for phrase, told in SAID if told == f"{option}.{choice}"}

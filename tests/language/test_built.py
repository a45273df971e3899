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

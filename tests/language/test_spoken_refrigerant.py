"""A refrigerant said in words is the refrigerant of the plate, and its figures are no reading."""

from __future__ import annotations

import pytest

from assistant.language.models import Context, Kind
from assistant.language.understand import understand
from knowledge import load

KB = load()


@pytest.mark.parametrize(
    ("said", "name"),
    [
        ("r four ten a", "R-410A"),
        ("refrigerant r four ten a", "R-410A"),
        ("r four oh seven c", "R-407C"),
        ("r twenty two", "R-22"),
        ("r four fifty four b", "R-454B"),
    ],
)
def test_a_whole_note_that_is_a_refrigerant(said: str, name: str) -> None:
    [item] = understand(said, KB, Context(spoken=True)).heard
    assert (item.kind, item.about, item.text) == (Kind.PLATE, "refrigerant", name)


@pytest.mark.parametrize("said", ["c to r twenty two", "r to c twenty two volts", "twenty two"])
def test_a_terminal_before_a_number_is_no_refrigerant(said: str) -> None:
    assert all(item.kind is not Kind.PLATE for item in understand(said, KB, Context(spoken=True)).heard)

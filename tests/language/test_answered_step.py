"""Which words answer a safety step that was asked for, and which are said of something else."""

from __future__ import annotations

import pytest

from assistant.language.models import Asked, Context, Kind
from assistant.language.understand import understand
from knowledge import load

TESTER_AGAIN = Context(asked=Asked("step", "tester_after", load().steps["tester_after"].about, None, None))


@pytest.mark.parametrize("said", ["spins fine", "turns free", "hums ok", "runs fine"])
def test_a_part_that_turns_fine_is_no_tester_that_was_proved(said: str) -> None:
    assert not [item for item in understand(said, load(), TESTER_AGAIN).heard if item.kind is Kind.SAFETY]


@pytest.mark.parametrize("said", ["tester proved again", "tester works fine", "still good"])
def test_the_tester_that_still_works_is(said: str) -> None:
    heard = understand(said, load(), TESTER_AGAIN).heard
    assert (Kind.SAFETY, "tester_after") in [(item.kind, item.about) for item in heard]

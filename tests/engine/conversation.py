"""A visit in a temporary folder, driven by notes; tests read like the conversation."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from assistant.desk import Desk
from assistant.dialogue.reply import Reply
from assistant.open_visit import Visits
from knowledge import load
from tests.engine.clock import SteppingClock

MAKE_DEAD = (
    "pulled the disconnect", "locked and tagged", "tester proved on a known source", "leg to leg 0 volts",
    "l1 to ground 0 volts", "l2 to ground 0 volts", "proved the tester again",
)  # fmt: skip
DISCHARGE = ("discharged the capacitor through the resistor", "3 volts dc on the capacitor")
RESTORE = ("tools clear", "everybody clear", "lock off and power on")


class Conversation:
    """Says notes and keeps the last reply."""

    def __init__(self, home: Path, cache: Path | None = None) -> None:
        self.cache = cache or home / "cache"
        self.visits = Visits(load(), home / "visits", home / "notes", cache=self.cache, clock=SteppingClock())
        self.desk: Desk = self.visits.new()
        self.reply: Reply = self.desk.greet()

    def say(self, *notes: str) -> Reply:
        """Say notes one after the other; return the last reply."""
        for note in notes:
            self.reply = self.desk.say(note)
        return self.reply

    def killed(self) -> Reply:
        """The program ends without a word and is started again."""
        visit = self.desk.visit
        self.desk.close()
        self.desk = self.visits.resumed(visit)
        self.reply = self.desk.greet()
        return self.reply


@pytest.fixture
def visit(tmp_path: Path) -> Iterator[Conversation]:
    """A new visit."""
    talk = Conversation(tmp_path)
    yield talk
    talk.desk.close()

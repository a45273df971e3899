"""The desk when the disk does not take what was said."""

from __future__ import annotations

import errno
import os

import pytest

from assistant.session.log import read
from tests.engine.conversation import Conversation, visit

__all__ = ["visit"]


@pytest.fixture
def full(monkeypatch: pytest.MonkeyPatch) -> pytest.MonkeyPatch:
    """A full disk, until it is undone."""

    def no_space(*_: object) -> int:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "write", no_space)
    return monkeypatch


def test_what_waits_to_be_saved_is_counted_and_saved_with_the_next_note(
    visit: Conversation, full: pytest.MonkeyPatch
) -> None:
    visit.say("nothing running outside", "blower runs")
    assert "Notes waiting to be saved: 2." in visit.reply.reply
    assert "disk is full" in visit.reply.reply
    assert visit.desk.save_problem in visit.reply.reply.removeprefix("WARNING: ")
    full.undo()
    visit.say("stat is calling")
    assert visit.desk.save_problem is None
    assert "saved" not in visit.reply.reply
    assert visit.killed().reply
    assert read(visit.visits.store.path_of(visit.desk.visit)).events[-1].note >= 3


def test_closing_saves_what_it_can_and_knows_what_it_could_not(visit: Conversation, full: pytest.MonkeyPatch) -> None:
    visit.say("nothing running outside")
    visit.desk.close()
    assert visit.desk.save_problem is not None
    full.undo()


def test_closing_saves_what_waited(visit: Conversation, full: pytest.MonkeyPatch) -> None:
    visit.say("nothing running outside")
    full.undo()
    visit.desk.close()
    assert visit.desk.save_problem is None
    heard = [event for event in read(visit.visits.store.path_of(visit.desk.visit)).events if event.note == 1]
    assert heard

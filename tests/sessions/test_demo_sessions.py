"""Every demo session replayed through engine, log and note: the same note, byte for byte."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.demo import Exchange, demo_folder, read_demo, replay, replay_note
from assistant.language.models import Kind
from assistant.language.understand import understand
from knowledge import load

FIRST_WORDS = 3
"""Notes of a story within which it says what is wrong."""

STORIES = sorted(demo_folder().glob("*/visit.yaml"))


def test_every_symptom_has_its_story() -> None:
    kb, told = load(), set()
    for path in STORIES:
        for note in read_demo(path).notes[:FIRST_WORDS]:
            heard = understand(note.say, kb).heard
            told |= {item.about for item in heard if item.kind is Kind.COMPLAINT}
    assert told == set(kb.complaints)


@pytest.mark.parametrize("path", STORIES, ids=lambda path: path.parent.name)
def test_a_story_ends_with_its_note(path: Path) -> None:
    expected = (path.parent / "note.md").read_text(encoding="utf-8")
    actual = replay_note(read_demo(path), load())
    assert _without_version(actual) == _without_version(expected)


def _without_version(note: str) -> list[str]:
    """All lines but the last, which names the knowledge by a hash that any edit changes."""
    lines = note.splitlines()
    assert lines[-1].startswith("* Made ")
    return lines[:-1]


@pytest.mark.parametrize("path", STORIES, ids=lambda path: path.parent.name)
def test_every_note_of_a_story_is_understood(path: Path, tmp_path: Path) -> None:
    for step in replay(read_demo(path), load(), tmp_path, None):
        if isinstance(step, Exchange):
            assert not step.reply.not_understood, step.note

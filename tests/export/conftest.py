"""Knowledge, notes of the invented visits, and golden files.

``PADSIDE_UPDATE_GOLDENS=1 pytest tests/export`` rewrites the golden files; look at the difference before keeping it.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from datetime import datetime, timedelta, timezone
from pathlib import Path

import pytest

from assistant.export import JobNote, build_note
from knowledge import KnowledgeBase, load

from .stories import STORIES, Story

GOLDENS = Path(__file__).parent / "goldens"
OFFICE = timezone(timedelta(hours=-5))
MADE_AT = datetime(2031, 7, 14, 15, 10, tzinfo=OFFICE)


@pytest.fixture(scope="session")
def kb() -> KnowledgeBase:
    return load()


@pytest.fixture(scope="session")
def stories(kb: KnowledgeBase) -> dict[str, Story]:
    return {name: tell(kb) for name, tell in STORIES.items()}


@pytest.fixture(scope="session")
def notes(stories: dict[str, Story]) -> dict[str, JobNote]:
    return {name: note_of(story) for name, story in stories.items()}


@pytest.fixture
def golden() -> Callable[[str, str], None]:
    """Compare text with a committed file."""

    def check(name: str, actual: str) -> None:
        path = GOLDENS / name
        if os.environ.get("PADSIDE_UPDATE_GOLDENS"):
            path.parent.mkdir(exist_ok=True)
            path.write_text(actual, encoding="utf-8", newline="\n")
        assert path.exists(), f"no golden yet; run with PADSIDE_UPDATE_GOLDENS=1 and read {path}"
        assert actual == path.read_text(encoding="utf-8")

    return check


def note_of(story: Story) -> JobNote:
    return build_note(story.state, story.events, story.kb, made_at=MADE_AT)

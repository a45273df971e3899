"""A small visit as turns, its log, and disks that fail, for the tests of the log."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest

from assistant.session import events as e
from assistant.session.log import (
    LogError,
    VisitLog,
)

from .made import DISCHARGED, Story


def turns() -> list[list[e.AnyEvent]]:
    """The events of a small visit, a list per turn."""
    story = Story().steps(DISCHARGED[:3])
    story.read("v_coil", 27.4, doubts=("unsure",))
    story.find("wiring", "burnt", check="look_wiring", outcomes=("burnt",))
    story.add(e.StopRaised, stop="burnt_terminal", because="Klemme verschmort – 90 °C\n\u2028\x00")
    story.take_back(4)
    by_note: dict[int, list[e.AnyEvent]] = {}
    for event in story.visit.events:
        by_note.setdefault(event.note, []).append(event)
    return list(by_note.values())


TURNS = turns()
ALL = tuple(event for turn in TURNS for event in turn)


def written(path: Path) -> bytes:
    with VisitLog.create(path) as log:
        for turn in TURNS:
            log.append(turn)
    return path.read_bytes()


def sentence(err: pytest.ExceptionInfo[LogError]) -> str:
    text = str(err.value)
    assert text.endswith(".")
    assert "Errno" not in text
    assert "Traceback" not in text
    return text


def failing(number: int, after: int = 0) -> Callable[..., int]:
    """Stand in for os.write or os.fsync: do ``after`` bytes, then fail with this error number."""
    write = os.write

    def fail(descriptor: int, piece: bytes = b"") -> int:
        if after and piece:
            write(descriptor, bytes(piece)[:after])
        raise OSError(number, os.strerror(number))

    return fail

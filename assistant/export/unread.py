"""What was said and left no mark elsewhere in the note: not understood, not counted, or taken back."""

from __future__ import annotations

from collections.abc import Iterator

from assistant.session import events as e

from .record import Record
from .sections import Unread

ASKING = frozenset({"request", "answer", "correction"})
"""Kinds of thing heard that say nothing about the unit."""
NO_EFFECT = (e.NoteHeard, e.ReplyGiven, e.RepairProposed, e.PhaseEntered, e.VerdictReached)
"""Events that a note may cause without having counted itself; a question asked back is answered elsewhere."""


def unread(record: Record) -> tuple[Unread, ...]:
    """Return the notes with words that were not understood or do not count, oldest first."""
    effective = {event.note for event in record.events if not isinstance(event, NO_EFFECT) and not _plain_asked(event)}
    return tuple(one for heard in record.all_of(e.NoteHeard) for one in _unread(record, heard, effective))


def _unread(record: Record, heard: e.NoteHeard, effective: set[int]) -> Iterator[Unread]:
    at, phrases, whole = record.local(heard.at), heard.not_understood, heard.text
    if not record.stands(heard):
        why = record.voided[heard.note]
        word = "corrected" if why == "correction" else "taken back"
        yield Unread(at=at, note=heard.note, phrases=phrases, whole=whole, why=word)
    elif heard.note not in effective and any(item.get("kind") not in ASKING for item in heard.heard):
        yield Unread(at=at, note=heard.note, phrases=phrases, whole=whole, why="did not count")
    elif phrases:
        yield Unread(at=at, note=heard.note, phrases=phrases, whole=whole, why="not understood")


def _plain_asked(event: e.AnyEvent) -> bool:
    return isinstance(event, e.Asked) and event.kind != "clarify"

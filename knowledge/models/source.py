"""The bibliography: where a fact comes from and how well that is known."""

from __future__ import annotations

from enum import StrEnum

from .entry import Closed, Entry, Text


class Known(StrEnum):
    """How the text behind a fact was known when it was written down."""

    OPENED = "opened"
    """The named text, or a stored or mirrored copy of it, was read."""
    QUOTED = "quoted"
    """Read in another text that quotes or reports the named one."""
    PRACTICE = "practice"
    """Common practice of the trade, no source."""
    MEMORY = "memory"
    """From memory of the named work; to be confirmed."""
    DERIVED = "derived"
    """Arithmetic or elementary physics, done here."""
    ESTIMATE = "estimate"
    """A typical value chosen by the authors; not measured."""


class Source(Entry):
    title: Text
    """Name of the work, with clause or table where there is one."""
    known: Known
    note: str = ""
    """What kind of copy was read, or what is still to be confirmed."""


class SourceFile(Closed):
    sources: tuple[Source, ...]

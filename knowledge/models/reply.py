"""Sentences the assistant says, with named places to fill in."""

from __future__ import annotations

from .entry import Closed, Entry, Text


class Sentence(Entry):
    screen: Text
    """``{name}`` places are filled by the dialogue."""
    spoken: str = ""
    """Short form for the ear; empty = same as the screen."""


class ReplyFile(Closed):
    sentences: tuple[Sentence, ...]

"""Cleaning a note: what cannot be read is dropped, what is too long is cut, and the technician is told."""

from __future__ import annotations

import re
import unicodedata
from typing import NamedTuple

LONGEST_NOTE = 2000
"""Characters that one note may have; a minute of dictation is about 900."""

_SPACES = re.compile(r"[^\S\n]")
_ESCAPES = re.compile(r"\x1b(?:\[[0-?]*[ -/]*[@-~]|[@-_])")
"""Colour and cursor sequences of terminals, whole, so that their numbers are not read."""
_DROPPED = frozenset({"Cc", "Cf", "Cs", "Co", "Cn"})

EMPTY = "There is nothing in this note. Type or say what you see or measure."
NOT_TEXT = "This is not text that can be read. Type or say what you see or measure, in English."
NOT_ENGLISH = "Nothing here is in English letters or numbers. Type or say it in English."


class Clean(NamedTuple):
    """A note that can be taken apart, and what had to be said about it."""

    text: str
    problem: str | None


def clean(text: str) -> Clean:
    """Return the note without control characters and at most ``LONGEST_NOTE`` long; never raises.

    Spaces of all kinds become plain spaces one for one, line ends become ``\\n``.
    """
    head = text[: LONGEST_NOTE * 2]  # control characters do not count, so look further than the cut
    lines = _ESCAPES.sub("", head).replace("\r\n", "\n").replace("\r", "\n")
    kept = "".join(
        char for char in _SPACES.sub(" ", lines) if char == "\n" or unicodedata.category(char) not in _DROPPED
    )
    short, cut = _cut(kept, more=len(text) > len(head))
    return Clean(short, _problem(text, short, cut=cut))


def _cut(text: str, *, more: bool) -> tuple[str, bool]:
    """Return the text cut at a word end where it is too long, and whether it was cut."""
    if len(text) <= LONGEST_NOTE:
        return text, more
    head = text[:LONGEST_NOTE]
    space = max(head.rfind(" "), head.rfind("\n"))
    return (head[:space] if space > LONGEST_NOTE // 2 else head), True


def _problem(given: str, kept: str, *, cut: bool) -> str | None:
    if not kept.strip():
        return NOT_TEXT if given.strip() else EMPTY
    if _is_noise(given[: len(kept) * 2], kept):
        return NOT_TEXT
    if not any(char.isdigit() or (char.isalpha() and "LATIN" in unicodedata.name(char, "")) for char in kept):
        return NOT_ENGLISH
    if cut:
        return (
            f"The note is too long ({len(given):,} characters): only the first {len(kept):,} were read. "
            "Say it in shorter notes."
        )
    return None


def _is_noise(given: str, kept: str) -> bool:
    """True where a good part of the characters are none that a keyboard or a recogniser writes."""
    dropped = sum(unicodedata.category(char) in _DROPPED and not char.isspace() for char in given)
    broken = kept.count("\N{REPLACEMENT CHARACTER}")
    return (dropped + broken) * 5 > len(given)

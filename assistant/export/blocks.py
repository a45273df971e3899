"""What a readable note is made of, before any format: headings, paragraphs, labelled lines, lists, tables.

All text is as it was said or named; making it safe for a format is the renderer's work.
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass

_LOOK_ALIKE = {"Cc": " ", "Zl": " ", "Zp": " ", "Cs": "\N{REPLACEMENT CHARACTER}"}
_REORDERING = frozenset({"LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI"})


@dataclass(frozen=True, slots=True)
class Heading:
    text: str
    level: int = 2


@dataclass(frozen=True, slots=True)
class Paragraph:
    text: str


@dataclass(frozen=True, slots=True)
class Fields:
    """Labelled lines; rows with an empty text are left out by whoever makes them."""

    rows: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Bullets:
    items: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a table. In plain text each row becomes one sentence-like line: before + cell + after."""

    title: str
    before: str = "; "
    after: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]


Block = Heading | Paragraph | Fields | Bullets | Table


def one_line(text: str) -> str:
    """Return the text on one line, without control characters and marks that reorder what is shown."""
    cleaned = "".join(_harmless(char) for char in text)
    return " ".join(cleaned.split())


def _harmless(char: str) -> str:
    if unicodedata.bidirectional(char) in _REORDERING:
        return ""
    return _LOOK_ALIKE.get(unicodedata.category(char), char)

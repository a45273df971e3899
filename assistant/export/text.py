"""The note as plain text for e-mail: at most 78 characters a line, no tables."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import wrap

from .blocks import Block, Bullets, Fields, Heading, Paragraph, Table, one_line
from .outline import outline
from .sections import JobNote

WIDTH = 78
"""Most characters in a line of a message that a reader may count on (RFC 5322, 2.1.1, from memory)."""


def to_text(note: JobNote) -> str:
    """Return the note as plain text, lines of at most ``WIDTH`` characters."""
    return "\n\n".join("\n".join(_block(block)) for block in outline(note)) + "\n"


def _block(block: Block) -> Iterator[str]:
    match block:
        case Heading():
            lines = _wrapped(block.text if block.level == 1 else block.text.upper(), "")
            yield from lines
            yield ("=" if block.level == 1 else "-") * max(len(line) for line in lines)
        case Paragraph():
            yield from _wrapped(block.text, "")
        case Fields():
            for label, text in block.rows:
                yield from _wrapped(f"{label}: {text}", "", "    ")
        case Bullets():
            for item in block.items:
                yield from _wrapped(item, "- ", "  ")
        case Table():
            for row in block.rows:
                yield from _wrapped(_sentence(block, row), "- ", "  ")


def _sentence(table: Table, row: tuple[str, ...]) -> str:
    """Return a row as one line: each filled cell with the words of its column around it."""
    cells = zip(table.columns, row, strict=True)
    return "".join(f"{column.before}{cell}{column.after}" for column, cell in cells if cell)


def _wrapped(text: str, first: str, rest: str | None = None) -> list[str]:
    indent = first if rest is None else rest
    return wrap(one_line(text), WIDTH, initial_indent=first, subsequent_indent=indent, break_on_hyphens=False) or [
        first.rstrip()
    ]

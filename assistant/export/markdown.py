"""The note as Markdown: CommonMark with tables as in GitHub Flavored Markdown."""

from __future__ import annotations

import re

from .blocks import Block, Bullets, Fields, Heading, Paragraph, Table, one_line
from .outline import outline
from .sections import JobNote

_SPECIAL = re.compile(r"([\\`*_\[\]<>|~&#$!])")
"""What could start markup, a link, an entity or a new cell. ASCII punctuation may always be escaped
(CommonMark 0.31.2, section 2.4, from memory)."""

_LIST_MARK = re.compile(r"^(\d*)([-+.)])(?=\s|$)")
"""What would begin a list inside a list item."""


def to_markdown(note: JobNote) -> str:
    """Return the note as Markdown; nothing that was said can act as markup."""
    return "\n\n".join(_block(block) for block in outline(note)) + "\n"


def escaped(text: str) -> str:
    """Return the text on one line with every character that means something to Markdown escaped."""
    return _LIST_MARK.sub(r"\1\\\2", _SPECIAL.sub(r"\\\1", one_line(text)))


def _block(block: Block) -> str:
    # Lists take another mark than fields: one must not run into the other (CommonMark 0.31.2, 5.3, from memory).
    match block:
        case Heading():
            return f"{'#' * block.level} {escaped(block.text)}"
        case Paragraph():
            return escaped(block.text)
        case Fields():
            return "\n".join(f"- **{escaped(label)}:** {escaped(text)}" for label, text in block.rows)
        case Bullets():
            return "\n".join(f"* {escaped(item)}" for item in block.items)
        case Table():
            return _table(block)


def _table(table: Table) -> str:
    used = [place for place in range(len(table.columns)) if any(row[place] for row in table.rows)]
    head = [table.columns[place].title for place in used]
    rows = [[escaped(row[place]) for place in used] for row in table.rows]
    return "\n".join(_row(cells) for cells in (head, ["---"] * len(used), *rows))


def _row(cells: list[str]) -> str:
    return f"| {' | '.join(cells)} |"

"""Rows of text for panels: words wrapped beside a label, their number known before they are shown."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from assistant.dialogue.wording import SIGNALS, signal_words

Rows = list[Content]

_LABEL_SHARE = 4
"""A label wider than this part of the row runs into its words instead of standing beside them."""
_INDENT = Content("  ")


def hanging(label: str, words: str, width: int, *, label_style: str = "bold", style: str = "") -> Rows:
    """Return ``words`` wrapped to ``width`` columns, after and beside ``label``.

    A long label runs into its words. Nothing in ``words`` is taken as markup.
    """
    head = Content.styled(label, label_style) + " " if label else Content()
    text = Content.styled(words, style) if style else Content(words)
    if head.cell_length * _LABEL_SHARE > width:
        first, *others = _wrapped(head + text, width - _INDENT.cell_length)
        return [first, *(_INDENT + row for row in others)]
    body = _wrapped(text, width - head.cell_length)
    margin = Content(" " * head.cell_length)
    return [(head if number == 0 else margin) + row for number, row in enumerate(body)]


def signal_style(signal: str) -> str:
    """Return the style of a signal word: its colours, and reverse, which stays where there are no colours."""
    name = signal.lower() if signal.lower() in SIGNALS else SIGNALS[0]
    return f"bold reverse ${name}-ground on ${name}-ink"


def signalled(signal: str, words: str, width: int, *, more: str = "") -> Rows:
    """Return ``words`` behind symbol and signal word; ``more`` follows the signal word."""
    return hanging(f"{signal_words(signal)}{more}", words, width, label_style=signal_style(signal))


def stacked(rows: Sequence[Content]) -> Content:
    """Return rows as one block."""
    return Content("\n").join(rows)


def _wrapped(text: Content, width: int) -> Rows:
    rows = [row.rstrip() for line in text.split(allow_blank=True) for row in line.wrap(max(width, 2))]
    return rows or [Content()]

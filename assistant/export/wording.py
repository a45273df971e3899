"""Numbers, limits and lists as an office reader likes them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import isfinite
from textwrap import shorten
from typing import Protocol

from assistant.reasoning.limits import figure

MOST_CERTAIN = 0.99
"""No sum of estimates deserves more."""
OVER_LIMIT = "over limit (OL)"


class Named(Protocol):
    """An entry of the knowledge with a name."""

    @property
    def name(self) -> str: ...


def named(index: Mapping[str, Named], key: str) -> str:
    """Return the name of an entry; its id in words where the knowledge of today no longer has it."""
    known = index.get(key)
    return known.name if known else key.replace("_", " ")


def amount(value: float | None, unit: str, high: float | None = None, *, over_limit: bool = False) -> str:
    """Return ``241 V``, ``38 to 40 µF``, ``2 MΩ``: value or range with its unit, as read off a meter."""
    if over_limit or value is None:
        return OVER_LIMIT
    low_end = _one(value, unit)
    if high is None or high == value:
        return low_end
    high_end = _one(high, unit)
    number, _, symbol = low_end.partition(" ")
    return f"{number if high_end.endswith(f' {symbol}') else low_end} to {high_end}"


def listed(words: Iterable[str], last: str = "and") -> str:
    """Return ``a, b and c``."""
    items = list(words)
    if len(items) < 2:
        return "".join(items)
    return f"{', '.join(items[:-1])} {last} {items[-1]}"


def sentence(text: str) -> str:
    """Return the text with a capital and a full stop."""
    text = text.strip()
    if not text:
        return ""
    return f"{text[0].upper()}{text[1:]}" + ("" if text[-1] in ".!?" else ".")


def shortened(text: str, most: int) -> str:
    """Return the text on one line, cut between words to at most ``most`` characters with an ellipsis."""
    return shorten(text, most, placeholder=" …")


def once(words: Iterable[str]) -> tuple[str, ...]:
    """Return the words in order without repeats and empties."""
    return tuple(dict.fromkeys(word for word in words if word))


def counted(number: int, one: str, many: str) -> str:
    return f"{number} {one if number == 1 else many}"


def percent(probability: float) -> str:
    """Return ``91 %``; near certainty is told as such, never as 100 %."""
    if probability >= MOST_CERTAIN:
        return f"over {MOST_CERTAIN * 100:.0f} %"
    return f"{probability * 100:.0f} %" if probability >= 1.0 - MOST_CERTAIN else "under 1 %"


def _one(value: float, unit: str) -> str:
    return figure(value, unit) if isfinite(value) else f"not a number {unit}".rstrip()

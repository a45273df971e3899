"""Refrigerants said in words, wherever they stand: r four ten a, six pounds of four ten a."""

from __future__ import annotations

from collections.abc import Sequence

from .asking_words import asking_words_of
from .models import Heard, Kind
from .phrases import Mark
from .tokens import fold
from .work import Work

_LEAST_SAID = 3
"""Words of the shortest refrigerant said in full: r twenty two."""
_REFRIGERANT = "refrigerant"


def say_refrigerant(work: Work) -> None:
    """Keep a refrigerant said in words under its name: its figures are no reading.

    Where other words stand beside it only one that ends in a letter and that no meter reads so: in "c to r twenty two"
    the r is a winding, and "one thirty four a" may be amps.
    """
    names = asking_words_of(work.vocabulary).refrigerants
    for first in range(len(work.tokens)):
        count, name = names.at(work.tokens, first)
        tokens = work.tokens[first : first + count]
        if count < _LEAST_SAID or any(char.isdigit() for token in tokens for char in token.raw):
            continue  # written with figures it is a phrase of its own
        within = [mark for mark in work.marks if mark.last > first and mark.first < first + count]
        if not _is_whole(work, first, count) and not (name[-1].isalpha() and _is_no_reading(within, first, count)):
            continue
        start, end = tokens[0].start, tokens[-1].end
        work.items.append(Heard(Kind.PLATE, work.said(start, end), start, end, about=_REFRIGERANT, text=name))
        work.spent.update(range(len(work.tokens)) if _is_whole(work, first, count) else range(first, first + count))
        return


def _is_whole(work: Work, first: int, count: int) -> bool:
    """True where nothing but the word for it stands beside the name."""
    named = work.kb.plate_items[_REFRIGERANT].phrases[0]
    opened = first == 0 or (first == 1 and fold(work.tokens[0].raw) == named)
    return opened and first + count == len(work.tokens)


def _is_no_reading(within: Sequence[Mark], first: int, count: int) -> bool:
    """True where the words are cut as the name is, and no number of them is one that a meter shows: 410 amps."""
    if within[0].first != first or within[-1].last != first + count:
        return False
    counted = [(unit, mark.number.values[0]) for mark in within if mark.number for unit in mark.number.units]
    return not any(
        low <= unit.canonical(value) <= high for unit, value in counted for low, high in (unit.quantity.plausible,)
    )

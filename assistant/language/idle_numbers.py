"""Numbers that are neither measured nor printed: times of the day, and by how much something is off."""

from __future__ import annotations

import re
from collections.abc import Sequence

from .phrases import Mark
from .roles import Role
from .tokens import Token, words_of
from .vocabulary import Vocabulary

_CLOCK = re.compile(r"(?:[01]?\d|2[0-3]):[0-5]\d")
_HOURS = 12
_PERCENT = "percent"


def without_idle_numbers(marks: Sequence[Mark], tokens: Sequence[Token], vocabulary: Vocabulary) -> tuple[Mark, ...]:
    """Return the marks with every time of the day, and every share by which something is off, as one mark each.

    They keep their words, so that what is not understood can be told: "before three", "ten percent low".
    """
    result = list(marks)
    place = 0
    while place < len(result):
        run = _clock(result, place, tokens, vocabulary)
        role = Role.CLOCK
        if run is None:
            run, role = _deviation(result, place, tokens, vocabulary), Role.PLAIN
        if run is not None:
            result[run.start : run.stop] = [Mark(result[run.start].first, result[run.stop - 1].last, {role: ()})]
            place = run.start
        place += 1
    return tuple(result)


def _words(mark: Mark, tokens: Sequence[Token]) -> str:
    return " ".join(token.word for token in tokens[mark.first : mark.last])


def _beside(marks: Sequence[Mark], tokens: Sequence[Token], places: range, wanted: Sequence[str]) -> int | None:
    """Return where one of the phrases stands next, small words that are none of them passed over."""
    listed = tuple(" ".join(words_of(phrase)) for phrase in wanted)
    for place in places:
        words = _words(marks[place], tokens)
        if words in listed or (places.step < 0 and words.endswith(tuple(f" {one}" for one in listed))):
            return place  # also the "is down" of "is down ten percent"
        if not marks[place].small:
            return None
    return None


def _clock(marks: Sequence[Mark], place: int, tokens: Sequence[Token], vocabulary: Vocabulary) -> range | None:
    """Return the marks of "3:30", "three o'clock", "before three": an hour with a word that makes it one."""
    mark = marks[place]
    if _CLOCK.fullmatch(tokens[mark.first].raw):
        return range(place, place + 1)
    number = mark.number
    if number is None or number.units or number.partner or number.high is not None:
        return None
    if not number.values or number.values[0] not in range(1, _HOURS + 1):
        return None
    clock = vocabulary.kb.particles.clock
    if place + 1 < len(marks) and _words(marks[place + 1], tokens) in clock.behind:
        return range(place, place + 2)
    ends = place + 1 == len(marks) or not marks[place + 1].content
    if ends and place and _words(marks[place - 1], tokens) in clock.before:
        return range(place - 1, place + 1)
    return None


def _deviation(marks: Sequence[Mark], place: int, tokens: Sequence[Token], vocabulary: Vocabulary) -> range | None:
    """Return the marks of "ten percent low", "down 10 %": it prints no tolerance and reads nothing."""
    number = marks[place].number
    if number is None or all(unit.quantity.id != _PERCENT for unit in number.units):
        return None
    deviation = vocabulary.kb.particles.deviation
    behind = _beside(marks, tokens, range(place + 1, len(marks)), deviation.behind)
    if behind is not None:
        return range(place, behind + 1)
    before = _beside(marks, tokens, range(place - 1, -1, -1), deviation.before)
    return range(before, place + 1) if before is not None else None

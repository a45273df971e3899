"""Waiting in a technician's words: started thawing, let it run 15 min, the board is in its 3 minute delay."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from .clauses import Sentence
from .models import Heard, Kind
from .phrases import Mark
from .predicates import unit_meanings
from .roles import Role
from .runs import before, find_runs, spellings
from .tokens import words_of
from .work import Work

_START, _LEFT, _END = "wait", "timer", "end_wait"
_TIME = "time"


def tell_waits(work: Work) -> None:
    """Add a request for every wait that is begun, asked after or ended, before its minutes become a reading."""
    for sentence in work.sentences:
        marks = [mark for mark in sentence.marks if not work.is_spent(mark)]
        if not marks:
            continue
        about, named = (_END, True) if _ends(work, marks) else _wish(marks)
        for wait in work.kb.waits.values():
            phrases = (*wait.starts, *(wait.names if named else ()))
            span = next(_found(work, phrases, marks[0].first, marks[-1].last), None)
            if span is not None:
                work.items.append(_request(work, sentence, wait.id, span, about))
                break


def _wish(marks: Sequence[Mark]) -> tuple[str, bool]:
    """Return what is wanted of a wait, and whether its bare name is enough: how long for the thaw."""
    intents = {intent for mark in marks for intent in mark.ids(Role.INTENT)}
    for intent in (_END, _LEFT, _START):
        if intent in intents:
            return intent, True
    return (_LEFT, False) if marks[0].has(Role.QUESTION) else (_START, False)


def _ends(work: Work, marks: Sequence[Mark]) -> bool:
    """True for "stop the ... timer"."""
    ended, clock = set(work.kb.particles.wait_ended), set(work.kb.particles.wait_clock)
    words = [spellings(work, place) for place in range(marks[0].first, marks[-1].last)]
    return bool(words[0] & ended) and any(word & clock for word in words)


def _found(work: Work, phrases: Sequence[str], first: int, last: int) -> Iterator[tuple[int, int]]:
    """Yield where one of the phrases stands; never one of the past."""
    told = {word for phrase in work.kb.particles.wait_told for word in words_of(phrase)}
    for low, high in find_runs(work, phrases, first, last):
        place = before(work, low)
        if place is None or place < first or not spellings(work, place) & told:
            yield low, high


def _request(work: Work, sentence: Sentence, wait: str, span: tuple[int, int], about: str) -> Heard:
    """Return the request with the minutes said in the same sentence; all its words are taken."""
    minutes = _minutes(work, sentence, span)
    names = {word for name in work.kb.waits[wait].names for word in words_of(name)}
    inside = range(sentence.marks[0].first, sentence.marks[-1].last)
    work.spent.update(range(*span), (place for place in inside if spellings(work, place) & names))
    rest = [mark for mark in sentence.marks if mark.content and not work.is_spent(mark)]
    if about == _END or all(mark.has(Role.SUBJECT) or mark.has(Role.INTENT) for mark in rest):
        work.spend(*rest)
    start, end = work.tokens[span[0]].start, work.tokens[span[1] - 1].end
    quantity = work.kb.quantities[_TIME] if minutes is not None else None
    return Heard(
        Kind.REQUEST,
        work.said(start, end),
        start,
        end,
        about=about,
        text=wait,
        quantity=quantity.id if quantity else None,
        value=minutes,
        unit=quantity.unit if quantity else None,
        said_unit=quantity.unit if quantity else None,
    )


def _minutes(work: Work, sentence: Sentence, span: tuple[int, int]) -> float | None:
    """Return the minutes of a number, or of a unit alone (an hour), in the sentence."""
    for mark in sentence.marks:
        if work.is_spent(mark):
            continue
        number = mark.number
        units = number.units if number is not None else unit_meanings(mark, work) if mark.has(Role.UNIT) else ()
        timed = next((unit for unit in units if unit.quantity.id == _TIME), None)
        if timed is None or (number is not None and not number.values):
            continue
        if number is None and mark.first in range(*span):
            continue  # the "minute" of a minute delay
        work.spend(mark)
        return timed.canonical(number.values[0] if number is not None else 1.0)
    return None

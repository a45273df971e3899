"""What a request is about: the part, value and quantity named beside it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from .clauses import Clause
from .models import Heard, Kind
from .phrases import Mark
from .predicates import unit_meanings
from .roles import Role
from .vocabulary import UnitMeaning
from .work import Work


def with_wish(work: Work, item: Heard, clause: Clause, asking: Sequence[Mark]) -> Heard:
    """Return a request with the subject, number and quantity that its clause names."""
    marks = list(asking)
    subject = next((m for m in clause.marks if m.has(Role.SUBJECT) and not work.is_spent(m)), None)
    named = next((m for m in clause.marks if (m.has(Role.QUANTITY) or m.has(Role.UNIT)) and not m.small), None)
    number = next((m for m in clause.marks if m.number is not None and m.number.values), None)
    if subject is not None:
        item = replace(item, subject=subject.ids(Role.SUBJECT)[0])
        marks.append(subject)
    unit = None
    if number is not None and number.number is not None:
        units = number.number.units or _units_within(work, asking)
        unit = units[0] if units else _unit_of(work, subject)
        value = number.number.values[0]
        item = replace(item, value=unit.canonical(value) if unit else value)
        marks.append(number)
    elif named is not None:
        meanings = unit_meanings(named, work)
        unit = meanings[0] if meanings else None
        marks.append(named)
    else:
        unit = next(iter(_units_within(work, asking)), None)  # how many amps should
    if unit is not None:
        item = replace(item, quantity=unit.quantity.id, unit=unit.quantity.unit, said_unit=unit.unit.symbol)
    marks += [mark for mark in clause.marks if mark.has(Role.STATE) and mark.content and not work.is_spent(mark)]
    work.spend(*marks)  # "how long for the shell to cool" finds nothing cool
    start, end = work.extent(marks)
    return replace(item, start=start, end=end, said=work.said(start, end))


def asked_of_value(clause: Clause) -> tuple[Mark, ...]:
    """Return the marks that ask whether a value will do: is | 38 | ok | for a 40; empty where nothing asks so."""
    opening = [mark for mark in clause.marks if not mark.small or mark.has(Role.QUESTION)]
    if len(opening) < 2 or not opening[0].has(Role.QUESTION) or opening[1].number is None:
        return ()
    states = [mark for mark in clause.marks if mark.has(Role.STATE) and mark.first >= opening[1].last]
    return (opening[0], opening[1], states[0]) if states else ()


def limit_of(work: Work, clause: Clause, asking: tuple[Mark, ...]) -> Heard:
    """Return the request for the limit of what was read; the rating beside it is the value, as in "a 40 microfarad"."""
    start, end = work.extent(asking)
    work.spend(*asking)
    item = Heard(Kind.REQUEST, work.said(start, end), start, end, about="limit")
    rest = replace(clause, marks=[mark for mark in clause.marks if mark is not asking[1]])
    return with_wish(work, item, rest, asking)


def _units_within(work: Work, asking: Sequence[Mark]) -> tuple[UnitMeaning, ...]:
    """Return the unit among the request's own words: a 10 minute timer."""
    words = [word for mark in asking for word in work.words(mark) if len(word) > 1]
    return next((work.vocabulary.units[(word,)] for word in words if (word,) in work.vocabulary.units), ())


def _unit_of(work: Work, subject: Mark | None) -> UnitMeaning | None:
    if subject is None:
        return None
    quantities = work.kb.subjects[subject.ids(Role.SUBJECT)[0]].quantities
    return work.vocabulary.usual_unit(work.kb.quantities[quantities[0]]) if quantities else None

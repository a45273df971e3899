"""The rating of a part that was put in: swapped in a 40 amp contactor, put in a new one, 30 amp 24 volt.

It is print on the new part and no reading: volts said so must not wake a unit that is held dead.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

from knowledge.models.vocabulary import Intent

from .clauses import Clause
from .models import Heard, Kind
from .phrases import Mark
from .roles import Role
from .work import Work


def rated_repair(work: Work, clause: Clause, act: int, subject: int, meant: Sequence[Intent]) -> list[Intent]:
    """Return the repair where only a rating stands between a word of work and the part: put in | a 40 amp | contactor.

    ``meant``: what the two say together. Nothing where several parts may be meant, or the part's own print is told.
    """
    repairs = [intent for intent in meant if intent.kind == "repair_done"]
    between = clause.marks[act + 1 : subject]
    if len(repairs) != 1 or not between:
        return []
    printed = _printed(work, repairs[0])
    rated = all(
        mark.small or _is_rating(mark, printed) or _is_of(work, mark, repairs[0]) or print_of(work, mark, repairs[0])
        for mark in between
        if not _is_count(mark)
    )
    return repairs if rated else []


def rating_of_part(work: Work, intent: Intent, clause: Clause, told: Sequence[Mark]) -> tuple[Mark, ...]:
    """Return the numbers that rate the part just reported as fitted; what its plate items take is left to them.

    ``told``: the word of work and the part. Behind them a number is a rating only where nothing else is named.
    """
    if intent.kind != "repair_done" or any(mark.has(Role.MEASURED) for mark in clause.marks):
        return ()
    printed, last = _printed(work, intent), max(mark.last for mark in told)
    rest = [mark for mark in clause.marks if not work.is_spent(mark)]
    inside = [mark for mark in rest if mark.last <= last and (mark.number is not None or _is_of(work, mark, intent))]
    behind = [mark for mark in rest if mark.first >= last]
    if any(mark.has(Role.SUBJECT) and mark.content for mark in behind):
        return tuple(inside)
    return (*inside, *(mark for mark in behind if mark.number is not None and _is_rating(mark, printed)))


def rating_after_with(work: Work, intent: Intent, clause: Clause) -> tuple[Mark, ...]:
    """Return the numbers of "with a 30 amp 24 volt one", and that "one", behind the part that was fitted."""
    first = clause.marks[0].first if clause.marks else 0
    opened = {work.tokens[place].word for place in (first - 1, first) if 0 <= place < len(work.tokens)}
    named = [mark for mark in clause.content if mark.has(Role.SUBJECT)]
    elsewhere = any(not _is_of(work, mark, intent) for mark in named)
    if intent.kind != "repair_done" or "with" not in opened or elsewhere:
        return ()
    printed = _printed(work, intent)
    rated = [mark for mark in clause.marks if mark.number is not None and _is_rating(mark, printed)]
    one = [mark for mark in clause.marks if work.words(mark) == ("one",)]
    return (*rated, *one, *named) if rated else ()


def print_of(work: Work, mark: Mark, intent: Intent) -> Heard | None:
    """Return the number as the one plate item of the part that takes its unit: the amperes of new fuses."""
    repair, number = work.kb.repairs.get(intent.about or ""), mark.number
    if repair is None or repair.part is None or number is None or number.partner or len(number.values) != 1:
        return None
    fits = [
        (item, unit)
        for item in work.kb.plate_items.values()
        for unit in number.units
        if item.subject == repair.part and item.quantity == unit.quantity.id in _printed(work, intent)
    ]
    if len(fits) != 1:
        return None
    item, unit = fits[0]
    start, end = work.extent([mark])
    return Heard(
        Kind.PLATE, work.said(start, end), start, end, about=item.id, quantity=unit.quantity.id,
        value=unit.canonical(number.values[0]), unit=unit.quantity.unit, said_unit=unit.unit.symbol,
    )  # fmt: skip


def _is_count(mark: Mark) -> bool:
    """True for the three of "three 30 amp fuses"."""
    number = mark.number
    return number is not None and not number.units and len(number.values) == 1 and number.values[0] in range(1, 7)


def _is_rating(mark: Mark, printed: Collection[str]) -> bool:
    units = {unit.quantity.id for unit in mark.number.units} if mark.number is not None else set()
    return (bool(units) and not units & set(printed)) or (mark.number is not None and not units and not printed)


def _printed(work: Work, intent: Intent) -> frozenset[str]:
    """Return the quantities that the plate items of the part take; not those that are measured on it all the same."""
    repair = work.kb.repairs.get(intent.about or "")
    part = repair.part if repair is not None else None
    if part is None:
        return frozenset(work.kb.quantities)  # nothing is fitted, so no number rates it
    measured = set(work.kb.subjects[part].quantities)
    return frozenset(
        item.quantity
        for item in work.kb.plate_items.values()
        if item.subject == part and item.quantity and item.quantity not in measured - {work.kb.asking.marked.volts}
    )


def _is_of(work: Work, mark: Mark, intent: Intent) -> bool:
    """True for the pole of a two-pole contactor."""
    wide = {wider for one in mark.ids(Role.SUBJECT) for wider in work.vocabulary.chain(one)}
    return bool(wide & set(intent.on))

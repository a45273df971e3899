"""Numbers that their unit alone makes print or site: 3 tons, 14 seer, we are at 5,000 feet."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import zip_longest

from knowledge.models.visit import PlateItem

from .clauses import Clause
from .models import Doubt, Heard, Kind
from .numbers import Number
from .phrases import Mark
from .plausibility import Span
from .roles import Role
from .tokens import words_of
from .vocabulary import UnitMeaning
from .work import Work


def unnamed_print(work: Work) -> None:
    """Add a plate item for every number whose unit belongs to that item alone, unless something else is named."""
    for sentence in work.sentences:
        for clause in sentence.clauses:
            if clause.question or any(mark.has(Role.QUESTION) and not mark.small for mark in clause.marks):
                continue
            _take_pounds(work, clause)
            for mark in clause.marks:
                if mark.number is not None and not work.is_spent(mark):
                    _take(work, clause, mark, mark.number)


def _take(work: Work, clause: Clause, mark: Mark, number: Number) -> None:
    named = {item for other in clause.marks if other.content for item in other.ids(Role.PLATE_ITEM)}
    found = next(_fitting(work, number, named), None)
    if found is None:
        return
    item, unit, value, last = found
    if any(one.about == item.id for one in work.items):
        return  # a 4 ton condenser with a 3 ton coil
    other_thing = any(_is_named(work, other) for other in clause.marks)
    if item.id not in named and item.unnamed_from[unit.unit.symbol] > 0 and other_thing:
        return  # a lineset of 600 feet
    names = [other for other in clause.marks if item.id in other.ids(Role.PLATE_ITEM) and other.content]
    whole = [other for other in clause.marks if _stands_behind(work, mark, other) or _carries(item, mark, other)]
    work.spend(mark, *names, *whole)
    work.spent.update(range(mark.first, last))
    start, end = work.tokens[mark.first].start, work.tokens[last - 1].end
    quantity = work.kb.quantities[item.quantity or ""]
    work.items.append(
        Heard(
            Kind.PLATE,
            work.said(start, end),
            start,
            end,
            about=item.id,
            quantity=quantity.id,
            value=value,
            unit=quantity.unit,
            said_unit=unit.unit.symbol,
            doubts=(Doubt.APPROXIMATE,) if number.about else (),
        )
    )


def _take_pounds(work: Work, clause: Clause) -> None:
    """Read 6 lb 4 oz, R-22 8 lb, 6 lb of R-22 and "factory charge 6 lb" as the charge: these pounds are no pressure."""
    marks = [mark for mark in clause.marks if mark.number is not None and not work.is_spent(mark)]
    item = next((one for one in work.kb.plate_items.values() if one.quantity == _MASS), None)
    large = {unit.symbol: unit for unit in work.kb.quantities[_MASS].units}.get("lb")
    for first, second in zip_longest(marks, marks[1:]):
        pounds = first.number
        if item is None or large is None or pounds is None or not pounds.values:
            continue
        if (pounds.said_unit or "").lower() not in {*large.written, *_POUNDS}:
            continue
        meaning = UnitMeaning(work.kb.quantities[_MASS], large)
        value, weighed = meaning.canonical(pounds.values[0]), [first]
        ounces = _ounces_behind(first, second)
        if ounces is not None:
            value, weighed = value + ounces, [first, second] if second else [first]
        elif not (_is_charge(work, clause, first, item) and _can_be_printed(item, value)):
            continue
        work.spend(*weighed, *(mark for mark in clause.marks if _names(work, clause, mark, item)))
        start, end = work.extent(weighed)
        said = work.said(start, end)
        work.items.append(
            Heard(
                Kind.PLATE,
                said,
                start,
                end,
                about=item.id,
                quantity=_MASS,
                value=value,
                unit=meaning.quantity.unit,
                said_unit=large.symbol,
            )
        )


def _ounces_behind(pounds: Mark, second: Mark | None) -> float | None:
    """Return the ounces right behind some pounds; None where there are none."""
    number = second.number if second is not None and second.first - pounds.last <= 1 else None
    unit = next((one for one in number.units if one.quantity.id == _MASS), None) if number else None
    return unit.canonical(number.values[0]) if number and unit and number.values else None


def _can_be_printed(item: PlateItem, value: float) -> bool:
    return item.plausible is None or Span(*item.plausible).holds(value)


def _is_charge(work: Work, clause: Clause, pounds: Mark, item: PlateItem) -> bool:
    """True where the charge is asked for or named, or a refrigerant beside them: R-454B 8 lbs, 8 lbs of R-454B."""
    asked = work.context.asked
    before = [mark for mark in clause.marks if mark.last <= pounds.first and not mark.small]
    if before and before[-1].has(Role.SUBJECT):
        return False  # "low side 40 pounds"
    if asked is not None and asked.kind == "plate" and asked.id == item.id:
        return True
    if any(_names(work, clause, mark, item) for mark in clause.marks):
        return True
    if any(_REFRIGERANT in mark.ids(Role.PLATE_ITEM) for mark in before[-1:]):
        return True
    behind = [mark for mark in clause.marks if mark.first >= pounds.last and not mark.small][:1]
    told = {one.start for one in work.items if one.about == _REFRIGERANT}
    named = any(_REFRIGERANT in mark.ids(Role.PLATE_ITEM) or work.extent([mark])[0] in told for mark in behind)
    return named and not any(mark.content for mark in before)  # "added two pounds of R-410A" is no print


def _names(work: Work, clause: Clause, mark: Mark, item: PlateItem) -> bool:
    """True for a name of the item, and for a word of one beside the plate: nameplate charge."""
    if mark.content and item.id in mark.ids(Role.PLATE_ITEM):
        return True
    asked = work.context.asked is not None and work.context.asked.id == item.id
    at_plate = asked or any(other.has(Role.PLATE) for other in clause.marks)
    own = {word for phrase in item.phrases for word in words_of(phrase)}
    return at_plate and set(mark.roles) == {Role.UNKNOWN} and set(work.words(mark)) <= own


_REFRIGERANT = "refrigerant"


_MASS = "mass"
_POUNDS = frozenset({"lb", "lbs", "pound", "pounds"})


def _fitting(work: Work, number: Number, named: set[str]) -> Iterator[tuple[PlateItem, UnitMeaning, float, int]]:
    """Yield the items that a number of this unit and size fills: item, unit, canonical value, where it ends."""
    if number.partner or number.high is not None:
        return
    symbols = {meaning.unit.symbol for meaning in number.units}
    for item in work.kb.plate_items.values():
        if item.quantity is None:
            continue
        quantity, last = work.kb.quantities[item.quantity], number.last
        short = _short_unit(work, number, item.quantity) if item.id in named and not symbols else None
        for unit in quantity.units:
            least = item.unnamed_from.get(unit.symbol) if unit.symbol in symbols | {short} else None
            meaning = UnitMeaning(quantity, unit)
            for said in number.values if least is not None else ():
                value = meaning.canonical(said)
                if said >= (least or 0) and (item.plausible is None or Span(*item.plausible).holds(value)):
                    yield item, meaning, value, last + (short is not None)


def _short_unit(work: Work, number: Number, quantity: str) -> str | None:
    """Return the unit that a letter behind the number stands for, where its item is named: elevation 1600 m."""
    behind = work.tokens[number.last].word if number.last < len(work.tokens) else ""
    units = (unit for unit in work.kb.asking.units if unit.quantity == quantity and behind in unit.written)
    return next((unit.symbol for unit in units), None)


def _is_named(work: Work, mark: Mark) -> bool:
    """True for the name of a part, of a print that is a number, or a word for reading."""
    printed = [item for item in mark.ids(Role.PLATE_ITEM) if not work.kb.plate_items[item].text]
    return mark.content and (bool(printed) or mark.has(Role.SUBJECT) or mark.has(Role.MEASURED))


def _carries(item: PlateItem, number: Mark, other: Mark) -> bool:
    """True for the "fan motor" of "fan motor 1/4 hp": the part that carries the print."""
    return other.last == number.first and item.subject in other.ids(Role.SUBJECT)


def _stands_behind(work: Work, number: Mark, other: Mark) -> bool:
    """True for the "unit" of "3 ton unit", the "split" of "3 ton split": the whole, of which nothing is read."""
    subjects = [work.kb.subjects[one] for one in other.ids(Role.SUBJECT)]
    kind_of_unit = " ".join(work.words(other)) in work.kb.particles.scenery
    return other.first == number.last and (kind_of_unit or any(subject.whole_of for subject in subjects))

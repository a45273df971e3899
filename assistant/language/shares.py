"""One saying for several parts: "120 on each leg", "38.2/4.9", "return and supply 78 and 59"."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from .numbers import Number
from .pairing import Mention, Pair
from .plausibility import plausible
from .roles import Role
from .work import Work


def expanded(pairs: list[Pair], work: Work) -> list[Pair]:
    """Part "118/119" and "each leg" into one value for each subject they stand for."""
    result: list[Pair] = []
    for found in pairs:
        number = found.predicate.mark.number
        if number is not None and number.partner:
            result.append(found)
            continue
        whole = [mention for mention in found.mentions if _stands_for(mention, work)]
        if not whole:
            result.append(found)
            continue
        for mention in found.mentions:
            parts = _as_found(work, found, _stands_for(mention, work))
            named = [_named_part(work, part, Pair(found.predicate, (mention,))) for part in parts] or [mention]
            result.extend(Pair(found.predicate, (one,), found.where) for one in named)
    return result


def _as_found(work: Work, found: Pair, parts: tuple[str, ...]) -> tuple[str, ...]:
    """Return the whole instead of its parts where this is looked for on the whole: both sides of the cap good."""
    states = found.predicate.mark.ids(Role.STATE)
    wholes = {work.kb.subjects[part].part_of for part in parts}
    whole = wholes.pop() if len(wholes) == 1 else None
    if found.predicate.mark.number is not None or whole is None:
        return parts
    return (whole,) if any(state in work.vocabulary.looked_at.get(whole, ()) for state in states) else parts


def two_parts(work: Work, pairs: list[Pair]) -> list[Pair]:
    """Give numbers in a row to the parts they are read on, in order: return and supply as asked, "cap 33.8 and 5.1"."""
    numbers = [found for found in pairs if found.predicate.mark.number is not None]
    points = _points_in_a_row(work, numbers)
    if points:
        return _named_in_order(work, pairs, numbers, points)
    for first, second in pairwise(numbers):
        shared = _share_a_name(work, first, second)
        if shared:
            named = replace(first, mentions=second.mentions)
            pairs = [named if found.predicate is first.predicate else found for found in pairs]
            return _named_in_order(work, pairs, (named, second), shared)
        parts = _in_a_row(work, first, second, len(numbers))
        if parts:
            quantity = _quantity_of_row(work, parts)
            return _named_in_order(work, pairs, (first, second), [(part, quantity) for part in parts])
    return pairs


def _share_a_name(work: Work, first: Pair, second: Pair) -> list[Point]:
    """Return the two points of one name that two numbers before it are read on: 118 and 119 to ground."""
    one, other = first.predicate.mark.number, second.predicate.mark.number
    if first.mentions or len(second.mentions) != 1 or one is None or other is None or one.partner or other.partner:
        return []
    joined = second.predicate.clause - first.predicate.clause in {0, 1}
    named, subjects = second.mentions[0], work.kb.subjects
    both = subjects[named.ids[0]].two_values if named.ids else ()
    shared = both or named.content in work.vocabulary.shared_names
    if not joined or not shared or named.place < second.predicate.place:
        return []
    ids = both or named.ids[:2]
    row: list[Point] = [(part, subjects[part].quantities[0]) for part in ids if subjects[part].quantities]
    wholes = {subjects[part].part_of for part, _ in row}
    fits = len(row) == 2 and len(wholes) == 1 and None not in wholes
    return row if fits and _can_be_read(work, one, row[0]) and _can_be_read(work, other, row[1]) else []


def _quantity_of_row(work: Work, parts: Sequence[str]) -> str | None:
    """Return what two values of one whole are: what was asked of it, else what its parts are read in first.

    "Cap reads 38 and 0.2" is microfarads also while amps are asked for.
    """
    asked = work.context.asked
    whole = {wider for part in parts for wider in work.vocabulary.chain(part)}
    if asked is None or asked.quantity is None or asked.about in whole:
        return None
    return _first_quantity(work, parts)


Point = tuple[str, str | None]
"""Subject, and the quantity where the number itself does not say it."""


def _points_in_a_row(work: Work, numbers: Sequence[Pair]) -> list[Point]:
    """Return the points that all numbers of a note are read on, where their count is that of the points asked for."""
    plain = [found.predicate.mark.number for found in numbers]
    if (
        len(numbers) < 2
        or any(n is None or not n.values or n.partner for n in plain)
        or len({found.mentions for found in numbers if found.mentions}) > 1
    ):
        return []
    behind = numbers[-1] if numbers[-1].mentions and not numbers[0].mentions else None
    if behind is not None and any(found.mentions for found in numbers[:-1]):
        return []
    for points in (*_legs(work, numbers), *_rows(work, behind or numbers[0])):
        if len(points) == len(numbers) and all(
            n is not None and _can_be_read(work, n, point) for n, point in zip(plain, points, strict=True)
        ):
            return points
    return []


def _rows(work: Work, first: Pair) -> Iterator[list[Point]]:
    """Yield the rows of points that numbers in a row can belong to."""
    kb, asked = work.kb, work.context.asked
    if first.mentions:
        for subject in first.mentions[0].ids:
            parts = work.vocabulary.children.get(subject, ())
            if len(parts) > 2:
                yield [(part, (kb.subjects[part].quantities or (None,))[0]) for part in parts]
        return
    if asked is None:
        return
    if asked.kind == "close_out" and asked.id in kb.close_out:
        read = [kb.checks[check] for check in kb.close_out[asked.id].reads]
        yield [(check.about, check.quantity) for check in read]
        yield [(check.about, check.quantity) for check in reversed(read)]
    if asked.kind == "step" and asked.about and asked.quantity:
        proved = {step.about for step in kb.steps.values() if step.group == kb.steps[asked.id].group and step.reading}
        for several in (subject.stands_for for subject in kb.subjects.values()):
            if len(several) > 2 and (asked.about in several or proved.issuperset(several)):
                yield [(part, asked.quantity) for part in several]


def _legs(work: Work, numbers: Sequence[Pair]) -> Iterator[list[Point]]:
    """Yield the three points of a three-phase unit that values of a quantity said once are read on: amps 20 21 22."""
    named = {one for found in numbers for mention in found.mentions for one in mention.ids}
    units = [unit for found in numbers for unit in found.predicate.named]
    units += [unit for found in numbers if (number := found.predicate.mark.number) for unit in number.units]
    said = {unit.quantity.id for unit in units}
    for subject in work.kb.subjects.values():
        counts = len(subject.stands_for) == _LEGS and (not said or bool(said & set(subject.quantities)))
        means = bool({subject.id, *subject.stands_for[:1]} & named) if named else bool(said)
        if counts and means:
            yield [(part, subject.quantities[0]) for part in subject.stands_for]


_LEGS = 3


def _can_be_read(work: Work, number: Number, point: Point) -> bool:
    about, quantity = point
    if quantity is None:
        return False
    units = [unit for unit in number.units if unit.quantity.id == quantity] if number.units else None
    if units == []:
        return False
    value = units[0].canonical(number.values[0]) if units else number.values[0]
    return plausible(work.kb, about, quantity, None).holds(value)


def _in_a_row(work: Work, one: Pair, other: Pair, count: int) -> tuple[str, ...]:
    """Return the two parts that two numbers are read on; empty where they are no such pair."""
    asked, first, second = work.context.asked, one.predicate.mark.number, other.predicate.mark.number
    if first is None or second is None or not first.values or not second.values or other.mentions:
        return ()
    joined = one.predicate.clause + 1 == other.predicate.clause and not first.partner and not second.partner
    bare = not one.mentions and count == 2 and asked is not None and asked.quantity is not None
    rated = _rated_sections(work) if not one.mentions and count == 3 and not first.partner else ()
    if rated:
        return rated if _both_hold(work, rated, _first_quantity(work, rated), first, second) else ()
    if bare and any(mark.has(Role.PLATE) for mark in work.marks):
        return ()  # "supposed to be 45, got 28" is one part twice
    if not bare and not (joined and len(one.mentions) == 1):
        return ()
    parts = _parts_read(work, one, first)
    quantity = asked.quantity if bare and asked is not None else _first_quantity(work, parts)
    if len(parts) != 2 or quantity is None or (one.mentions and set(parts) & set(one.mentions[0].ids)):
        return ()
    return parts if _both_hold(work, parts, quantity, first, second) else ()


def _both_hold(work: Work, parts: Sequence[str], quantity: str | None, first: Number, second: Number) -> bool:
    """True where each of two values can be read on its part."""
    values = (first.values[0], second.values[0])
    return quantity is not None and all(
        plausible(work.kb, part, quantity, None).holds(value) for part, value in zip(parts, values, strict=True)
    )


def _rated_sections(work: Work) -> tuple[str, ...]:
    """Return the two parts whose rating the note gives as a pair: 38.1 and 0.2, rated 40 over 5."""
    rated = any(mark.number is not None and mark.number.partner for mark in work.marks)
    if not rated or not any(mark.has(Role.PLATE) for mark in work.marks):
        return ()
    printed = [item.subject for item in work.kb.plate_items.values() if item.subject and item.quantity]
    for whole, parts in work.vocabulary.children.items():
        named = tuple(part for part in parts if part in printed)
        if len(named) == 2 and whole in work.kb.subjects:
            return named
    return ()


def _first_quantity(work: Work, parts: Sequence[str]) -> str | None:
    quantities = [work.kb.subjects[part].quantities[:1] for part in parts]
    return quantities[0][0] if len(quantities) == 2 and quantities[0] and quantities[0] == quantities[1] else None


def _named_in_order(work: Work, pairs: Sequence[Pair], row: Sequence[Pair], points: Sequence[Point]) -> list[Pair]:
    named = dict(zip((id(found) for found in row), points, strict=True))
    return [_at_point(work, found, named[id(found)]) if id(found) in named else found for found in pairs]


def _at_point(work: Work, found: Pair, point: Point) -> Pair:
    about, quantity = point
    number, predicate = found.predicate.mark.number, found.predicate
    if quantity is not None and number is not None and not number.units and not predicate.named:
        predicate = replace(predicate, named=(work.vocabulary.usual_unit(work.kb.quantities[quantity]),))
    return Pair(predicate, (replace(_named_part(work, about, found), by_order=True),), found.where)


def _stands_for(mention: Mention, work: Work) -> tuple[str, ...]:
    if len(mention.ids) != 1:
        return ()
    return work.kb.subjects[mention.ids[0]].stands_for


def single_values(work: Work, found: Pair) -> list[Pair]:
    """Return one pair for each value of "38.2/4.9", each with the part it belongs to."""
    number = found.predicate.mark.number
    if number is None or not number.partner:
        return [found]
    parts = _parts_read(work, found, number)
    values = (number.values, number.partner)
    result = []
    for index, value in enumerate(values):
        single = replace(number, values=value, partner=())
        predicate = replace(found.predicate, mark=replace(found.predicate.mark, number=single))
        mentions = found.mentions
        if len(parts) == 2:
            mentions = (_named_part(work, parts[index], found),)
        result.append(Pair(predicate, mentions))
    return result


def _named_part(work: Work, part: str, found: Pair) -> Mention:
    """Return a mention of one part, as if it had been named itself."""
    words = work.vocabulary.mentions[part][0]
    if found.mentions:
        return replace(found.mentions[0], ids=(part,), content=words)
    return Mention(found.predicate.place, (), (part,), words, found.predicate.clause)


def _parts_read(work: Work, found: Pair, number: Number) -> tuple[str, ...]:
    """Return the two subjects that a pair of values is read on, in order."""
    asked = work.context.asked
    pairs = [mark for mark in work.marks if mark.number is not None and mark.number.partner]
    if not found.mentions and len(pairs) == 2 and (sections := _rated_sections(work)):
        return sections
    ids = found.mentions[0].ids if found.mentions else ((asked.about,) if asked and asked.about else ())
    for subject in ids:
        if subject not in work.kb.subjects:
            continue  # an input that a calculation waits for is no part
        if work.kb.subjects[subject].stands_for:
            return work.kb.subjects[subject].stands_for[:2]
        if work.kb.subjects[subject].two_values:
            return work.kb.subjects[subject].two_values
        for wider in work.vocabulary.chain(subject):
            parts = work.vocabulary.children.get(wider, ())
            units = {unit.quantity.id for unit in number.units}
            fitting = [
                part
                for part in parts
                if work.kb.subjects[part].quantities and (not units or work.kb.subjects[part].quantities[0] in units)
            ]
            printed = {item.subject for item in work.kb.plate_items.values()}
            for two in (fitting, [part for part in fitting if part in printed]):
                if len(two) == 2:
                    return tuple(two)
    return _far_apart(work, number) if not found.mentions else ()


def _far_apart(work: Work, number: Number) -> tuple[str, ...]:
    """Return the two points that values so far apart are read on where nothing is named: 118 over 340."""
    for subject in work.kb.subjects.values():
        if subject.apart is None or not number.partner or number.partner[0] < subject.apart * number.values[0]:
            continue
        quantity = _first_quantity(work, subject.two_values)
        second = replace(number, values=number.partner, partner=())
        units = {unit.quantity.id for unit in number.units}
        if units <= {quantity} and _both_hold(work, subject.two_values, quantity, number, second):
            return subject.two_values
    return ()

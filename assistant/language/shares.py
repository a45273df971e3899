"""One saying for several parts: "120 on each leg", "38.2/4.9", "return and supply 78 and 59"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from .numbers import Number
from .pairing import Mention, Pair
from .plausibility import plausible
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
            parts = _stands_for(mention, work)
            named = [_named_part(work, part, Pair(found.predicate, (mention,))) for part in parts] or [mention]
            result.extend(Pair(found.predicate, (one,), found.where) for one in named)
    return result


def two_parts(work: Work, pairs: list[Pair]) -> list[Pair]:
    """Give two numbers in a row to two parts, in order: return and supply as asked, "cap reads 33.8 and 5.1"."""
    numbers = [found for found in pairs if found.predicate.mark.number is not None]
    for first, second in pairwise(numbers):
        parts = _in_a_row(work, first, second, len(numbers))
        if parts:
            return _named_in_order(work, pairs, (first, second), parts)
    return pairs


def _in_a_row(work: Work, one: Pair, other: Pair, count: int) -> tuple[str, ...]:
    """Return the two parts that two numbers are read on; empty where they are no such pair."""
    asked, first, second = work.context.asked, one.predicate.mark.number, other.predicate.mark.number
    if first is None or second is None or not first.values or not second.values or other.mentions:
        return ()
    joined = one.predicate.clause + 1 == other.predicate.clause and not first.partner and not second.partner
    bare = not one.mentions and count == 2 and asked is not None and asked.quantity is not None
    if not bare and not (joined and len(one.mentions) == 1):
        return ()
    parts = _parts_read(work, one, first)
    quantity = asked.quantity if bare and asked is not None else _first_quantity(work, parts)
    if len(parts) != 2 or quantity is None or (one.mentions and set(parts) & set(one.mentions[0].ids)):
        return ()
    values = (first.values[0], second.values[0])
    fits = all(plausible(work.kb, part, quantity, None).holds(v) for part, v in zip(parts, values, strict=True))
    return parts if fits else ()


def _first_quantity(work: Work, parts: Sequence[str]) -> str | None:
    quantities = [work.kb.subjects[part].quantities[:1] for part in parts]
    return quantities[0][0] if len(quantities) == 2 and quantities[0] and quantities[0] == quantities[1] else None


def _named_in_order(work: Work, pairs: Sequence[Pair], two: tuple[Pair, Pair], parts: Sequence[str]) -> list[Pair]:
    named = dict(zip((id(found) for found in two), parts, strict=True))
    return [
        Pair(found.predicate, (_named_part(work, named[id(found)], found),), found.where)
        if id(found) in named
        else found
        for found in pairs
    ]


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
    ids = found.mentions[0].ids if found.mentions else ((asked.about,) if asked and asked.about else ())
    for subject in ids:
        if work.kb.subjects[subject].stands_for:
            return work.kb.subjects[subject].stands_for[:2]
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
    return ()

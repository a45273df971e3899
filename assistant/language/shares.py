"""One saying for several parts: "120 on each leg", "38.2/4.9", "return and supply 78 and 59"."""

from __future__ import annotations

from dataclasses import replace

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
    """Give two bare numbers to the two parts that were asked for, in order: return and supply, HERM and FAN."""
    asked = work.context.asked
    numbers = [found for found in pairs if found.predicate.mark.number is not None]
    bare = [found for found in numbers if not found.mentions]
    if asked is None or asked.quantity is None or len(bare) != 2 or len(numbers) != 2:
        return pairs
    first, second = (found.predicate.mark.number for found in bare)
    parts = _parts_read(work, bare[0], first) if first is not None else ()
    if second is None or len(parts) != 2 or not (first and first.values and second.values):
        return pairs
    values = (first.values[0], second.values[0])
    if not all(plausible(work.kb, p, asked.quantity, None).holds(v) for p, v in zip(parts, values, strict=True)):
        return pairs
    named = dict(zip((id(found) for found in bare), parts, strict=True))
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

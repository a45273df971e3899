"""Values printed on the unit or a part, told apart from what was measured."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from knowledge.models.visit import PlateItem

from .models import Doubt, Heard, Kind
from .pairing import Mention, Pair, Predicate
from .phrases import Mark
from .plausibility import Span
from .predicates import canonical_unit
from .roles import Role
from .vocabulary import UnitMeaning
from .work import Work, in_order


def is_printed(work: Work, pair: Pair, pairs: Sequence[Pair], around: Sequence[Mark]) -> bool:
    """True where the number stands on a plate, label or part rather than on a meter."""
    number = pair.predicate.mark.number
    if number is None or not number.values:
        return False
    mention = pair.mentions[0] if pair.mentions else None
    marker = _marker(pair.predicate, around)
    if mention is not None and mention.plate and not mention.ids:
        return True
    if marker is Role.MEASURED:
        return mention is not None and _only_printed(work, pair, mention)
    asked = work.context.asked
    if not items_for(work, pair.predicate, mention):
        return False
    if marker is Role.PLATE:
        return True
    if mention is not None and _only_printed(work, pair, mention):
        return True
    if asked is not None and asked.kind == "plate":
        return mention is None or bool(set(asked_items(work)) & {i.id for i in items_for(work, pair.predicate, mention)})
    if number.partner:
        return not _measures_pair(work, mention)
    return mention is not None and _rates_its_subject(pair, pairs, around)


def items_for(work: Work, predicate: Predicate, mention: Mention | None) -> list[PlateItem]:
    """Return the plate items the number may be, by name, part, unit and plausible range; most fitting first."""
    number = predicate.mark.number
    assert number is not None
    kb = work.kb
    items = [item for item in kb.plate_items.values() if item.quantity is not None]
    if mention is not None and mention.plate:
        items = [item for item in items if item.id in mention.plate]
    elif mention is not None:
        wide = set(mention.ids) | {part for subject in mention.ids for part in work.vocabulary.children.get(subject, ())}
        items = [item for item in items if item.subject in wide]
    elif (asked := asked_items(work)) and not number.units:
        items = [item for item in items if item.id in asked] or items
    elif not number.units:
        items = [item for item in items if item.subject is not None]
    units = number.units or predicate.named
    fitting = [item for item in items if not units or item.quantity in {unit.quantity.id for unit in units}]
    return [item for item in fitting if _holds(work, item, predicate)] or (fitting if len(fitting) == 1 else [])


def asked_items(work: Work) -> tuple[str, ...]:
    """Return the plate items that the pending question wants: all with the same question text."""
    asked = work.context.asked
    if asked is None or asked.kind != "plate" or asked.id not in work.kb.plate_items:
        return ()
    question = work.kb.plate_items[asked.id].ask
    same = [item.id for item in work.kb.plate_items.values() if item.ask == question]
    return (asked.id, *(item for item in same if item != asked.id))


def plate_of(work: Work, pair: Pair, doubts: set[Doubt], span: tuple[int, int]) -> list[Heard]:
    """Return the plate items that a printed number or pair fills; with options where several fit."""
    number = pair.predicate.mark.number
    assert number is not None
    mention = pair.mentions[0] if pair.mentions else None
    if number.partner:
        parts = _pair_items(work, pair, mention)
        if len(parts) == 2:
            values = (number.values[0], number.partner[0])
            return [_plate(work, item, value, pair, doubts, span) for item, value in zip(parts, values, strict=True)]
        items = items_for(work, pair.predicate, mention)
        if len(items) == 1:  # one rating printed as 208/230: the higher is the nominal one, both are kept as text
            high = max(number.values[0], number.partner[0])
            made = _plate(work, items[0], high, pair, doubts, span)
            return [replace(made, text=work.said(*work.extent([pair.predicate.mark])))]
    items = items_for(work, pair.predicate, mention)
    if not items:
        return []
    if number.high is not None:
        return [_plate(work, items[0], number.high, pair, doubts, span)]
    made_all = [_plate(work, item, _value(work, item, pair.predicate), pair, doubts, span) for item in items]
    if len(made_all) == 1:
        return [_checked(work, items[0], made_all[0])]
    blocked = in_order({*doubts, Doubt.AMBIGUOUS})
    return [replace(made_all[0], doubts=blocked, options=tuple(made_all))]


def _pair_items(work: Work, pair: Pair, mention: Mention | None) -> list[PlateItem]:
    """Return the two items that one print gives: the sections of a dual capacitor."""
    number = pair.predicate.mark.number
    assert number is not None
    found = []
    for values in (number.values, number.partner):
        part = replace(pair.predicate, mark=replace(pair.predicate.mark, number=replace(number, values=values, partner=())))
        found.append([item for item in items_for(work, part, mention) if item.subject])
    for first in found[0]:
        for second in found[1]:
            if first.id != second.id and first.quantity == second.quantity:
                return [first, second]
    return []


def _marker(predicate: Predicate, around: Sequence[Mark]) -> Role | None:
    """Return the nearest of "rated" and "reads" before the number in its clause, or right behind it at the end."""
    place = next(index for index, mark in enumerate(around) if mark is predicate.mark)
    for mark in reversed(around[:place]):
        if mark.number is not None:
            break
        for role in (Role.PLATE, Role.MEASURED):
            if mark.has(role):
                return role
    behind = [mark for mark in around[place + 1 :] if mark.content or mark.has(Role.PLATE)]
    if behind and behind[0].has(Role.PLATE) and not any(mark.number is not None for mark in behind):
        return Role.PLATE
    return None


def _only_printed(work: Work, pair: Pair, mention: Mention) -> bool:
    """True where this quantity of this part is never measured: amps of a fuse."""
    number = pair.predicate.mark.number
    assert number is not None
    units = {unit.quantity.id for unit in number.units or pair.predicate.named}
    items = items_for(work, pair.predicate, mention)
    listed = {quantity for subject in mention.ids for quantity in work.kb.subjects[subject].quantities}
    return bool(items) and bool(units) and not units & listed


def _measures_pair(work: Work, mention: Mention | None) -> bool:
    """True where a pair is more likely two readings: their capacitance was asked for, or the print is known."""
    asked = work.context.asked
    if asked is not None and asked.kind in {"check", "close_out"} and asked.quantity is not None:
        printed = {item.subject for item in work.kb.plate_items.values() if item.quantity == asked.quantity}
        return bool(printed & set(work.vocabulary.chain(asked.about or ""))) or asked.about in printed
    if mention is None:
        return False
    parts = {part for subject in mention.ids for part in work.vocabulary.children.get(subject, ())}
    return any(item.subject in parts and item.id in work.context.plate for item in work.kb.plate_items.values())


def _rates_its_subject(pair: Pair, pairs: Sequence[Pair], around: Sequence[Mark]) -> bool:
    """ "45 microfarad cap reads 38": the number right before the name is its rating when another is read."""
    mention = pair.mentions[0]
    first = mention.marks[0]
    place = next(index for index, mark in enumerate(around) if mark is pair.predicate.mark)
    if place + 1 >= len(around) or around[place + 1] is not first:
        return False
    return any(
        other is not pair and other.mentions[:1] == pair.mentions[:1] and other.predicate.mark.number is not None
        for other in pairs
    )


def _holds(work: Work, item: PlateItem, predicate: Predicate) -> bool:
    number = predicate.mark.number
    assert number is not None
    if item.plausible is None:
        return True
    ends = [number.high] if number.high is not None else list(number.values)
    unit = _unit(work, item, predicate)
    return any(Span(*item.plausible).holds(unit.canonical(end)) for end in ends)


def _value(work: Work, item: PlateItem, predicate: Predicate) -> float:
    """Return the value in the item's unit; of several possible ones the first that can be printed there."""
    number = predicate.mark.number
    assert number is not None
    unit = _unit(work, item, predicate)
    values = [unit.canonical(value) for value in number.values]
    span = Span(*item.plausible) if item.plausible else None
    return next((value for value in values if span is None or span.holds(value)), values[0])


def _unit(work: Work, item: PlateItem, predicate: Predicate) -> UnitMeaning:
    number = predicate.mark.number
    assert number is not None
    said = [unit for unit in number.units or predicate.named if unit.quantity.id == item.quantity]
    return said[0] if said else canonical_unit(work.kb.quantities[item.quantity or ""])


def _plate(
    work: Work, item: PlateItem, value: float, pair: Pair, doubts: set[Doubt], span: tuple[int, int]
) -> Heard:
    number = pair.predicate.mark.number
    assert number is not None
    start, end = span
    named = bool(pair.mentions) and item.id in pair.mentions[0].plate
    assumed = not number.units and not named
    quantity = work.kb.quantities[item.quantity or ""]
    return Heard(
        Kind.PLATE,
        work.said(start, end),
        start,
        end,
        about=item.id,
        quantity=item.quantity,
        value=value,
        unit=quantity.unit,
        said_unit=number.said_unit or quantity.unit,
        doubts=in_order(doubts | ({Doubt.ASSUMED} if assumed else set())),
    )


def _checked(work: Work, item: PlateItem, heard: Heard) -> Heard:
    """Ask back a print that no plate of this kind carries."""
    if item.plausible is None or heard.value is None or Span(*item.plausible).holds(heard.value):
        return heard
    shifted = [float(f"{heard.value * shift:.10g}") for shift in (0.1, 10.0)]
    options = tuple(replace(heard, value=value) for value in shifted if Span(*item.plausible).holds(value))
    return replace(heard, doubts=in_order({*heard.doubts, Doubt.OUT_OF_RANGE}), options=options)

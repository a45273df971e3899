"""Values printed on the unit or a part, told apart from what was measured."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from knowledge.models.visit import PlateItem

from .models import Doubt, Heard, Kind
from .numbers import Number
from .pairing import Mention, Pair
from .phrases import Mark
from .plate_candidates import Candidates, asked_items, place_of
from .plausibility import Span
from .roles import Role
from .topics import Topic
from .work import Work, in_order


def measured_again(work: Work, pairs: Sequence[Pair]) -> list[Pair]:
    """Read "rla is 18, its pulling 15" as what the part draws: a printed item is not printed twice."""
    result: list[Pair] = []
    for place, found in enumerate(pairs):
        mention = found.mentions[0] if found.mentions else None
        number = found.predicate.mark.number is not None
        again = number and any(one.predicate.mark.number and one.mentions == found.mentions for one in pairs[:place])
        if mention is not None and mention.plate and not mention.ids and again and _is_read(work, found.predicate.mark):
            items = (work.kb.plate_items[item] for item in mention.plate)
            ids = tuple(item.subject for item in items if item.subject)
            mention = replace(mention, ids=ids, plate=(), by_order=True) if ids else mention
        result.append(replace(found, mentions=(mention, *found.mentions[1:])) if mention is not None else found)
    return result


def _is_read(work: Work, number: Mark) -> bool:
    """True where "reads", "pulling" stands right before a number."""
    before = [mark for mark in work.marks if mark.last == number.first]
    return bool(before) and before[0].has(Role.MEASURED)


class Printed:
    """One number seen as a printed value: whether it is one, and which plate items it fills."""

    def __init__(self, work: Work, found: Pair, pairs: Sequence[Pair], around: Sequence[Mark], topic: Topic) -> None:
        self._work = work
        self._found = found
        self._pairs = pairs
        self._around = around
        self._topic = topic
        self._may = Candidates(work, found, pairs, around, topic)
        self._number, self._marker, self._mention = self._may.number, self._may.marker, self._may.mention

    def is_printed(self) -> bool:
        """True where the number stands on a plate, label or part rather than on a meter."""
        number, mention = self._number, self._mention
        if number is not None and self._may.range_ends(number):
            return True
        if number is None or not number.values or not (self._may.of(number) or self._may.sections(number)):
            return False
        if mention is None and not number.units and _of_strange_unit(self._found, self._around):
            return False  # "a 3 ton"
        if mention is not None and ((mention.plate and not mention.ids) or self._only_printed(mention)):
            return True
        if self._marker is not None:
            return self._marker is Role.PLATE
        return self._is_printed_unmarked(number)

    def _is_printed_unmarked(self, number: Number) -> bool:
        """Decide without "rated" or "reads": by the pending question, a pair, or what stands around it."""
        asked, mention = self._work.context.asked, self._mention
        if asked is not None and asked.kind == "plate":
            wanted = set(asked_items(self._work))
            return mention is None or any(item.id in wanted for item in self._may.of(number))
        if number.partner:
            return self._rates_its_subject() or not self._is_measured_pair()
        if self._topic.printed and self._belongs_to_print():
            return True
        if self._may.in_row and mention is None and number.units:
            return True
        return mention is not None and (self._rates_its_subject() or self._stands_as_rating(mention))

    def items(self, doubts: set[Doubt], span: tuple[int, int]) -> list[Heard]:
        """Return the plate items filled; one with options where several fit."""
        number = self._number
        if number is None:
            return []
        if ends := self._may.range_ends(number):
            exact = doubts - {Doubt.APPROXIMATE}
            return [self._heard(item, self._may.value(item, single), exact, span) for item, single in ends]
        if number.partner:
            return self._pair(number, doubts, span)
        found = self._may.of(number)
        if number.high is not None and found:
            return [self._heard(found[0], number.high, doubts, span)]
        if number.misheard is not None and self._work.context.spoken and len(found) == 1:
            return self._by_ear(found[0], number, doubts, span)
        made = [self._heard(item, self._may.value(item, number), doubts, span) for item in found]
        self._take_carrier(found)
        if len(made) < 2:
            return [_checked(item, heard) for item, heard in zip(found, made, strict=True)]
        return [replace(made[0], doubts=in_order({*doubts, Doubt.AMBIGUOUS}), options=tuple(made))]

    def _take_carrier(self, found: Sequence[PlateItem]) -> None:
        """Take the "fan" of "fan 1.3 FLA" in: the part that carries the print says nothing of its own."""
        place = place_of(self._found, self._around)
        named = self._found.mentions[0].marks if self._found.mentions else ()
        before = [mark for mark in self._around[:place] if mark not in named][-1:]
        if any(item.subject in mark.ids(Role.SUBJECT) for mark in before for item in found):
            self._work.spend(*before)

    def _by_ear(self, item: PlateItem, number: Number, doubts: set[Doubt], span: tuple[int, int]) -> list[Heard]:
        """Return a spoken teen or ten of a print: both to choose from where both can be printed there."""
        unit = self._may.unit(item, number)
        values = [self._may.value(item, number), *(unit.canonical(v) for v in (number.misheard,) if v is not None)]
        limits = Span(*item.plausible) if item.plausible else None
        possible = [value for value in values if limits is None or limits.holds(value)] or values[:1]
        if len(possible) == 1:
            return [_checked(item, self._heard(item, possible[0], doubts | {Doubt.MISHEARD}, span))]
        made = tuple(self._heard(item, value, doubts, span) for value in possible)
        return [replace(made[0], doubts=in_order({*made[0].doubts, Doubt.AMBIGUOUS}), options=made)]

    def _only_printed(self, mention: Mention) -> bool:
        """True where this quantity of this part is never measured: amps of a fuse."""
        kb, number = self._work.kb, self._number
        if number is None or not mention.ids:
            return False
        units = {unit.quantity.id for unit in number.units or self._found.predicate.named}
        before = [item.quantity for item in self._topic.printed if item.quantity]
        units = units or set(before[-1:] if self._marker is Role.MEASURED else ())
        listed = {quantity for subject in mention.ids for quantity in kb.subjects[subject].quantities}
        return bool(units) and not units & listed and any(i.quantity in units for i in self._may.of(number))

    def _is_measured_pair(self) -> bool:
        """True where a pair is more likely two readings: their capacitance was asked for, or the print is known."""
        work, asked = self._work, self._work.context.asked
        items = work.kb.plate_items.values()
        if self._is_rated():
            return False
        if asked is not None and asked.quantity is not None:
            printed = {item.subject for item in items if item.quantity == asked.quantity}
            sections = self._may.sections(self._number) if self._number is not None else []
            marking = any(item.quantity != asked.quantity for item, _ in sections)  # "a new 35/5 in" is no volts
            if asked.about in printed or (self._mention is None and not marking):
                return True
        if self._mention is None or any(mark.has(Role.ACT) for mark in self._around):
            return False  # "put a new 45/5 in" is the print of the new part
        parts = {part for one in self._mention.ids for part in work.vocabulary.children.get(one, ())}
        return any(item.subject in parts and item.id in work.context.plate for item in items)

    def _is_rated(self) -> bool:
        """True for "45/5 440": right behind the pair stands what is only ever printed on the whole part."""
        behind = self._pairs[self._pairs.index(self._found) + 1 :][:1]
        rating = behind[0].predicate.mark.number if behind else None
        if rating is None or rating.partner or not rating.values or self._number is None:
            return False
        subjects, units = self._work.kb.subjects, {unit.quantity.id for unit in rating.units}
        wholes = {subjects[item.subject].part_of for item, _ in self._may.sections(self._number) if item.subject}
        printed = [item for item in self._work.kb.plate_items.values() if item.subject in wholes and item.plausible]
        fitting = [item for item in printed if not units or item.quantity in units]
        measured = self._work.vocabulary.is_point
        return any(
            Span(*item.plausible).holds(rating.values[0])
            for item in fitting
            if item.plausible and not measured(item.subject or "", item.quantity or "")
        )

    def _belongs_to_print(self) -> bool:
        """ "45 over 5, 370 volts": what follows a print about nothing else belongs to it."""
        number, mention = self._number, self._mention
        first = self._pairs[0].mentions
        pairs = [(one.mentions[:1], one.predicate.mark.number) for one in self._pairs if one is not self._found]
        before = [named for named, value in pairs if value is not None and value.partner]
        again = any(one and mention is not None and one[0].marks[:1] == mention.marks[:1] for one in before)
        alone = mention is None or bool(first and first[0].marks[:1] == mention.marks[:1]) or again
        filled = {item.about for item in self._topic.printed}
        return alone and number is not None and any(item.id not in filled for item in self._may.of(number))

    def _rates_its_subject(self) -> bool:
        """ "45 microfarad cap reads 38": the number right before the name is its rating when another is read."""
        found = self._found
        if not found.mentions or not found.mentions[0].marks:
            return False
        first = found.mentions[0].marks[0]
        place = place_of(found, self._around)
        if place + 1 >= len(self._around) or self._around[place + 1] is not first:
            return False
        behind = [other for other in self._pairs if other is not found and other.predicate.mark.number is not None]
        return any(
            other.mentions[:1] == found.mentions[:1] or (bool(other.mentions) and other.mentions[0].by_order)
            for other in behind
        )

    def _stands_as_rating(self, mention: Mention) -> bool:
        """True for "440 volt capacitor": in the singular right before its name a number tells which one it is."""
        place = place_of(self._found, self._around)
        words = self._work.words(self._around[place])
        next_to = self._around[place + 1 : place + 2] == list(mention.marks[:1])
        items = [item for item in self._may.of(self._number) if item.subject in mention.ids] if self._number else []
        measured = self._work.vocabulary.is_point
        only_printed = any(not measured(item.subject or "", item.quantity or "") for item in items)
        return next_to and only_printed and not words[-1].endswith("s")

    def _pair(self, number: Number, doubts: set[Doubt], span: tuple[int, int]) -> list[Heard]:
        """Return the two items that one print gives, or one rating printed as 208/230."""
        sections = self._may.sections(number)
        if sections:
            return [self._heard(item, self._may.value(item, single), doubts, span) for item, single in sections]
        whole = self._may.of(number)
        unit_wide = [item for item in whole if item.subject is None]
        whole = unit_wide if len(unit_wide) == 1 else whole
        if len(whole) != 1 or not self._may.holds(whole[0], number):
            return []
        low, nominal = sorted((number.values[0], number.partner[0]))
        if whole[0].pair_within is None or nominal > low * whole[0].pair_within:
            return []
        # the upper end is the nominal one; both are kept as text
        text = self._work.said(*self._work.extent([self._found.predicate.mark]))
        return [replace(self._heard(whole[0], nominal, doubts, span), text=text)]

    def _heard(self, item: PlateItem, value: float, doubts: set[Doubt], span: tuple[int, int]) -> Heard:
        number, mention = self._number, self._mention
        said_unit = number.said_unit if number is not None else None
        named = mention is not None and item.id in mention.plate
        quantity = self._work.kb.quantities[item.quantity or ""]
        start, end = span
        return Heard(
            Kind.PLATE,
            self._work.said(start, end),
            start,
            end,
            about=item.id,
            quantity=item.quantity,
            value=value,
            unit=quantity.unit,
            said_unit=said_unit or (self._may.unit(item, number).unit.symbol if number is not None else quantity.unit),
            doubts=in_order(doubts if said_unit or named else doubts | {Doubt.ASSUMED}),
        )


def _of_strange_unit(found: Pair, around: Sequence[Mark]) -> bool:
    """True where an unknown word stands right behind the number: it may be a unit nobody knows."""
    behind = [mark for mark in around if mark.first == found.predicate.mark.last]
    return bool(behind) and set(behind[0].roles) == {Role.UNKNOWN}


def _checked(item: PlateItem, heard: Heard) -> Heard:
    """Ask back a print that no plate of this kind carries."""
    if item.plausible is None or heard.value is None or Span(*item.plausible).holds(heard.value):
        return heard
    shifted = [float(f"{heard.value * shift:.10g}") for shift in (0.1, 10.0)]
    options = tuple(replace(heard, value=value) for value in shifted if Span(*item.plausible).holds(value))
    return replace(heard, doubts=in_order({*heard.doubts, Doubt.OUT_OF_RANGE}), options=options)

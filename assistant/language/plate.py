"""Values printed on the unit or a part, told apart from what was measured."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from knowledge.models.visit import PlateItem

from .models import Doubt, Heard, Kind
from .numbers import Number
from .pairing import Mention, Pair
from .phrases import Mark
from .plausibility import Span
from .roles import Role
from .topics import Topic, family_of
from .vocabulary import UnitMeaning
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
        self._number = found.predicate.mark.number
        self._marker = _marker(work, found, around) if self._number is not None else None
        named = found.mentions[0] if found.mentions else None
        self._whole_unit = named is not None and bool(named.ids) and not self._carries_values(named)
        self._mention = None if self._whole_unit else self._named(named)
        self._in_row = (self._mention is None or self._whole_unit) and _row_of_print(pairs)

    def is_printed(self) -> bool:
        """True where the number stands on a plate, label or part rather than on a meter."""
        number, mention = self._number, self._mention
        if number is None or not number.values or not (self._candidates(number) or self._sections(number)):
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
            return mention is None or any(item.id in wanted for item in self._candidates(number))
        if number.partner:
            return self._rates_its_subject() or not self._is_measured_pair()
        if self._topic.printed and self._belongs_to_print():
            return True
        if self._in_row and mention is None and number.units:
            return True
        return mention is not None and (self._rates_its_subject() or self._stands_as_rating(mention))

    def items(self, doubts: set[Doubt], span: tuple[int, int]) -> list[Heard]:
        """Return the plate items filled; one with options where several fit."""
        number = self._number
        if number is None:
            return []
        if number.partner:
            return self._pair(number, doubts, span)
        found = self._candidates(number)
        if number.high is not None and found:
            return [self._heard(found[0], number.high, doubts, span)]
        if number.misheard is not None and self._work.context.spoken and len(found) == 1:
            return self._by_ear(found[0], number, doubts, span)
        made = [self._heard(item, self._value(item, number), doubts, span) for item in found]
        self._take_carrier(found)
        if len(made) < 2:
            return [_checked(item, heard) for item, heard in zip(found, made, strict=True)]
        return [replace(made[0], doubts=in_order({*doubts, Doubt.AMBIGUOUS}), options=tuple(made))]

    def _take_carrier(self, found: Sequence[PlateItem]) -> None:
        """Take the "fan" of "fan 1.3 FLA" in: the part that carries the print says nothing of its own."""
        place = _place(self._found, self._around)
        before = self._around[place - 1] if place else None
        if before is not None and any(item.subject in before.ids(Role.SUBJECT) for item in found):
            self._work.spend(before)

    def _by_ear(self, item: PlateItem, number: Number, doubts: set[Doubt], span: tuple[int, int]) -> list[Heard]:
        """Return a spoken teen or ten of a print: both to choose from where both can be printed there."""
        unit = self._unit(item, number)
        values = [self._value(item, number), *(unit.canonical(v) for v in (number.misheard,) if v is not None)]
        limits = Span(*item.plausible) if item.plausible else None
        possible = [value for value in values if limits is None or limits.holds(value)] or values[:1]
        if len(possible) == 1:
            return [_checked(item, self._heard(item, possible[0], doubts | {Doubt.MISHEARD}, span))]
        made = tuple(self._heard(item, value, doubts, span) for value in possible)
        return [replace(made[0], doubts=in_order({*made[0].doubts, Doubt.AMBIGUOUS}), options=made)]

    def _named(self, mention: Mention | None) -> Mention | None:
        """Read "max fuse 40, got 45" as the fitted fuse: what is found there is not what the plate allows."""
        if mention is None or mention.ids or self._marker is not Role.MEASURED:
            return mention
        vocabulary = self._work.vocabulary
        inside = tuple(s for s, names in vocabulary.mentions.items() if any(name < mention.content for name in names))
        return replace(mention, ids=inside, plate=()) if inside else mention

    def _carries_values(self, mention: Mention) -> bool:
        """False for "unit" in "unit 208/230": nothing is read of the unit as such, and only its plate has print."""
        if mention.plate:
            return True
        kb = self._work.kb
        printed = {item.subject for item in kb.plate_items.values()}
        return any(kb.subjects[subject].quantities or subject in printed for subject in mention.ids)

    def _candidates(self, number: Number) -> list[PlateItem]:
        """Return the plate items the number may be, by name, part, unit and plausible range."""
        kb, vocabulary, mention = self._work.kb, self._work.vocabulary, self._mention
        items = [item for item in kb.plate_items.values() if item.quantity is not None]
        units = {unit.quantity.id for unit in number.units or self._found.predicate.named}
        if mention is not None and mention.plate:
            items = [item for item in items if item.id in mention.plate]
        elif mention is not None:
            wide = set(mention.ids) | {part for one in mention.ids for part in vocabulary.children.get(one, ())}
            items = [item for item in items if item.subject in wide]
        elif of_asked := self._of_what_is_asked(items):
            items = of_asked
        elif asked := asked_items(self._work):
            wanted = [item for item in items if item.id in asked and self._holds(item, number)]
            items = wanted if wanted and not units else items
        elif self._whole_unit or self._in_row:
            items = [item for item in items if item.subject is None and _names_the_plate(item, self._work)]
        elif family := family_of(self._work, self._topic):
            items = [item for item in items if item.subject in family]
        elif not units:
            named = [item for item in items if self._marked_as(item)]
            unmarked = [item for item in items if item.subject is None and _names_the_plate(item, self._work)]
            sections = [item for item in items if item.subject]
            items = [*sections, *(named or unmarked)] if number.partner else [*sections, *named]
        by_name = mention is not None and bool(mention.plate)
        fitting = [
            i for i in items if not units or i.quantity in units or (by_name and self._said_as_sister(i, number))
        ]
        return [item for item in fitting if self._holds(item, number)] or (fitting if len(fitting) == 1 else [])

    def _of_what_is_asked(self, items: Sequence[PlateItem]) -> list[PlateItem]:
        """Return the print of the very part and quantity that a check asks for."""
        asked = self._work.context.asked
        if asked is None or asked.kind != "check" or asked.quantity is None or self._topic.printed:
            return []
        number = self._number
        others = number is not None and number.units and asked.quantity not in {u.quantity.id for u in number.units}
        if others:
            return []
        return [item for item in items if item.subject == asked.about and item.quantity == asked.quantity]

    def _marked_as(self, item: PlateItem) -> bool:
        """True for what the marking word itself names: "plate says 230" is the plate's voltage."""
        markers = {word for mark in self._around if mark.has(Role.PLATE) for word in self._work.words(mark)}
        names = {word for phrase in item.phrases for word in phrase.split(" ")}
        return item.subject is None and bool(markers & names)

    def _only_printed(self, mention: Mention) -> bool:
        """True where this quantity of this part is never measured: amps of a fuse."""
        kb, number = self._work.kb, self._number
        if number is None or not mention.ids:
            return False
        units = {unit.quantity.id for unit in number.units or self._found.predicate.named}
        before = [item.quantity for item in self._topic.printed if item.quantity]
        units = units or set(before[-1:] if self._marker is Role.MEASURED else ())
        listed = {quantity for subject in mention.ids for quantity in kb.subjects[subject].quantities}
        return bool(units) and not units & listed and any(i.quantity in units for i in self._candidates(number))

    def _is_measured_pair(self) -> bool:
        """True where a pair is more likely two readings: their capacitance was asked for, or the print is known."""
        work, asked = self._work, self._work.context.asked
        items = work.kb.plate_items.values()
        if self._is_rated():
            return False
        if asked is not None and asked.quantity is not None:
            printed = {item.subject for item in items if item.quantity == asked.quantity}
            sections = self._sections(self._number) if self._number is not None else []
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
        wholes = {subjects[item.subject].part_of for item, _ in self._sections(self._number) if item.subject}
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
        return alone and number is not None and any(item.id not in filled for item in self._candidates(number))

    def _rates_its_subject(self) -> bool:
        """ "45 microfarad cap reads 38": the number right before the name is its rating when another is read."""
        found = self._found
        if not found.mentions or not found.mentions[0].marks:
            return False
        first = found.mentions[0].marks[0]
        place = _place(found, self._around)
        if place + 1 >= len(self._around) or self._around[place + 1] is not first:
            return False
        behind = [other for other in self._pairs if other is not found and other.predicate.mark.number is not None]
        return any(
            other.mentions[:1] == found.mentions[:1] or (bool(other.mentions) and other.mentions[0].by_order)
            for other in behind
        )

    def _stands_as_rating(self, mention: Mention) -> bool:
        """True for "440 volt capacitor": in the singular right before its name a number tells which one it is."""
        place = _place(self._found, self._around)
        words = self._work.words(self._around[place])
        next_to = self._around[place + 1 : place + 2] == list(mention.marks[:1])
        items = [item for item in self._candidates(self._number) if item.subject in mention.ids] if self._number else []
        measured = self._work.vocabulary.is_point
        only_printed = any(not measured(item.subject or "", item.quantity or "") for item in items)
        return next_to and only_printed and not words[-1].endswith("s")

    def _pair(self, number: Number, doubts: set[Doubt], span: tuple[int, int]) -> list[Heard]:
        """Return the two items that one print gives, or one rating printed as 208/230."""
        sections = self._sections(number)
        if sections:
            return [self._heard(item, self._value(item, single), doubts, span) for item, single in sections]
        whole = self._candidates(number)
        unit_wide = [item for item in whole if item.subject is None]
        whole = unit_wide if len(unit_wide) == 1 else whole
        if len(whole) != 1 or not self._holds(whole[0], number):
            return []
        low, nominal = sorted((number.values[0], number.partner[0]))
        if whole[0].pair_within is None or nominal > low * whole[0].pair_within:
            return []
        # the upper end is the nominal one; both are kept as text
        text = self._work.said(*self._work.extent([self._found.predicate.mark]))
        return [replace(self._heard(whole[0], nominal, doubts, span), text=text)]

    def _sections(self, number: Number) -> list[tuple[PlateItem, Number]]:
        """Return the two items that "45/5" fills, each with its value; empty where it is no such pair."""
        if not number.partner:
            return []
        singles = [replace(number, values=values, partner=()) for values in (number.values, number.partner)]
        found = [[item for item in self._candidates(single) if item.subject] for single in singles]
        if self._marker is Role.PLATE and not (found[0] and found[1] and found[0] != found[1]):
            printed = [item for item in self._work.kb.plate_items.values() if item.subject and item.quantity]
            found = [[item for item in printed if self._holds(item, single)] for single in singles]
        for first in found[0]:
            for second in found[1]:
                if first.id != second.id and first.quantity == second.quantity and self._sisters(first, second):
                    return [(first, singles[0]), (second, singles[1])]
        return []

    def _sisters(self, first: PlateItem, second: PlateItem) -> bool:
        """True for two parts of one whole: the sections of a capacitor."""
        subjects = self._work.kb.subjects
        wholes = {subjects[item.subject].part_of for item in (first, second) if item.subject}
        return len(wholes) == 1 and None not in wholes

    def _holds(self, item: PlateItem, number: Number) -> bool:
        if item.plausible is None:
            return True
        unit = self._unit(item, number)
        ends = [number.high] if number.high is not None else [*number.values, *number.partner[:1]]
        test = all if number.partner and not number.high else any
        return test(Span(*item.plausible).holds(unit.canonical(end)) for end in ends) and self._in_steps(item, ends)

    def _in_steps(self, item: PlateItem, values: Sequence[float]) -> bool:
        """False for 44.8 beside a rating that comes in halves, unless the words say that it is printed."""
        step = item.step
        if step is None or self._marker is Role.PLATE or self._work.context.asked is not None:
            return True
        return all(abs(value / step - round(value / step)) < 1e-9 for value in values)

    def _value(self, item: PlateItem, number: Number) -> float:
        """Return the value in the item's unit; of several possible ones the first that can be printed there."""
        unit = self._unit(item, number)
        values = [unit.canonical(value) for value in number.values]
        span = Span(*item.plausible) if item.plausible else None
        return next((value for value in values if span is None or span.holds(value)), values[0])

    def _unit(self, item: PlateItem, number: Number) -> UnitMeaning:
        said = [u for u in number.units or self._found.predicate.named if u.quantity.id == item.quantity]
        said = said or self._said_as_sister(item, number)
        return said[0] if said else self._work.vocabulary.usual_unit(self._work.kb.quantities[item.quantity or ""])

    def _said_as_sister(self, item: PlateItem, number: Number) -> list[UnitMeaning]:
        """Return the item's own unit for one of a quantity that scales alike: degrees of subcooling."""
        wanted = self._work.kb.quantities[item.quantity or ""]
        scaled = [meaning for meaning in number.units if any(unit.offset for unit in meaning.quantity.units)]
        own = {unit.symbol: unit for unit in wanted.units if not unit.offset}
        return [UnitMeaning(wanted, own[one.unit.symbol]) for one in scaled if one.unit.symbol in own]

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
            said_unit=said_unit or (self._unit(item, number).unit.symbol if number is not None else quantity.unit),
            doubts=in_order(doubts if said_unit or named else doubts | {Doubt.ASSUMED}),
        )


_ROW = 2


def _row_of_print(pairs: Sequence[Pair]) -> bool:
    """True for a sentence that reads a plate out: 230 V RLA 17.9 FLA 1.3."""
    return sum(bool(found.mentions) and bool(found.mentions[0].plate) for found in pairs) >= _ROW


def asked_items(work: Work) -> tuple[str, ...]:
    """Return the plate items that the pending question wants: all with the same question text."""
    asked = work.context.asked
    if asked is None or asked.kind != "plate" or asked.id not in work.kb.plate_items:
        return ()
    question = work.kb.plate_items[asked.id].ask
    same = [item.id for item in work.kb.plate_items.values() if item.ask == question]
    return (asked.id, *(item for item in same if item != asked.id))


def _names_the_plate(item: PlateItem, work: Work) -> bool:
    """True for an item that is called after the plate itself: nameplate voltage."""
    markers = {word for phrase in work.kb.particles.plate for word in phrase.split(" ")} - work.vocabulary.fillers
    return any(not markers.isdisjoint(phrase.split(" ")) for phrase in item.phrases)


def _of_strange_unit(found: Pair, around: Sequence[Mark]) -> bool:
    """True where an unknown word stands right behind the number: it may be a unit nobody knows."""
    behind = [mark for mark in around if mark.first == found.predicate.mark.last]
    return bool(behind) and set(behind[0].roles) == {Role.UNKNOWN}


def _rates(work: Work, number: Mark) -> bool:
    """True for the 40 of "38 on a 40": an article and a preposition before it, another number before those."""
    before = [token.word for token in work.tokens[: number.first]][-2:]
    particles = work.kb.particles
    named = len(before) == 2 and before[1] in particles.article and before[0] in particles.before_subject
    return named and any(mark.number is not None and mark.last <= number.first for mark in work.marks)


def _place(found: Pair, around: Sequence[Mark]) -> int:
    return next(index for index, mark in enumerate(around) if mark is found.predicate.mark)


def _marker(work: Work, found: Pair, around: Sequence[Mark]) -> Role | None:
    """Return the nearest of "rated" and "reads" before the number in its clause, or right behind it at the end."""
    place = _place(found, around)
    if _rates(work, found.predicate.mark):
        return Role.PLATE
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


def _checked(item: PlateItem, heard: Heard) -> Heard:
    """Ask back a print that no plate of this kind carries."""
    if item.plausible is None or heard.value is None or Span(*item.plausible).holds(heard.value):
        return heard
    shifted = [float(f"{heard.value * shift:.10g}") for shift in (0.1, 10.0)]
    options = tuple(replace(heard, value=value) for value in shifted if Span(*item.plausible).holds(value))
    return replace(heard, doubts=in_order({*heard.doubts, Doubt.OUT_OF_RANGE}), options=options)

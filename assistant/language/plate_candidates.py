"""Which items of a plate a number of a note may be: by name, part, unit, plausible range and what was asked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from knowledge.models.visit import PlateItem

from .numbers import Number
from .pairing import Mention, Pair
from .phrases import Mark
from .plausibility import Span
from .roles import Role
from .tokens import words_of
from .topics import Topic, family_of
from .vocabulary import UnitMeaning
from .work import Work

_ROW = 2


class Candidates:
    """One number, what is named and marked beside it, and the plate items that it may be."""

    def __init__(self, work: Work, found: Pair, pairs: Sequence[Pair], around: Sequence[Mark], topic: Topic) -> None:
        self._work = work
        self._found = found
        self._around = around
        self._topic = topic
        self.number = found.predicate.mark.number
        self.marker = _marker(work, found, around) if self.number is not None else None
        named = found.mentions[0] if found.mentions else None
        self._whole_unit = named is not None and bool(named.ids) and not self._carries_values(named)
        self.mention = None if self._whole_unit else self._named(named)
        self.in_row = (self.mention is None or self._whole_unit) and _row_of_print(pairs)

    def _named(self, mention: Mention | None) -> Mention | None:
        """Read "max fuse 40, got 45" as the fitted fuse: what is found there is not what the plate allows."""
        if mention is None or mention.ids or self.marker is not Role.MEASURED:
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

    def of(self, number: Number) -> list[PlateItem]:
        """Return the plate items the number may be, by name, part, unit and plausible range."""
        kb, vocabulary, mention = self._work.kb, self._work.vocabulary, self.mention
        items = [item for item in kb.plate_items.values() if item.quantity is not None and self._alone(item)]
        units = {unit.quantity.id for unit in number.units or self._found.predicate.named}
        if mention is not None and mention.plate:
            items = [item for item in items if item.id in mention.plate]
        elif mention is not None:
            wide = set(mention.ids) | {part for one in mention.ids for part in vocabulary.children.get(one, ())}
            items = [item for item in items if item.subject in wide] or self._of_whole(items, mention)
        elif of_asked := self._of_what_is_asked(items):
            items = of_asked
        elif asked := asked_items(self._work):
            wanted = [item for item in items if item.id in asked and self.holds(item, number)]
            items = wanted if wanted and not units else items
        elif self._whole_unit or self.in_row:
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
        return [item for item in fitting if self.holds(item, number)] or (fitting if len(fitting) == 1 else [])

    def _of_whole(self, items: Sequence[PlateItem], mention: Mention) -> list[PlateItem]:
        """Return the print of the whole for what is read of it: the FLA of the blower beside "blower amps"."""
        vocabulary, subjects = self._work.vocabulary, self._work.kb.subjects
        wide = {wider for one in mention.ids for wider in vocabulary.chain(one)}
        read = {quantity for one in mention.ids for quantity in subjects[one].quantities}
        marked = self.marker is Role.PLATE
        return [item for item in items if marked and item.subject in wide and item.quantity in read]

    def _alone(self, item: PlateItem) -> bool:
        """False for an end of a printed range: one number fills neither, unless the part is said to be marked so."""
        items = self._work.kb.plate_items.values()
        end = item.up_to is not None or any(other.up_to == item.id for other in items)
        named = self.mention is not None and item.subject in self.mention.ids
        return not end or (named and self.marker is Role.PLATE)

    def _of_what_is_asked(self, items: Sequence[PlateItem]) -> list[PlateItem]:
        """Return the print of the very part and quantity that a check asks for."""
        asked = self._work.context.asked
        if asked is None or asked.kind != "check" or asked.quantity is None or self._topic.printed:
            return []
        number = self.number
        others = number is not None and number.units and asked.quantity not in {u.quantity.id for u in number.units}
        if others:
            return []
        return [item for item in items if item.subject == asked.about and item.quantity == asked.quantity]

    def _marked_as(self, item: PlateItem) -> bool:
        """True for what the marking word itself names: "plate says 230" is the plate's voltage."""
        markers = {word for mark in self._around if mark.has(Role.PLATE) for word in self._work.words(mark)}
        names = {word for phrase in item.phrases for word in phrase.split(" ")}
        return item.subject is None and bool(markers & names)

    def sections(self, number: Number) -> list[tuple[PlateItem, Number]]:
        """Return the two items that "45/5" fills, each with its value; empty where it is no such pair."""
        if not number.partner:
            return []
        singles = [replace(number, values=values, partner=()) for values in (number.values, number.partner)]
        found = [[item for item in self.of(single) if item.subject] for single in singles]
        if self.marker is Role.PLATE and not (found[0] and found[1] and found[0] != found[1]):
            printed = [item for item in self._work.kb.plate_items.values() if item.subject and item.quantity]
            found = [[item for item in printed if self.holds(item, single)] for single in singles]
        for first in found[0]:
            for second in found[1]:
                if first.id != second.id and first.quantity == second.quantity and self._sisters(first, second):
                    return [(first, singles[0]), (second, singles[1])]
        return []

    def range_ends(self, number: Number) -> list[tuple[PlateItem, Number]]:
        """Return the two items that "88-108" fills, each with its end; empty where the part carries no range."""
        upper = (number.high,) if number.high is not None else number.partner
        if not upper or not number.values or upper[0] <= number.values[0] or self.marker is Role.MEASURED:
            return []
        kb, asked = self._work.kb, asked_items(self._work)
        units = {unit.quantity.id for unit in number.units}
        for low in kb.plate_items.values():
            named = self.mention is not None and (low.subject in self.mention.ids or low.id in self.mention.plate)
            meant = named or (self.mention is None and low.id in asked)
            if low.up_to is not None and meant and (not units or low.quantity in units):
                high = kb.plate_items[low.up_to]
                single = replace(number, high=None, partner=())
                return [(low, single), (high, replace(single, values=upper[:1]))]
        return []

    def _sisters(self, first: PlateItem, second: PlateItem) -> bool:
        """True for two parts of one whole: the sections of a capacitor."""
        subjects = self._work.kb.subjects
        wholes = {subjects[item.subject].part_of for item in (first, second) if item.subject}
        return len(wholes) == 1 and None not in wholes

    def holds(self, item: PlateItem, number: Number) -> bool:
        """True where the number, every value of a pair, can be printed for the item."""
        if item.plausible is None:
            return True
        unit = self.unit(item, number)
        ends = [number.high] if number.high is not None else [*number.values, *number.partner[:1]]
        test = all if number.partner and not number.high else any
        return test(Span(*item.plausible).holds(unit.canonical(end)) for end in ends) and self._in_steps(item, ends)

    def _in_steps(self, item: PlateItem, values: Sequence[float]) -> bool:
        """False for 44.8 beside a rating that comes in halves, unless the words say that it is printed."""
        step = item.step
        if step is None or self.marker is Role.PLATE or self._work.context.asked is not None:
            return True
        return all(abs(value / step - round(value / step)) < 1e-9 for value in values)

    def value(self, item: PlateItem, number: Number) -> float:
        """Return the value in the item's unit; of several possible ones the first that can be printed there."""
        unit = self.unit(item, number)
        values = [unit.canonical(value) for value in number.values]
        span = Span(*item.plausible) if item.plausible else None
        return next((value for value in values if span is None or span.holds(value)), values[0])

    def unit(self, item: PlateItem, number: Number) -> UnitMeaning:
        """Return the unit said in the item's quantity, else the usual one."""
        said = [u for u in number.units or self._found.predicate.named if u.quantity.id == item.quantity]
        said = said or self._said_as_sister(item, number)
        return said[0] if said else self._unit_asked_for(item, number)

    def _unit_asked_for(self, item: PlateItem, number: Number) -> UnitMeaning:
        """Return the usual unit; where the number can only be another one of the question, that: 7 pounds of charge."""
        quantity = self._work.kb.quantities[item.quantity or ""]
        usual = self._work.vocabulary.usual_unit(quantity)
        if item.plausible is None or not number.values or item.id not in asked_items(self._work):
            return usual
        span, words = Span(*item.plausible), words_of(item.ask or "")
        named = [one for one in quantity.units if any(words_of(said)[0] in words for said in one.written)]
        fitting = (UnitMeaning(quantity, one) for one in named)
        units = (usual, *fitting)
        return next((one for one in units if any(span.holds(one.canonical(v)) for v in number.values)), usual)

    def _said_as_sister(self, item: PlateItem, number: Number) -> list[UnitMeaning]:
        """Return the item's own unit for one of a quantity that scales alike: degrees of subcooling."""
        wanted = self._work.kb.quantities[item.quantity or ""]
        scaled = [meaning for meaning in number.units if any(unit.offset for unit in meaning.quantity.units)]
        own = {unit.symbol: unit for unit in wanted.units if not unit.offset}
        return [UnitMeaning(wanted, own[one.unit.symbol]) for one in scaled if one.unit.symbol in own]


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


def _rates(work: Work, number: Mark) -> bool:
    """True for the 40 of "38 on a 40": an article and a preposition before it, another number before those."""
    before = [token.word for token in work.tokens[: number.first]][-2:]
    particles = work.kb.particles
    named = len(before) == 2 and before[1] in particles.article and before[0] in particles.before_subject
    return named and any(mark.number is not None and mark.last <= number.first for mark in work.marks)


def _is_a(work: Work, number: Mark) -> bool:
    """True for "caps a 40", the fast way to type "cap's a 40"."""
    before = work.tokens[: number.first][-2:]
    if len(before) < 2 or before[1].word not in work.kb.particles.article:
        return False
    raw = before[0].raw.casefold()
    return raw.endswith("s") and work.vocabulary.is_subject(before[0].word) and len(raw) > 1


def place_of(found: Pair, around: Sequence[Mark]) -> int:
    """Return the index of the value's mark among those of its clause."""
    return next(index for index, mark in enumerate(around) if mark is found.predicate.mark)


def _marker(work: Work, found: Pair, around: Sequence[Mark]) -> Role | None:
    """Return the nearest of "rated" and "reads" before the number in its clause, or right behind it at the end."""
    place = place_of(found, around)
    if _rates(work, found.predicate.mark) or _is_a(work, found.predicate.mark):
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

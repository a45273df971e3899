"""What was named before carries on: "at the disconnect 240 line side, nothing load side"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from .models import Heard, Kind
from .pairing import Mention, Pair
from .roles import Role
from .vocabulary import UnitMeaning
from .work import Work

_REACH = 4
"""How many subjects back a name can be completed from."""


@dataclass(frozen=True, slots=True)
class Counted:
    """A value read in a unit that was said."""

    about: str
    unit: UnitMeaning
    value: float
    """In that unit."""


@dataclass(slots=True)
class Topic:
    """Subjects of the note so far and the last quantity read."""

    named: list[tuple[Mention, bool]] = field(default_factory=list)
    """Mention, and whether something was said of it."""
    carried: str | None = None
    printed: list[Heard] = field(default_factory=list)
    """Plate values of the note so far."""
    counted: Counted | None = None
    """How the last value of the note was counted."""
    before: tuple[tuple[Mention, str], ...] = ()
    """Point and quantity that the last note read: "240 at the top of the disconnect" before "nothing at the bottom"."""

    @property
    def last(self) -> Mention | None:
        return self.named[-1][0] if self.named else None


def after_last_note(work: Work) -> Topic:
    """Return the topic at the beginning of a note: nothing named yet, but the last note's reading is near."""
    read = [
        (Mention(-1, (), (item.about,), frozenset(), -1), item.quantity)
        for item in work.context.last
        if item.kind is Kind.READING and item.about and item.about in work.kb.subjects and item.quantity
    ]
    return Topic(before=tuple(read[-1:]))


_ALIKE = 20
"""Two values of one kind differ by less than this factor."""


def count_on(topic: Topic, found: Pair, readings: Sequence[Heard]) -> None:
    """Keep how the reading just made was counted."""
    number = found.predicate.mark.number
    units = number.units if number is not None and number.units else found.predicate.named
    if not readings or number is None or not number.values or not readings[-1].about:
        topic.counted = None if number is not None else topic.counted
        return
    unit = next((one for one in units if one.quantity.id == readings[-1].quantity), None)
    topic.counted = Counted(readings[-1].about, unit, number.values[0]) if unit is not None else None


def counted_on(work: Work, topic: Topic, found: Pair, mention: Mention) -> tuple[UnitMeaning, ...]:
    """Return what a bare value may be counted in behind that of a sister part: the same, or the usual unit.

    80 millivolts on pole 1 and 120 on pole 2: likely millivolts, but 120 volts is an open pole, so it is asked back.
    """
    before, number = topic.counted, found.predicate.mark.number
    if before is None or number is None or number.units or found.predicate.named or not number.values:
        return ()
    scaled = before.unit.unit.factor != 1 and not before.unit.unit.offset
    subjects = work.kb.subjects
    whole = {subjects[one].part_of for one in mention.ids} & {subjects[before.about].part_of} - {None}
    alike = before.value > 0 and 1 / _ALIKE < number.values[0] / before.value < _ALIKE
    if not scaled or not whole or not alike or before.about in mention.ids:
        return ()
    return before.unit, work.vocabulary.usual_unit(before.unit.quantity)


def printed_on(work: Work, topic: Topic) -> tuple[tuple[str, str], ...]:
    """Return the measurable (subject, quantity) pairs that the last print of the note can belong to."""
    if not topic.printed:
        return ()
    last = topic.printed[-1]
    pairs = []
    for item in last.options or (last,):
        printed = work.kb.plate_items.get(item.about or "")
        if printed is not None and printed.subject and printed.quantity:
            pairs.append((printed.subject, printed.quantity))
    return tuple(pair for pair in pairs if work.vocabulary.is_point(*pair))


def family_of(work: Work, topic: Topic) -> frozenset[str]:
    """Return the subjects around the parts whose print was read out before: the capacitor and its sections."""
    found: set[str] = set()
    for item in topic.printed:
        printed = work.kb.plate_items.get(item.about or "")
        if printed is not None and printed.subject:
            for wider in work.vocabulary.chain(printed.subject):
                found |= {wider, *work.vocabulary.children.get(wider, ())}
    return frozenset(found)


@dataclass(frozen=True, slots=True)
class Completed:
    """Parts that a mention names together with something said elsewhere in the note."""

    ids: tuple[str, ...] = ()
    source: Mention | None = None
    """The other subject."""
    preferred: bool = False
    """True where the other was named for nothing else: at the disconnect."""
    carried: str | None = None


def completed(work: Work, mention: Mention, topic: Topic, later: Sequence[Mention]) -> Completed:
    """Return what the mention may mean beyond its own words."""
    mine = {wider for subject in mention.ids for wider in work.vocabulary.chain(subject)}
    for other, used in reversed(topic.named[-_REACH:]):
        family = {wider for subject in other.ids for wider in work.vocabulary.chain(subject)}
        if mine & family:
            return Completed()
        ids = _together(work, mention, other)
        if ids:
            moved = not set(other.ids) & {one for mark in other.marks for one in mark.ids(Role.SUBJECT)}
            beside = work.kb.subjects[ids[0]].part_of in {work.kb.subjects[one].part_of for one in other.ids} - {None}
            return Completed(ids, other, preferred=moved or beside or not used)
    for other, quantity in topic.before:
        able = (one for one in _together(work, mention, other) if quantity in work.kb.subjects[one].quantities)
        ids = tuple(one for one in able if one not in other.ids)  # "return 76" is no second wet bulb
        if ids:
            return Completed(ids, other, preferred=True, carried=quantity)
    for other in later[:_REACH]:
        ids = tuple(one for one in _together(work, mention, other) if one not in other.ids)
        siblings = {work.kb.subjects[subject].part_of for subject in other.ids}
        if ids and work.kb.subjects[ids[0]].part_of in siblings - {None}:
            quantities = work.kb.subjects[ids[0]].quantities
            return Completed(ids, other, carried=quantities[0] if quantities else None)
    return Completed()


def _together(work: Work, mention: Mention, other: Mention) -> tuple[str, ...]:
    """Return subjects named by the mention's words with a name of what the other is or is part of."""
    vocabulary = work.vocabulary
    for subject in other.ids:
        for wider in vocabulary.chain(subject):
            for words in vocabulary.mentions[wider]:
                union = words | mention.content
                if len(union) == max(len(words), len(mention.content)):
                    continue
                found = vocabulary.composites.get(union, ())
                fresh = tuple(new for new in found if new not in mention.ids)
                if fresh:
                    return fresh
    return ()

"""Which value or state belongs to which subject: the cheapest way to pair them in the order they were said."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from .clauses import Sentence
from .phrases import Mark
from .roles import Role
from .vocabulary import UnitMeaning
from .work import Work


class Kind(StrEnum):
    """What is said of a subject."""

    NUMBER = "number"
    WORD = "word"
    """A state, or a word for zero or over limit: what it is depends on the subject."""


@dataclass(frozen=True, slots=True)
class Mention:
    """A subject as named in the note."""

    place: int
    """Index of its first mark in the sentence."""
    marks: tuple[Mark, ...]
    ids: tuple[str, ...]
    content: frozenset[str]
    clause: int
    loose: bool = False
    tied: bool = False
    plate: tuple[str, ...] = ()
    """Plate items of this name: RLA, max fuse."""


@dataclass(frozen=True, slots=True)
class Predicate:
    """A value or state as said, before its subject is known."""

    place: int
    mark: Mark
    kind: Kind
    clause: int
    negated: bool = False
    negation: Mark | None = None
    named: tuple[UnitMeaning, ...] = ()
    """Quantity named beside it without being its unit: "no voltage", "amps 14"."""
    hint: Mark | None = None
    zero: bool = False
    """A negation made it a reading of zero: no voltage, no 24 volts."""


@dataclass(frozen=True, slots=True)
class Pair:
    predicate: Predicate
    mentions: tuple[Mention, ...]


_AFTER = 0.6
"""A subject that follows without a preposition is a little less likely than one that came before."""
_BEFORE = 0.1
_CROSSED = 1.0
"""For every other value or subject between the two."""
_JOINED = 0.5
_COMMA_BACK = 1.0
_COMMA_AHEAD = 2.5
_UNUSED = 1.6
"""A subject that nothing is said of."""
_ALONE = 1.7
"""A value or state left without a subject."""
_MISFIT = 2.0
"""A subject that this is not said of."""


def pair(
    sentence: Sentence, predicates: Sequence[Predicate], mentions: Sequence[Mention], work: Work
) -> list[Pair]:
    """Return every predicate with the subjects it belongs to (none where it stands alone).

    Order is kept: a later predicate never belongs to an earlier subject than the predicate before it.
    """
    if not predicates:
        return []
    if not mentions:
        return [Pair(predicate, ()) for predicate in predicates]
    chosen = _cheapest(sentence, predicates, mentions, work)
    pairs = []
    for predicate, index in zip(predicates, chosen, strict=True):
        pairs.append(Pair(predicate, (mentions[index],) if index is not None else ()))
    return _shared(sentence, pairs, mentions)


def _cheapest(
    sentence: Sentence, predicates: Sequence[Predicate], mentions: Sequence[Mention], work: Work
) -> list[int | None]:
    """Dynamic programme over (predicate, last subject used, whether that one was used)."""
    marks = sentence.marks
    best: dict[int, tuple[float, list[int | None]]] = {-1: (0.0, [])}
    for predicate in predicates:
        following: dict[int, tuple[float, list[int | None]]] = {}
        for last, (cost, path) in best.items():
            options: list[tuple[int, float, int | None]] = [(last, _ALONE, None)]
            for index in range(max(last, 0), len(mentions)):
                skipped = _UNUSED * max(0, index - last - 1)
                options.append((index, skipped + _cost(predicate, mentions[index], predicates, mentions, marks, work), index))
            for state, extra, choice in options:
                total = cost + extra
                if state not in following or total < following[state][0] - 1e-9:
                    following[state] = (total, [*path, choice])
        best = following
    ends = [(cost + _UNUSED * (len(mentions) - 1 - last), last, path) for last, (cost, path) in best.items()]
    return min(ends, key=lambda end: (round(end[0], 6), -end[1]))[2]


def _cost(
    predicate: Predicate,
    mention: Mention,
    predicates: Sequence[Predicate],
    mentions: Sequence[Mention],
    marks: Sequence[Mark],
    work: Work,
) -> float:
    low, high = sorted((predicate.place, mention.place))
    crossed = sum(low < other.place < high for other in predicates) + sum(low < other.place < high for other in mentions)
    cost = _CROSSED * crossed
    if mention.place > predicate.place:
        tied = any(mark.has(Role.BEFORE_SUBJECT) for mark in marks[predicate.place + 1 : mention.place][-2:])
        cost += 0.0 if tied else _AFTER
    else:
        cost += _BEFORE
    cost += _parted(predicate, mention, work)
    return cost + (0.0 if _fits(predicate, mention, work) else _MISFIT)


def _parted(predicate: Predicate, mention: Mention, work: Work) -> float:
    """Price of the commas and joining words between the two."""
    if predicate.clause == mention.clause:
        return 0.0
    sentence = next(s for s in work.sentences if predicate.mark in s.marks)
    low, high = sorted((predicate.clause, mention.clause))
    price = 0.0
    for clause in sentence.clauses[low + 1 : high + 1]:
        if clause.joined:
            price += _JOINED
        else:
            price += _COMMA_AHEAD if mention.clause > predicate.clause else _COMMA_BACK
    return price


def _fits(predicate: Predicate, mention: Mention, work: Work) -> bool:
    """True where this can be said of the subject, of what it is part of, or of a part of it."""
    kb, vocabulary = work.kb, work.vocabulary
    if not mention.ids:
        return predicate.kind is Kind.NUMBER
    wide = [wider for subject in mention.ids for wider in vocabulary.chain(subject)]
    if predicate.kind is Kind.NUMBER:
        number = predicate.mark.number
        units = {unit.quantity.id for unit in number.units} if number and number.units else set()
        if not units:
            return any(kb.subjects[subject].quantities for subject in mention.ids)
        narrow = {part for subject in mention.ids for part in vocabulary.children.get(subject, ())}
        known = {q for subject in (*mention.ids, *narrow) for q in kb.subjects[subject].quantities}
        return bool(units & (known | {kb.plate_items[item].quantity for item in mention.plate}))
    states = predicate.mark.ids(Role.STATE)
    if not states:
        return True
    return any(not kb.states[state].subjects or set(kb.states[state].subjects) & set(wide) for state in states)


def _shared(sentence: Sentence, pairs: list[Pair], mentions: Sequence[Mention]) -> list[Pair]:
    """Give a subject that stands alone before "and" the state of the subject behind it: fan and compressor off."""
    used = {mention.place for pair in pairs for mention in pair.mentions}
    result = []
    for found in pairs:
        named = found.mentions
        while named and found.predicate.place > named[0].place:
            before = _just_before(named[0], mentions)
            if before is None or before.place in used or not _alike(sentence, before, named[0]):
                break
            named = (before, *named)
            used.add(before.place)
        result.append(Pair(found.predicate, named))
    return result


def _just_before(mention: Mention, mentions: Sequence[Mention]) -> Mention | None:
    earlier = [other for other in mentions if other.place < mention.place]
    return earlier[-1] if earlier else None


def _alike(sentence: Sentence, first: Mention, second: Mention) -> bool:
    """True where only joining words stand between two subjects: fan and compressor, neither fan nor compressor."""
    between = sentence.marks[first.place + len(first.marks) : second.place]
    joins = first.clause != second.clause or any(mark.has(Role.NEGATION) for mark in between)
    return joins and not any(mark.content for mark in between)

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
    by_order: bool = False
    """True where only its place in a row of values says which part it is."""


@dataclass(frozen=True, slots=True)
class Predicate:
    """A value or state as said, before its subject is known."""

    place: int
    mark: Mark
    kind: Kind
    clause: int
    negated: bool = False
    negations: tuple[Mark, ...] = ()
    named: tuple[UnitMeaning, ...] = ()
    """Quantity named beside it without being its unit: "no voltage", "amps 14"."""
    hint: Mark | None = None
    zero: bool = False
    """A negation made it a reading of zero: no voltage, no 24 volts."""


@dataclass(frozen=True, slots=True)
class Pair:
    predicate: Predicate
    mentions: tuple[Mention, ...]
    where: tuple[Mark, ...] = ()
    """Another part that only says where: on the contactor."""


_AFTER = 0.6
"""A subject that follows without a preposition is a little less likely than one that came before."""
_BEFORE = 0.1
_LIKE_A_UNIT = 0.05
"""For a printed item named right behind its number, as a unit would be: fan 1.3 FLA."""
_TIED_STATE = 0.15
"""A state is said of what stands before it even where a preposition follows: wire burnt at the contactor."""
_CROSSED = 1.2
"""For every other value or subject between the two."""
_JOINED = 0.5
_AHEAD_OF_ITS_OWN = 0.6
"""Beyond a joining word ahead, for a state whose own clause names a subject: fan spins fine but the compressor hums."""
_COMMA_BACK = 1.0
_COMMA_AHEAD = 2.5
_UNUSED = 1.6
"""A subject that nothing is said of."""
_LOCATOR = 0.2
_ALONE = 1.7
"""A value or state left without a subject."""
_MISFIT = 2.0
"""A subject that this is not said of."""


def pair(sentence: Sentence, predicates: Sequence[Predicate], mentions: Sequence[Mention], work: Work) -> list[Pair]:
    """Return every predicate with the subjects it belongs to (none where it stands alone).

    Order is kept: a later predicate never belongs to an earlier subject than the predicate before it.
    """
    if not mentions:
        return [Pair(predicate, ()) for predicate in predicates]
    chosen = _Prices(sentence, predicates, mentions, work).cheapest()
    pairs = []
    for predicate, index in zip(predicates, chosen, strict=True):
        pairs.append(Pair(predicate, (mentions[index],) if index is not None else ()))
    return _likewise(sentence, _shared(sentence, pairs, mentions, work), mentions)


class _Prices:
    """What it costs to let one subject have one value, and the cheapest way to give them all out."""

    def __init__(
        self, sentence: Sentence, predicates: Sequence[Predicate], mentions: Sequence[Mention], work: Work
    ) -> None:
        self._clauses = sentence.clauses
        self._marks = sentence.marks
        self._predicates = predicates
        self._mentions = mentions
        self._work = work
        self._unused = [self._unused_price(mention) for mention in mentions]

    def cheapest(self) -> list[int | None]:
        """Dynamic programme over (predicate, last subject used); returns an index of a subject per predicate."""
        best: dict[int, tuple[float, list[int | None]]] = {-1: (0.0, [])}
        for predicate in self._predicates:
            following: dict[int, tuple[float, list[int | None]]] = {}
            for last, (cost, path) in best.items():
                options: list[tuple[int, float, int | None]] = [(last, _ALONE, None)]
                for index in range(max(last, 0), len(self._mentions)):
                    skipped = sum(self._unused[last + 1 : index])
                    options.append((index, skipped + self._price(predicate, self._mentions[index]), index))
                for state, extra, choice in options:
                    total = cost + extra
                    if state not in following or total < following[state][0] - 1e-9:
                        following[state] = (total, [*path, choice])
            best = following
        ends = [(cost + sum(self._unused[last + 1 :]), last, path) for last, (cost, path) in best.items()]
        return min(ends, key=lambda end: (round(end[0], 6), -end[1]))[2]

    def _unused_price(self, mention: Mention) -> float:
        """Little for a subject that opens with a preposition and only says where the rest was read."""
        before = self._marks[max(mention.place - 2, 0) : mention.place]
        opens = all(predicate.place > mention.place for predicate in self._predicates)
        if not opens:
            return _UNUSED
        tied = any(mark.has(Role.BEFORE_SUBJECT) for mark in before)
        return _LOCATOR if tied or self._is_whole_of_others(mention) else _UNUSED

    def _is_whole_of_others(self, mention: Mention) -> bool:
        """True for the "disconnect" of "disconnect 239 line side nothing load side"."""
        if all(predicate.kind is Kind.WORD and _has_state(predicate) for predicate in self._predicates):
            return False
        table = self._work.vocabulary.composites
        others = [other for other in self._mentions if other.place > mention.place and other.content]
        named = [table.get(other.content | mention.content, ()) for other in others]
        return bool(others) and all(named) and all(set(ids) - set(mention.ids) for ids in named)

    def _price(self, predicate: Predicate, mention: Mention) -> float:
        low, high = sorted((predicate.place, mention.place))
        places = [*(other.place for other in self._predicates), *(other.place for other in self._mentions)]
        price = _CROSSED * sum(low < place < high for place in places)
        if mention.place > predicate.place:
            between = self._marks[predicate.place + 1 : mention.place][-2:]
            tied = any(mark.has(Role.BEFORE_SUBJECT) for mark in between)
            state = predicate.kind is Kind.WORD and _has_state(predicate)
            after = _LIKE_A_UNIT if _like_a_unit(predicate, mention) else _AFTER
            price += (_TIED_STATE if state else 0.0) if tied else after
        else:
            price += _BEFORE
        price += self._parted(predicate, mention)
        return price + (0.0 if _fits(predicate, mention, self._work) else _MISFIT)

    def _parted(self, predicate: Predicate, mention: Mention) -> float:
        """Price of the commas and joining words between the two."""
        low, high = sorted((predicate.clause, mention.clause))
        comma = _COMMA_AHEAD if mention.clause > predicate.clause else _COMMA_BACK
        price = sum(_JOINED if clause.joined else comma for clause in self._clauses[low + 1 : high + 1])
        ahead = mention.clause > predicate.clause and predicate.kind is Kind.WORD
        if ahead and any(other.clause == predicate.clause for other in self._mentions):
            price += _AHEAD_OF_ITS_OWN
        return price


def _like_a_unit(predicate: Predicate, mention: Mention) -> bool:
    only_printed = bool(mention.plate) and not mention.ids
    return predicate.kind is Kind.NUMBER and only_printed and mention.place == predicate.place + 1


def _has_state(predicate: Predicate) -> bool:
    return predicate.mark.has(Role.STATE) and not predicate.mark.has(Role.ZERO)


def _fits(predicate: Predicate, mention: Mention, work: Work) -> bool:
    """True where this can be said of the subject, of what it is part of, or of a part of it."""
    kb, vocabulary = work.kb, work.vocabulary
    if not mention.ids:
        return predicate.kind is Kind.NUMBER and _can_be_printed(predicate, mention, work)
    if predicate.kind is Kind.NUMBER:
        number = predicate.mark.number
        units = {unit.quantity.id for unit in number.units} if number and number.units else set()
        if not units:
            printed = {item.subject for item in kb.plate_items.values() if item.quantity}
            return any(kb.subjects[subject].quantities or subject in printed for subject in mention.ids)
        narrow = {part for subject in mention.ids for part in vocabulary.children.get(subject, ())}
        known = {q for subject in (*mention.ids, *narrow) for q in kb.subjects[subject].quantities}
        return bool(units & (known | {kb.plate_items[item].quantity for item in mention.plate}))
    states = predicate.mark.ids(Role.STATE)
    if not states:
        return True
    wide = {wider for subject in mention.ids for wider in vocabulary.chain(subject)}
    return any(not kb.states[state].subjects or wide & set(kb.states[state].subjects) for state in states)


def _can_be_printed(predicate: Predicate, mention: Mention, work: Work) -> bool:
    """True where the number, every value of it, can stand on a plate for one of the named items."""
    number = predicate.mark.number
    if number is None:
        return False
    values = [*number.values[:1], *number.partner[:1]]
    ranges = [work.kb.plate_items[item].plausible for item in mention.plate]
    return any(span is None or all(span[0] <= value <= span[1] for value in values) for span in ranges)


def _shared(sentence: Sentence, pairs: list[Pair], mentions: Sequence[Mention], work: Work) -> list[Pair]:
    """Give a subject that stands alone before "and" the state of the subject behind it: fan and compressor off."""
    used = {mention.place for pair in pairs for mention in pair.mentions}
    spoken = [found.predicate for found in pairs if found.mentions]
    result = []
    for found in pairs:
        named = found.mentions
        while named and found.predicate.place > named[0].place:
            before = _just_before(named[0], mentions)
            if before is None or before.place in used or not _alike(sentence, before, named[0]):
                break
            if any(one.plate and not one.ids for one in (before, named[0])):
                break  # a printed item shares its value with nothing
            if any(said.clause == before.clause and said.place < before.place for said in spoken):
                break  # fan still outside, compressor hot: where it is, and another sentence
            if all(" ".join(work.words(mark)) in work.kb.particles.scenery for mark in before.marks):
                break  # inside, stat is calling
            named = (before, *named)
            used.add(before.place)
        result.append(Pair(found.predicate, _shared_behind(sentence, found, named, mentions, used)))
    return result


def _shared_behind(
    sentence: Sentence, found: Pair, named: tuple[Mention, ...], mentions: Sequence[Mention], used: set[int]
) -> tuple[Mention, ...]:
    """Give what was said before a row of points to all of them: open from C to R and C to S."""
    if found.predicate.kind is not Kind.WORD:
        return named
    for mention in mentions:
        row = named and found.predicate.place < named[0].place and mention.place > named[-1].place
        if row and mention.place not in used and _alike(sentence, named[-1], mention) and _ends(sentence, mention):
            named = (*named, mention)
            used.add(mention.place)
    return named


def _ends(sentence: Sentence, mention: Mention) -> bool:
    """True where nothing more is said in the clause behind a subject."""
    behind = sentence.marks[mention.place + len(mention.marks) :]
    return not any(mark.content for mark in behind if sentence.clause_of(mark) == mention.clause)


def _likewise(sentence: Sentence, pairs: list[Pair], mentions: Sequence[Mention]) -> list[Pair]:
    """Give a subject behind "so is" the state said last before it: the fan turns and so does the compressor."""
    used = {mention.place for pair in pairs for mention in pair.mentions}
    said_in = {pair.predicate.clause for pair in pairs if not pair.mentions}
    added = []
    for mention in mentions:
        before = [mark for mark in sentence.marks[: mention.place] if not _idle(mark)][-1:]
        after = sentence.marks[mention.place + len(mention.marks) :][:1]
        likewise = any(mark.has(Role.LIKEWISE) for mark in (*before, *after))
        said = [found for found in pairs if found.predicate.place < mention.place and found.mentions]
        if mention.place not in used and mention.clause not in said_in and likewise and said:
            added.append(Pair(said[-1].predicate, (mention,)))
    return sorted([*pairs, *added], key=lambda found: found.predicate.place)


def _idle(mark: Mark) -> bool:
    return mark.has(Role.FILLER) and not mark.has(Role.LIKEWISE)


def _just_before(mention: Mention, mentions: Sequence[Mention]) -> Mention | None:
    earlier = [other for other in mentions if other.place < mention.place]
    return earlier[-1] if earlier else None


def _alike(sentence: Sentence, first: Mention, second: Mention) -> bool:
    """True where only joining words stand between two subjects: fan and compressor, neither fan nor compressor."""
    between = sentence.marks[first.place + len(first.marks) : second.place]
    opener = next(iter(sentence.clauses[second.clause].marks), None)
    contrast = sentence.clauses[second.clause].joined and opener is not None and not opener.has(Role.PAIR_JOIN)
    joins = (first.clause != second.clause and not contrast) or any(mark.negates for mark in between)
    return joins and not any(mark.content and not mark.negates for mark in between)

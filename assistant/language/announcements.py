"""Requests, answers, announcements of work and power, hazards and missing tools."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from knowledge.models.vocabulary import Intent

from .acts import acts, was_found
from .clauses import Clause, Sentence
from .models import Doubt, Heard, Kind
from .part_rating import print_of, rating_after_with, rating_of_part
from .phrases import Mark
from .roles import Role
from .tokens import TokenKind
from .wishes import asked_of_value, limit_of, with_wish
from .work import Work, in_order

_KINDS = {
    "request": Kind.REQUEST,
    "answer": Kind.ANSWER,
    "correction": Kind.CORRECTION,
    "power": Kind.POWER,
    "safety": Kind.SAFETY,
    "repair_done": Kind.REPAIR,
    "tool": Kind.TOOL,
    "hazard": Kind.HAZARD,
    "note": Kind.NOTE,
}
_DEEDS = frozenset({Kind.SAFETY, Kind.POWER, Kind.REPAIR})
"""What is only true once it has been done."""


_ASKED_FOR = frozenset({Kind.REQUEST, Kind.HAZARD})
"""What a question can be about: "can I put in a bigger fuse" is warned of."""


@dataclass(frozen=True, slots=True)
class _Announced:
    intent: Intent
    marks: tuple[Mark, ...]
    place: int
    """Index of the first mark in its clause."""

    @property
    def kind(self) -> Kind:
        return _KINDS[self.intent.kind]


def announce(work: Work) -> None:
    """Add an item for every announcement of the note."""
    for sentence in work.sentences:
        for index, clause in enumerate(sentence.clauses):
            asking = asked_of_value(clause)
            if asking:
                work.items.append(limit_of(work, clause, asking))
                continue
            found = [_with_own_words(work, one, clause) for one in _once_each(_announced(work, sentence, index))]
            if clause.question:
                found = _asked_back(work, found)
            if any(one.intent.asks for one in found):
                found = [one for one in found if one.kind in _ASKED_FOR and not one.intent.asks]
            found = [_leaving_read(clause, announced) for announced in found]
            made = [_item(work, announced, clause, found) for announced in found]
            work.items.extend(_one_of_repairs(made))
            work.spend(*(mark for announced in found for mark in announced.marks))
            for announced in found:
                rating = rating_of_part(work, announced.intent, clause, announced.marks)
                work.items += [told for mark in rating if (told := print_of(work, mark, announced.intent)) is not None]
                work.spend(*rating)
                if index + 1 < len(sentence.clauses):
                    work.spend(*rating_after_with(work, announced.intent, sentence.clauses[index + 1]))


def _one_of_repairs(items: Sequence[Heard]) -> list[Heard]:
    """Ask back which repair was done where one name fits several: "cleaned the coil", and no coil was spoken of."""
    result: list[Heard] = []
    for item in items:
        before = result[-1] if result else None
        same = before is not None and (item.start, item.end) == (before.start, before.end)
        if before is None or not same or not item.kind is before.kind is Kind.REPAIR:
            result.append(item)
            continue
        options = (*(before.options or (before,)), item)
        result[-1] = replace(before, doubts=in_order({*before.doubts, Doubt.AMBIGUOUS}), options=options)
    return result


def _leaving_read(clause: Clause, announced: _Announced) -> _Announced:
    """Leave a part that was read right behind the work to its reading: replaced the | cap herm | reads 45.1."""
    last = announced.marks[-1]
    behind = [mark for mark in clause.marks if mark.first >= last.last]
    read = len(behind) > 1 and behind[0].has(Role.MEASURED) and behind[1].number is not None
    if announced.kind is not Kind.REPAIR or len(announced.marks) < 2 or not read or not last.has(Role.SUBJECT):
        return announced
    return replace(announced, marks=announced.marks[:-1])


_REPORTS = frozenset({Kind.ANSWER, Kind.SAFETY, Kind.POWER})
_STATUS = "where"
"""Id of the request that tells how the visit stands."""


def _asked_back(work: Work, found: list[_Announced]) -> list[_Announced]:
    """Read "good to go?", "locked and tagged?" as how things stand: a question confirms nothing and undoes nothing."""
    reports = [one for one in found if one.kind in _REPORTS]
    others = [one for one in found if one.kind not in _REPORTS]
    if reports and not others:
        start, end = work.extent([mark for one in reports for mark in one.marks])
        work.items.append(Heard(Kind.REQUEST, work.said(start, end), start, end, about=_STATUS))
        work.spend(*(mark for one in reports for mark in one.marks))
    return others


def ask(work: Work) -> None:
    """Add what is asked of a part in a clause that no other request is about: nothing in it was found or done."""
    for sentence in work.sentences:
        for index, clause in enumerate(sentence.clauses):
            asking = [one for one in _announced(work, sentence, index) if one.intent.asks]
            if asking and not any(work.is_spent(mark) and mark.content for mark in clause.marks):
                work.items.append(_item(work, asking[0], clause, asking))
                work.spend(*clause.marks)


def _without_undone(work: Work, mark: Mark) -> tuple[str, ...]:
    """Return the intents of a phrase; one that takes a step back bars one that reports it."""
    ids = mark.ids(Role.INTENT)
    undone = tuple(intent for intent in ids if work.kb.intents[intent].undone)
    return undone or ids


def _once_each(announced: Iterator[_Announced]) -> list[_Announced]:
    """Join words that announce the same thing twice: installed a new contactor."""
    found: dict[tuple[Kind, str], _Announced] = {}
    for one in announced:
        key = (one.kind, one.intent.about or one.intent.id)
        before = found.get(key)
        marks = one.marks if before is None else tuple(dict.fromkeys([*before.marks, *one.marks]))
        kept = before if before is not None and (before.intent.undone or not one.intent.undone) else one
        found[key] = replace(kept, marks=marks, place=one.place if before is None else before.place)
    return list(found.values())


def _with_own_words(work: Work, announced: _Announced, clause: Clause) -> _Announced:
    """Take in words of the clause that the intent's own phrases are made of: tester | proved on a known source."""
    own = work.vocabulary.intent_words(announced.intent)
    first = min(mark.first for mark in announced.marks)
    last = max(mark.last for mark in announced.marks)
    others = [mark for mark in clause.marks if mark not in announced.marks and not first < mark.first < last]
    values = any(m.number is not None or m.has(Role.ZERO) or m.has(Role.STATE) for m in others)
    more = []
    for mark in clause.marks:
        if mark in announced.marks or work.is_spent(mark):
            continue
        inside = first < mark.first < last and mark.has(Role.STATE)  # replaced the burnt contactor
        strange = mark.has(Role.UNKNOWN) or (mark.has(Role.SUBJECT) and not values)
        near = _is_near(clause, mark, first, last)
        tied = announced.kind in {Kind.REPAIR, Kind.SAFETY} and _is_tied(work, clause, mark, last)
        where = tied and mark.has(Role.SUBJECT) and not values
        if inside or where or (strange and near and set(work.words(mark)) <= own):
            more.append(mark)
    return replace(announced, marks=(*announced.marks, *more))


def _is_tied(work: Work, clause: Clause, mark: Mark, last: int) -> bool:
    """True for a part behind the work that only says where: a new spade on the herm wire."""
    between = [other for other in clause.marks if last <= other.first < mark.first]
    ends = last <= mark.first and work.tokens[last - 1].word in work.kb.particles.before_subject
    ties = ends or any(other.has(Role.BEFORE_SUBJECT) for other in between)
    return ties and not any(other.content for other in between)


def _is_near(clause: Clause, mark: Mark, first: int, last: int) -> bool:
    """True where no value or state stands between a word and the announcement."""
    low, high = (mark.last, first) if mark.first < first else (last, mark.first)
    between = (other for other in clause.marks if low <= other.first < high)
    return not any(other.content and not set(other.roles) <= {Role.UNKNOWN, Role.SUBJECT} for other in between)


def _announced(work: Work, sentence: Sentence, index: int) -> Iterator[_Announced]:
    clause = sentence.clauses[index]
    for place, mark in enumerate(clause.marks):
        if work.is_spent(mark):
            continue
        for intent_id in _without_undone(work, mark):
            intent = work.kb.intents[intent_id]
            if _counts(work, intent, mark, clause):
                yield _Announced(intent, (mark,), place)
        if mark.has(Role.ACT):
            yield from (_Announced(*meant, place) for meant in acts(work, sentence, index, place, mark))


def _counts(work: Work, intent: Intent, mark: Mark, clause: Clause) -> bool:
    """True where the phrase means the intent here: short ones only as the whole note, or opening it."""
    asked = work.context.asked
    if asked is not None and set(mark.ids(Role.STATE)) & set(asked.states):
        return False
    if mark.has(Role.STATE) and any(m.has(Role.SUBJECT) and m is not mark for m in clause.marks):
        return False  # the compressor, not the day, is hot as hell
    named = {one for other in clause.marks if other is not mark for one in other.ids(Role.SUBJECT)}
    if named & set(intent.never_of) and not named & set(intent.on):
        return False
    if intent.kind == "answer" and any(other.has(Role.CLOCK) for other in work.marks):
        return False  # "finished before three" is a word to the customer
    if intent.asks:
        return not any(other.content for other in clause.marks if other.last <= mark.first)
    if not intent.whole_note:
        return not (intent.kind in {"safety", "power"} and was_found(clause, mark))
    others = [other for other in work.content if other is not mark and not other.negates and not work.is_spent(other)]
    if not others:
        return True
    if intent.kind != "answer" or mark.has(Role.HEDGE) or not _opens(work, mark) or _negates(work, mark):
        return False
    return not mark.small or _is_parted(work, mark)


def _opens(work: Work, mark: Mark) -> bool:
    """True for a "yes" or "done" that opens the note before something else."""
    before = [other for other in work.marks if other.last <= mark.first and (other.content or not other.small)]
    return not before


def _is_parted(work: Work, mark: Mark) -> bool:
    """True where a comma or the like stands behind."""
    behind = work.tokens[mark.last : mark.last + 1]
    return bool(behind) and behind[0].kind is TokenKind.BREAK


def _negates(work: Work, mark: Mark) -> bool:
    """True where a "no" belongs to the words right behind it: no voltage at the coil."""
    if not mark.has(Role.NEGATION):
        return False
    following = next((other for other in work.marks if other.first >= mark.last), None)
    return following is not None and not following.small


def _item(work: Work, announced: _Announced, clause: Clause, others: Sequence[_Announced]) -> Heard:
    kind = announced.kind
    start, end = work.extent(announced.marks)
    doubts: set[Doubt] = set()
    if any(mark.loose for mark in announced.marks):
        doubts.add(Doubt.SPELLING)
    negated = False
    if kind is not Kind.REQUEST:
        if clause.hedged or (kind in _DEEDS and _strange_before(work, clause, announced)):
            doubts.add(Doubt.UNSURE)
        negated = kind is not Kind.ANSWER and _negated(work, announced, clause, others)
        if kind in _DEEDS and (clause.question or _not_done(work, clause, announced)):
            negated = True
        if announced.intent.undone:
            if negated:
                doubts.add(Doubt.UNSURE)  # "didn't take the lock off" reports no step
            negated = True
    item = Heard(
        kind,
        work.said(start, end),
        start,
        end,
        about=announced.intent.about or announced.intent.id,
        negated=negated,
        doubts=in_order(doubts),
    )
    return with_wish(work, item, clause, announced.marks) if announced.intent.of_something else item


def _negated(work: Work, announced: _Announced, clause: Clause, others: Sequence[_Announced]) -> bool:
    """True where a "not" of the clause belongs to this announcement: the next one behind it, else the last before."""
    firsts = sorted(min(mark.first for mark in other.marks) for other in others)
    own_first = min(mark.first for mark in announced.marks)
    own_last = max(mark.last for mark in announced.marks)
    for mark in clause.marks:
        if not mark.negates or any(mark.first >= m.first and mark.last <= m.last for m in announced.marks):
            continue
        inside = own_first <= mark.first < own_last
        following = [first for first in firsts if first > mark.first]
        if inside or (following and following[0] == own_first):
            work.spend(mark)
            return True
        states_behind = any(m.first > mark.first and m.has(Role.STATE) and not m.small for m in clause.marks)
        if not following and not states_behind and own_first == firsts[-1]:
            work.spend(mark)
            return True
    return False


def _not_done(work: Work, clause: Clause, announced: _Announced) -> bool:
    """True where a plan, a wish or a condition stands before it or right inside it, or it was done long ago."""
    if any(mark.has(Role.LONG_AGO) for mark in clause.marks):
        return True
    unfinished = [mark for mark in clause.marks if " ".join(work.words(mark)) in work.kb.particles.unfinished]
    if unfinished:
        work.spend(*unfinished)
        return True
    last = max(mark.last for mark in announced.marks)
    before = [mark for mark in clause.marks if mark not in announced.marks and mark.first < last]
    words = {word for mark in before for word in work.words(mark)}
    return any(mark.has(Role.NOT_DONE) for mark in before) or not words.isdisjoint(work.vocabulary.not_done)


def _strange_before(work: Work, clause: Clause, announced: _Announced) -> bool:
    """True where a word nobody knows stands before or inside the announcement and may change it."""
    last = max(mark.last for mark in announced.marks)
    strange = (mark for mark in clause.marks if mark.has(Role.UNKNOWN) and not work.is_spent(mark))
    return any(mark.first < last and mark not in announced.marks for mark in strange)

"""Work that is announced, not reported: replace the cap, swapping the contactor, going to clean the coil."""

from __future__ import annotations

from collections.abc import Iterator

from .clauses import Clause
from .models import Heard, Kind
from .phrases import Mark
from .roles import Role
from .runs import before, find_runs, spellings
from .tokens import words_of
from .work import Work

PLANNED = "planned"
"""State of a repair that is only announced."""


def plan_work(work: Work) -> None:
    """Add a repair for every word of doing in its plain form that stands before what a repair is done to."""
    for sentence in work.sentences:
        for clause in sentence.clauses:
            found = next(_planned(work, clause), None)
            if found is not None:
                work.items.append(found)


def _planned(work: Work, clause: Clause) -> Iterator[Heard]:
    if not clause.marks or any(mark.negates for mark in clause.marks):
        return
    first, last = clause.marks[0].first, clause.marks[-1].last
    told = {phrase for phrase in work.kb.particles.found if len(words_of(phrase)) == 1}
    for done, plain in work.kb.particles.plan_acts.items():
        for low, high in find_runs(work, plain, first, last):
            place = before(work, low)
            if place is not None and spellings(work, place) & told:
                continue  # "I was swapping the cap when it tripped"
            if any(mark.first < low and _asks(work, mark) for mark in clause.marks):
                continue  # "should I replace the cap?"
            named = next((m for m in clause.marks if m.first >= high and m.has(Role.SUBJECT)), None)
            if named is None and _is_it(work, high) and not clause.question:
                yield from _proposed(work, clause, low, high)
            if named is None or work.is_spent(named) or _is_state(clause, low, high, named):
                continue
            repair = _repair_of(work, done, named)
            if repair is not None:
                yield _heard(work, clause, repair, low, named)


def _is_it(work: Work, place: int) -> bool:
    return place < len(work.tokens) and work.tokens[place].word in work.kb.particles.pronoun


def _proposed(work: Work, clause: Clause, first: int, behind: int) -> Iterator[Heard]:
    """Yield the proposed repair for "fixing it now", "replacing it"."""
    if work.context.proposed is None:
        return
    work.spent.update(range(first, behind + 1))
    work.spend(*(mark for mark in clause.marks if mark.has(Role.NOT_DONE)))
    start, end = work.tokens[first].start, work.tokens[behind].end
    yield Heard(Kind.REPAIR, work.said(start, end), start, end, about=work.context.proposed, state=PLANNED)


def _asks(work: Work, mark: Mark) -> bool:
    return any(work.kb.intents[name].asks for name in mark.ids(Role.INTENT))


def _is_state(clause: Clause, first: int, last: int, named: Mark) -> bool:
    """True for "clean filter", which says how it is; "clean the filter" says what will be done."""
    seen = any(mark.has(Role.STATE) and first <= mark.first < last for mark in clause.marks)
    planned = any(mark.has(Role.NOT_DONE) and mark.first < first for mark in clause.marks)
    return seen and not planned and named.first == last


def _repair_of(work: Work, done: str, named: Mark) -> str | None:
    """Return the repair that the same act would report as done."""
    ids = named.ids(Role.SUBJECT)
    for subjects in (set(ids), {wider for one in ids for wider in work.vocabulary.chain(one)}):
        for intent in work.kb.intents.values():
            if intent.kind == "repair_done" and done in intent.acts and subjects & set(intent.on):
                return intent.about
    return None


def _heard(work: Work, clause: Clause, repair: str, first: int, named: Mark) -> Heard:
    work.spent.update(range(first, named.last))
    work.spend(*(mark for mark in clause.marks if mark.has(Role.NOT_DONE)))
    start, end = work.tokens[first].start, work.tokens[named.last - 1].end
    return Heard(Kind.REPAIR, work.said(start, end), start, end, about=repair, state=PLANNED)

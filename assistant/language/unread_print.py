"""Print that cannot be read: the plate is sunburnt, no RLA on the plate, can't read the capacitor."""

from __future__ import annotations

from .clauses import Clause, Sentence
from .models import Heard, Kind
from .roles import Role
from .runs import find_runs
from .work import Work

UNREAD = "print_unread"
"""Id of the request: go on without it."""


def miss_print(work: Work) -> None:
    """Add a request to go on without what is named, for a clause that says it is not there or not legible."""
    for sentence in work.sentences:
        for index, clause in enumerate(sentence.clauses):
            _take(work, sentence, index, clause)


def _take(work: Work, sentence: Sentence, index: int, clause: Clause) -> None:
    named = [mark for mark in clause.marks if mark.has(Role.PLATE_ITEM) and not work.is_spent(mark)]
    itself = set(work.kb.particles.plate_itself)
    plate = [mark for mark in clause.marks if set(work.words(mark)) & itself and not mark.has(Role.INTENT)]
    if not (named or plate) or any(mark.number is not None for mark in clause.marks):
        return
    if not _is_unread(work, clause):
        return
    for mark in named:
        work.items.append(_heard(work, clause, mark.ids(Role.PLATE_ITEM)[0]))
    if not named:
        work.items.append(_heard(work, clause, None))
    work.spend(*clause.marks)
    for other in sentence.clauses[index + 1 :]:  # "plate is sunburnt, | can't read it"
        if other.marks and _is_unread(work, other):
            work.spend(*other.marks)


def _is_unread(work: Work, clause: Clause) -> bool:
    runs = find_runs(work, work.kb.particles.unread, clause.marks[0].first, clause.marks[-1].last)
    return next(runs, None) is not None


def _heard(work: Work, clause: Clause, item: str | None) -> Heard:
    start, end = work.tokens[clause.marks[0].first].start, work.tokens[clause.marks[-1].last - 1].end
    return Heard(Kind.REQUEST, work.said(start, end), start, end, about=UNREAD, subject=item)

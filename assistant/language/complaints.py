"""What is wrong with the unit, said as a whole or built up from findings."""

from __future__ import annotations

from dataclasses import replace

from knowledge.models.fault import Complaint

from .clauses import Clause
from .models import Doubt, Heard, Kind
from .phrases import Mark
from .roles import Role
from .work import Work, in_order


def complain(work: Work) -> None:
    """Add an item for every complaint of the note, once each, over all the words that say it."""
    found: dict[str, Heard] = {}
    for sentence in work.sentences:
        for clause in sentence.clauses:
            for mark in clause.marks:
                if mark.has(Role.COMPLAINT) and not work.is_spent(mark):
                    about = mark.ids(Role.COMPLAINT)[0]
                    found[about] = _complaint(work, about, mark, clause, found.get(about))
    work.items.extend(found.values())


def _complaint(work: Work, about: str, mark: Mark, clause: Clause, before: Heard | None) -> Heard:
    doubts = set(before.doubts) if before is not None else set()
    if mark.loose:
        doubts.add(Doubt.SPELLING)
    if clause.hedged:
        doubts.add(Doubt.UNSURE)
    work.complained.append((mark, clause.hedged))
    marks = [mark, *_around(work, mark, clause)]
    work.spend(*marks)
    start, end = work.extent(marks)
    if before is not None:
        start, end = min(start, before.start), max(end, before.end)
    return Heard(Kind.COMPLAINT, work.said(start, end), start, end, about=about, doubts=in_order(doubts))


def _around(work: Work, complaint: Mark, clause: Clause) -> list[Mark]:
    """Return the rest of the clause where it only says where and how: water dripping from the ceiling."""
    others = [mark for mark in clause.content if mark is not complaint and not work.is_spent(mark)]
    only_places = all(set(mark.roles) <= {Role.SUBJECT, Role.UNKNOWN, Role.PLAIN} for mark in others)
    return others if only_places else []


def add_built_up(work: Work) -> None:
    """Add the complaint that the findings of the note make up together: fan spins, compressor doesn't."""
    if any(item.kind is Kind.COMPLAINT for item in work.items):
        return
    _add_found(work)
    for complaint in work.kb.complaints.values():
        parts = _parts(work, complaint)
        if len(complaint.hints) > 1 and len(parts) == len(complaint.hints):
            start, end = min(item.start for item in parts), max(item.end for item in parts)
            doubts = in_order(doubt for item in parts for doubt in item.doubts)
            work.items.append(
                Heard(Kind.COMPLAINT, work.said(start, end), start, end, about=complaint.id, doubts=doubts)
            )
            return


def _add_found(work: Work) -> None:
    """Add the complaint that one finding says: the outdoor unit is dead."""
    said = [item for item in work.items if item.kind is Kind.FINDING and item.usable and not item.negated]
    for complaint in work.kb.complaints.values():
        for item in said:
            if item.state in complaint.found.get(item.about or "", ()):
                work.items.append(replace(item, kind=Kind.COMPLAINT, about=complaint.id, state=None))
                return


def _parts(work: Work, complaint: Complaint) -> list[Heard]:
    """Return one finding for each check the complaint hints at, where all of them agree with it."""
    parts = []
    for check_id, outcomes in complaint.hints.items():
        check = work.kb.checks[check_id]
        states = {state for answer in check.answers if answer.outcome in outcomes for state in answer.states}
        fitting = [
            item
            for item in work.items
            if item.kind is Kind.FINDING and item.usable and not item.negated and item.state in states
            if item.about in {check.about, *check.also_about}
        ]
        if fitting:
            parts.append(fitting[0])
    return parts

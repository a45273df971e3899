"""What is wrong with the unit, said as a whole or built up from findings."""

from __future__ import annotations

from knowledge.models.fault import Complaint

from .models import Doubt, Heard, Kind
from .roles import Role
from .work import Work, in_order


def complain(work: Work) -> None:
    """Add an item for every complaint phrase of the note."""
    for sentence in work.sentences:
        for clause in sentence.clauses:
            for mark in clause.marks:
                if not mark.has(Role.COMPLAINT) or work.is_spent(mark):
                    continue
                doubts = {Doubt.SPELLING} if mark.loose else set()
                if clause.hedged:
                    doubts.add(Doubt.UNSURE)
                start, end = work.extent([mark])
                about = mark.ids(Role.COMPLAINT)[0]
                work.items.append(
                    Heard(Kind.COMPLAINT, work.said(start, end), start, end, about=about, doubts=in_order(doubts))
                )
                work.spend(mark)


def add_built_up(work: Work) -> None:
    """Add the complaint that the findings of the note make up together: fan spins, compressor doesn't."""
    if any(item.kind is Kind.COMPLAINT for item in work.items):
        return
    for complaint in work.kb.complaints.values():
        parts = _parts(work, complaint)
        if len(complaint.hints) > 1 and len(parts) == len(complaint.hints):
            start, end = min(item.start for item in parts), max(item.end for item in parts)
            doubts = in_order(doubt for item in parts for doubt in item.doubts)
            work.items.append(
                Heard(Kind.COMPLAINT, work.said(start, end), start, end, about=complaint.id, doubts=doubts)
            )
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

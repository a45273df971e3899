"""A part put in that only its print names: put in a 45/5."""

from __future__ import annotations

from .models import Heard, Kind
from .roles import Role
from .work import Work


def fitted(work: Work) -> None:
    """Add the repair for a word of work beside printed values of a part that nothing else names in the clause."""
    for sentence in work.sentences:
        for clause in sentence.clauses:
            acts = [mark for mark in clause.marks if mark.has(Role.ACT) and not work.is_spent(mark)]
            if not acts or any(mark.negates or mark.has(Role.NOT_DONE) for mark in clause.marks):
                continue
            low, high = work.extent(clause.marks)
            printed = [i for i in work.items if i.kind is Kind.PLATE and low <= i.start and i.end <= high]
            subjects = {work.kb.plate_items[item.about or ""].subject for item in printed}
            wide = {wider for one in subjects if one for wider in work.vocabulary.chain(one)}
            done = [
                intent
                for mark in acts
                for one in mark.ids(Role.ACT)
                for intent in (work.kb.intents[one],)
                if intent.kind == "repair_done" and wide & set(intent.on)
            ]
            if not done or done[0].about is None or clause.question:
                continue
            start = min(work.extent(acts)[0], *(item.start for item in printed))
            end = max(work.extent(acts)[1], *(item.end for item in printed))
            work.items.append(Heard(Kind.REPAIR, work.said(start, end), start, end, about=done[0].about))
            work.spend(*acts)

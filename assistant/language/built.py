"""How the unit is built, as it is said at any time: two-pole contactor, no hard start kit, heat pump."""

from __future__ import annotations

import re

from knowledge import KnowledgeBase

from .clauses import Clause
from .models import Context, Doubt, Heard, Kind
from .phrases import Mark
from .roles import Role
from .work import Work


def tell_built(work: Work) -> None:
    """Add an item for every phrase that names a kind of unit or a choice of an option.

    A "no" or "not" before it denies it: that says nothing certain where there are more than two choices.
    """
    for sentence in work.sentences:
        for clause in sentence.clauses:
            for mark in clause.marks:
                if work.is_spent(mark) or not mark.has(Role.BUILT):
                    continue
                start, end = work.extent((mark,))
                doubts = tuple(
                    doubt for doubt, holds in ((Doubt.UNSURE, clause.hedged), (Doubt.SPELLING, mark.loose)) if holds
                )
                negated = _denied(clause, mark)
                work.items.append(
                    Heard(
                        Kind.BUILT,
                        work.said(start, end),
                        start,
                        end,
                        about=mark.ids(Role.BUILT)[0],
                        negated=bool(negated),
                        doubts=doubts,
                    )
                )
                work.spend(mark, *negated)


def _denied(clause: Clause, mark: Mark) -> list[Mark]:
    """Return the "no" or "not" right before, small words between them apart."""
    before = [other for other in clause.marks if other.last <= mark.first and (other.negates or not other.small)]
    return before[-1:] if before and before[-1].negates else []


_WORD = re.compile(r"[a-z0-9']+")


def built_answer(text: str, kb: KnowledgeBase, context: Context) -> Heard | None:
    """Return what a whole note says as the short answer to how the unit is built; None where it is none."""
    asked = context.asked
    if asked is None or asked.kind != "built":
        return None
    said = " ".join(_WORD.findall(text.lower()))
    for option in filter(None, (unit.option(asked.id) for unit in kb.units.values())):
        for choice in option.choices:
            if said in choice.answers:
                return Heard(Kind.BUILT, text, 0, len(text), about=f"{option.id}.{choice.id}")
    return None

"""Why something cannot be done: "can't, too cool out". What opens so corrects nothing, and its reason is no finding."""

from __future__ import annotations

from .models import Heard, Kind
from .roles import Role
from .tokens import TokenKind
from .work import Work

_CANNOT = "cannot"
_OPENING = 3
"""Words in which a reason opens: its | too, it is | too."""


def cannot_because(work: Work) -> None:
    """Take a note of "can't" and a reason that names no part and no number as the one answer, reason included."""
    said = [mark for mark in work.marks if mark.content or mark.has(Role.INTENT)]
    meant = {work.kb.intents[one].about or one for one in said[0].ids(Role.INTENT)} if said else set()
    if _CANNOT not in meant or len(said) < 2:
        return
    behind = [token.word for token in work.tokens[said[0].last :] if token.kind is not TokenKind.BREAK]
    if not set(behind[:_OPENING]) & set(work.kb.particles.reason_opens):
        return
    if any(mark.number is not None or mark.has(Role.SUBJECT) for mark in said[1:]):
        return
    start, end = work.extent(said)
    work.items.append(Heard(Kind.ANSWER, work.said(start, end), start, end, about=_CANNOT))
    work.spend(*work.marks)

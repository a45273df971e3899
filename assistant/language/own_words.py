"""An answer in the very words of the question: "big enough" to "big enough, or too small?"."""

from __future__ import annotations

import re

from knowledge.base import KnowledgeBase
from knowledge.models.check import Answer, Check

from .models import Context, Heard, Kind

_WORD = re.compile(r"[^\W_]+(?:'[^\W_]+)?")
_PARTED = re.compile(r", | or ")


def in_own_words(text: str, kb: KnowledgeBase, context: Context) -> Heard | None:
    """Return the finding where the note is the name of one answer to the check that was asked, or a part of it.

    Words that never change what is meant ("it is") may stand around it, any other word may not.
    """
    asked = context.asked
    if asked is None or asked.kind != "check" or asked.id not in kb.checks:
        return None
    check = kb.checks[asked.id]
    idle = {*kb.particles.filler, *kb.particles.article}
    said = _words(text)
    kept = tuple(word for word in said if word not in idle)
    met = {answer.outcome: answer for words, answer in _names(check) if words in {said, kept}}
    if len(met) != 1:
        return None
    (answer,) = met.values()
    named = (state for state in answer.states if {_words(phrase) for phrase in kb.states[state].phrases} & {said, kept})
    state = next(named, answer.states[0])
    return Heard(Kind.FINDING, text.strip(), 0, len(text), about=check.about, state=state)


def _names(check: Check) -> list[tuple[tuple[str, ...], Answer]]:
    """Return (words, answer) for every name of an answer, whole and in its parts ("cool or warm", "in, sound")."""
    return [
        (_words(name), answer)
        for answer in check.answers
        if answer.states
        for name in {answer.name, *_PARTED.split(answer.name)}
    ]


def _words(text: str) -> tuple[str, ...]:
    return tuple(_WORD.findall(text.lower()))

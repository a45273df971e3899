"""What a part did only because it was helped: pushed the blade and it ran."""

from __future__ import annotations

from collections.abc import Sequence

from knowledge.models.vocabulary import State

from .clauses import Sentence
from .models import Heard, Kind
from .phrases import Mark
from .roles import Role
from .tokens import find_words, words_of
from .work import Work


def provoke(work: Work) -> None:
    """Add the finding for a push and what came of it in one sentence; the words between belong to it."""
    for sentence in work.sentences:
        for state in work.kb.states.values():
            if state.helped and not any(mark.negates for mark in sentence.marks):
                _provoked(work, sentence, state)


def _provoked(work: Work, sentence: Sentence, state: State) -> None:
    marks = sentence.marks
    help_at = _at(work, marks, state.helped)
    result_at = _at(work, marks, state.then)
    named = {one for mark in marks for one in mark.ids(Role.SUBJECT)}
    asked = work.context.asked
    before = {item.about for item in work.context.last if item.kind is Kind.FINDING and item.about}
    known = named or before | ({asked.about} if asked is not None and asked.about else set())
    if help_at is None or result_at is None or not known & set(state.subjects) or _other_part(marks, state):
        return
    if any(set(mark.ids(Role.STATE)) - {state.id} for mark in marks[help_at[0] : help_at[1]]):
        return  # "pushed the contactor in" says something else
    if any(mark.number is not None for mark in marks[min(help_at[0], result_at[0]) : max(help_at[1], result_at[1])]):
        return
    first, last = min(help_at[0], result_at[0]), max(help_at[1], result_at[1])
    while first and marks[first - 1].has(Role.SUBJECT):
        first -= 1
    while last < len(marks) and (marks[last].has(Role.SUBJECT) or marks[last].small):
        last += 1
    run = marks[first:last]
    start, end = work.extent(run)
    work.items.append(Heard(Kind.FINDING, work.said(start, end), start, end, about=state.subjects[0], state=state.id))
    work.spend(*run)


def _other_part(marks: Sequence[Mark], state: State) -> bool:
    """True where another part is named too: pushed the contactor in and the fan ran."""
    return any(mark.has(Role.SUBJECT) and not set(mark.ids(Role.SUBJECT)) & set(state.subjects) for mark in marks)


def _at(work: Work, marks: Sequence[Mark], phrases: Sequence[str]) -> tuple[int, int] | None:
    """Return the places of the marks that hold one of the phrases, first and behind the last."""
    words = [(word, place) for place, mark in enumerate(marks) for word in work.words(mark)]
    for phrase in sorted(phrases, key=len, reverse=True):
        wanted = words_of(phrase)
        at = find_words([word for word, _ in words], wanted)
        if at is not None:
            return words[at][1], words[at + len(wanted) - 1][1] + 1
    return None

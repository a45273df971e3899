"""A number in a question that nothing answers is no reading: it is told back as not understood, never logged."""

from __future__ import annotations

from collections.abc import Iterator

from .clauses import Clause
from .models import Heard, Kind
from .phrases import Mark
from .roles import Role
from .tokens import fold, words_of
from .work import Work

_VALUES = frozenset({Kind.READING, Kind.PLATE})


def without_questions(work: Work) -> tuple[list[Heard], tuple[str, ...]]:
    """Return the items without values from questions, and the words of those questions.

    A question is a sentence that begins like one, up to where a report follows ("what should it read, i got 38").
    A note that answers a pending question, or confirms a step, is taken as it is.
    """
    kept, asked = list(work.items), []
    for marks in _questions(work):
        start, end = work.extent(marks)
        lost = [item for item in kept if item.kind in _VALUES and start <= item.start and item.end <= end]
        if lost:
            kept = [item for item in kept if item not in lost]
            asked.append(work.said(start, end))
    return kept, tuple(asked)


def _questions(work: Work) -> Iterator[list[Mark]]:
    for sentence in work.sentences:
        if not sentence.clauses or not _begins_as_question(work, sentence.clauses[0]):
            continue
        marks = list(sentence.clauses[0].marks)
        for clause in sentence.clauses[1:]:
            if not clause.joined or any(mark.has(Role.MEASURED) for mark in clause.marks):
                break
            marks += clause.marks
        yield marks


def _begins_as_question(work: Work, clause: Clause) -> bool:
    words = [fold(work.tokens[place].raw) for mark in clause.marks for place in range(mark.first, mark.last)]
    tails = [list(words_of(phrase)) for phrase in work.kb.asking.no_reading_behind]
    if any(words[-len(tail) :] == tail for tail in tails):
        return True  # "45 uf reading 41.5 bad or ok"
    within = [list(words_of(phrase)) for phrase in work.kb.asking.no_reading_within]
    if any(words[place : place + len(one)] == one for one in within for place in range(len(words))):
        return True
    heads = [list(words_of(phrase)) for phrase in work.kb.asking.no_reading]
    for place in range(len(words)):
        if any(words[place : place + len(head)] == head for head in heads):
            return not any(mark.has(Role.MEASURED) for mark in clause.marks)
        if words[place] not in work.vocabulary.fillers:
            break
    return False

"""A number in a question that nothing answers is no reading: it is told back as not understood, never logged."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import takewhile

from .clauses import Clause
from .models import Heard, Kind
from .phrases import Mark
from .roles import Role
from .tokens import find_words, fold, words_of
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
    asking = work.kb.asking
    words = tuple(fold(work.tokens[place].raw) for mark in clause.marks for place in range(mark.first, mark.last))
    tails = map(words_of, asking.no_reading_behind)
    if any(words[-len(tail) :] == tail for tail in tails):
        return True  # "45 uf reading 41.5 bad or ok"
    if any(find_words(words, words_of(phrase)) is not None for phrase in asking.no_reading_within):
        return True
    small = sum(1 for _ in takewhile(work.vocabulary.fillers.__contains__, words))
    heads = map(words_of, asking.no_reading)
    begins = any(words[at : at + len(head)] == head for head in heads for at in range(small + 1))
    return begins and not any(mark.has(Role.MEASURED) for mark in clause.marks)

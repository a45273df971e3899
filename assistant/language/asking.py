"""Questions for a calculation: superheat at 118 psi with a 52 degree line, R-410A.

Read before anything else of the note, because the numbers of a question are no readings. What is left of the
note is read as always.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from .asking_answers import read_without_name
from .asking_inputs import read_inputs
from .asking_names import Name, begins, is_question, is_report, names_of
from .asking_run import HARD, Run, run_of
from .asking_words import Phrase, asking_words_of
from .models import Context, Heard
from .tokens import Token, TokenKind, tokenise
from .vocabulary import Vocabulary


@dataclass(frozen=True, slots=True)
class Questions:
    """The requests found, the note without them (same length), and their words that meant nothing."""

    items: tuple[Heard, ...]
    rest: str
    left: tuple[str, ...] = ()


def find_questions(text: str, vocabulary: Vocabulary, context: Context) -> Questions:
    """Return the questions for a calculation in a cleaned note, and the answer to one that waits for an input."""
    words = asking_words_of(vocabulary)
    tokens = words.spelt(tokenise(text))
    if not tokens:
        return Questions((), text)
    whole = run_of(words, text, tokens)
    if not any(phrase.called for phrase in whole.phrases):
        return Questions(read_without_name(whole, context), " " * len(text))
    found = _read(whole, whole=True)
    if found is not None:
        return Questions(found.items, " " * len(text), found.left)
    items: list[Heard] = []
    left: list[str] = []
    rest = text
    for part in _sentences(tokens):
        found = _read(run_of(words, text, part), whole=False)
        if found is not None:
            start, end = part[found.first].start, part[-1].end
            items += found.items
            left += found.left
            rest = rest[:start] + " " * (end - start) + rest[end:]
    return Questions(tuple(items), rest, tuple(left))


@dataclass(frozen=True, slots=True)
class _Found:
    items: tuple[Heard, ...]
    left: tuple[str, ...]
    first: int
    """Token at which the question begins."""


def _sentences(tokens: Sequence[Token]) -> Iterator[tuple[Token, ...]]:
    begin = 0
    for place, token in enumerate(tokens):
        if token.kind is TokenKind.BREAK and token.word in HARD:
            if place > begin:
                yield tuple(tokens[begin : place + 1])
            begin = place + 1
    if begin < len(tokens):
        yield tuple(tokens[begin:])


def _read(run: Run, *, whole: bool) -> _Found | None:
    """Return the question that a run of words is; None where it is something else."""
    if not any(phrase.called for phrase in run.phrases):
        return None
    first = begins(run)
    measured = run.has("measured")
    if whole and (first or (measured and run.sentences > 1)):
        return None  # a report comes before the question
    run = run.from_token(first)
    question = is_question(run)
    if not question and measured:
        return None
    names = names_of(run, question=question)
    return _asked(run, names, question=question, whole=whole) if names else None


def _asked(run: Run, names: Sequence[Name], *, question: bool, whole: bool) -> _Found | None:
    """Return the requests for the calculations named; None where the words do not ask."""
    calculations = list(dict.fromkeys(name.calculation for name in names))
    offered = run.offered(calculations, own=_own(run, names))
    read = read_inputs(run.words, offered)
    if is_report(run, names, read, question=question):
        return None
    if all(name.way == "asked" for name in names) and not read.given:
        return None
    given, left = run.given(offered, read), run.left(read)
    if not given and (left or not _may_be_bare(run, names, question=question)):
        return None
    if whole and left and run.sentences > 1:
        return None  # sentence by sentence then
    return _Found(tuple(run.request(name, given) for name in calculations), left, run.first)


def _own(run: Run, names: Sequence[Name]) -> tuple[tuple[Phrase, str], ...]:
    words = run.kb.calculation_words
    return tuple((name.phrase, own) for name in names if (own := words[name.calculation].own) is not None)


def _may_be_bare(run: Run, names: Sequence[Name], *, question: bool) -> bool:
    words = run.kb.calculation_words
    return all(name.way != "beside" and (question or words[name.calculation].bare) for name in names)

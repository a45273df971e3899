"""Runs of words that are no phrase of the vocabulary, found in a note, articles between them left out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from .tokens import TokenKind, fold, words_of
from .work import Work


def find_runs(work: Work, phrases: Sequence[str], first: int, last: int) -> Iterator[tuple[int, int]]:
    """Yield (first token, one behind the last) where one of the phrases stands, the longest phrase first.

    Only tokens from ``first`` up to ``last`` that nothing else has used are looked at.
    """
    articles = set(work.kb.particles.article)
    places = [place for place in range(first, last) if not _is_nothing(work, place, articles)]
    for phrase in sorted(phrases, key=len, reverse=True):
        wanted = [word for word in words_of(phrase) if word not in articles]
        for at in range(len(places) - len(wanted) + 1):
            here = places[at : at + len(wanted)]
            if all(word in spellings(work, place) for word, place in zip(wanted, here, strict=True)):
                yield here[0], here[-1] + 1


def spellings(work: Work, place: int) -> set[str]:
    """Return a word as it was read and as it was written: these phrases are not among the words it is corrected to."""
    return {work.tokens[place].word, fold(work.tokens[place].raw)}


def before(work: Work, place: int) -> int | None:
    """Return the place of the word before, articles and signs left out; None at the beginning of the note."""
    articles = set(work.kb.particles.article)
    return next((at for at in reversed(range(place)) if not _is_nothing(work, at, articles)), None)


def _is_nothing(work: Work, place: int, articles: set[str]) -> bool:
    token = work.tokens[place]
    return place in work.spent or token.word in articles or token.kind in {TokenKind.SYMBOL, TokenKind.BREAK}

"""The words of the calculations, indexed once per knowledge base: what is asked for, which input is meant."""

from __future__ import annotations

import copy
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

from rapidfuzz import process
from rapidfuzz.distance import OSA

from knowledge.base import KnowledgeBase

from .refrigerant_names import RefrigerantNames
from .tokens import Token, TokenKind, words_of
from .vocabulary import UnitMeaning, Vocabulary

WAYS = ("words", "asked", "should", "judged", "beside", "told")
ROLES = (
    "openers", "should", "verdict", "normal", "measured", "drop", "refrigerants", "calculations", "facts", "convert",
)  # fmt: skip
"""Lists of ``kb.asking`` whose phrases are found in a note."""
_SHORTEST = 5
"""Shorter words have too many neighbours to be what a misspelt word means."""
_LONG = 8
"""A word this long that another part of the vocabulary lists as misspelt is corrected here too."""


@dataclass(frozen=True, slots=True)
class Called:
    """Words for a calculation."""

    calculation: str
    way: str
    """One of ``WAYS``."""


@dataclass(frozen=True, slots=True)
class Named:
    """Words for an input, and how telling they are: 0 for its first."""

    input: str
    rank: int
    choice: str | None = None


@dataclass(frozen=True, slots=True)
class Phrase:
    """A run of tokens that are words of a calculation."""

    first: int
    last: int
    """Token index behind the run."""
    called: tuple[Called, ...] = ()
    named: tuple[Named, ...] = ()
    roles: frozenset[str] = frozenset()
    """Of ``ROLES``."""


@dataclass(slots=True)
class _Meaning:
    called: list[Called] = field(default_factory=list)
    named: list[Named] = field(default_factory=list)
    roles: set[str] = field(default_factory=set)


class AskingWords:
    """Everything that is said around a calculation."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self.vocabulary = vocabulary
        self.kb: KnowledgeBase = vocabulary.kb
        self.refrigerants = RefrigerantNames(self.kb)
        self._table: dict[tuple[str, ...], _Meaning] = {}
        for called in self.kb.calculation_words.values():
            for way in WAYS:
                for phrase in getattr(called, way):
                    self._meaning(phrase).called.append(Called(called.id, way))
        for named in self.kb.input_words.values():
            for rank, phrase in enumerate(named.words):
                self._meaning(phrase).named.append(Named(named.id, rank))
            for choice, phrases in named.choices.items():
                for phrase in phrases:
                    self._meaning(phrase).named.append(Named(named.id, 0, choice))
        for role in ROLES:
            for phrase in getattr(self.kb.asking, role):
                self._meaning(phrase).roles.add(role)
        self.longest = max(map(len, self._table))
        self.small = frozenset(w for phrase in self.kb.asking.small for w in words_of(phrase)) | vocabulary.fillers
        self._first = frozenset(words[0] for words in self._table)
        self._trade = frozenset(w for words, m in self._table.items() if m.called or m.named for w in words)
        self._known = self._trade | frozenset(w for words in self._table for w in words)
        self._units = self._unit_table()
        self._corrected: dict[str, str] = {}

    def _meaning(self, phrase: str) -> _Meaning:
        first, *more = words_of(phrase)
        words = (first, *(word for word in more if word not in self.kb.particles.article))
        return self._table.setdefault(words, _Meaning())

    def _unit_table(self) -> dict[tuple[str, ...], tuple[UnitMeaning, ...]]:
        table: dict[tuple[str, ...], tuple[UnitMeaning, ...]] = {}
        for unit in self.kb.asking.units:
            quantity = self.kb.quantities[unit.quantity]
            meaning = UnitMeaning(quantity, next(one for one in quantity.units if one.symbol == unit.symbol))
            for written in unit.written:
                words = words_of(written)
                table[words] = (*table.get(words, ()), meaning)
        return table

    def unit_at(self, tokens: Sequence[Token], place: int) -> tuple[int, tuple[UnitMeaning, ...]]:
        """Return how many tokens here are a unit that counts only in a calculation, and what it means."""
        for length in (3, 2, 1):
            words = tuple(token.word for token in tokens[place : place + length])
            if len(words) == length and words in self._units:
                return length, self._units[words]
        return 0, ()

    def spelt(self, tokens: Iterable[Token]) -> tuple[Token, ...]:
        """Return the tokens with words that are nearly one of the calculations' read as it."""
        return tuple(self._read(token) for token in tokens)

    def _read(self, token: Token) -> Token:
        word = token.word
        if token.kind is not TokenKind.WORD or word in self._known or len(word) < _SHORTEST - 1 or not word.isalpha():
            return token
        if word not in self._corrected:
            known = word in self.vocabulary.known
            self._corrected[word] = "" if known and len(word) < _LONG else self._nearest(word, 1 if known else 2)
        meant = self._corrected[word]
        return replace(token, words=(meant,), loose=True) if meant else token

    def _nearest(self, word: str, most: int) -> str:
        edits = min(most, 1 if len(word) < _LONG - 1 else 2)
        choices = sorted(choice for choice in self._trade if len(choice) >= _SHORTEST and choice[0] == word[0])
        found = process.extractOne(word, choices, scorer=OSA.distance, score_cutoff=edits)
        return str(found[0]) if found else ""

    def phrases(self, tokens: Sequence[Token], taken: Sequence[bool]) -> list[Phrase]:
        """Return the longest known phrase at each place, left to right, without overlap; articles may be inside."""
        found: list[Phrase] = []
        place = 0
        while place < len(tokens):
            phrase = None if taken[place] or tokens[place].word not in self._first else self._at(tokens, taken, place)
            if phrase is not None:
                found.append(phrase)
            place = phrase.last if phrase is not None else place + 1
        return found

    def _at(self, tokens: Sequence[Token], taken: Sequence[bool], place: int) -> Phrase | None:
        articles, best = self.kb.particles.article, None
        words: list[str] = []
        for at in range(place, len(tokens)):
            token = tokens[at]
            if taken[at] or token.kind is TokenKind.BREAK or len(words) == self.longest:
                break
            if token.kind is TokenKind.SYMBOL or (words and token.word in articles):
                continue
            words.append(token.word)
            meaning = self._table.get(tuple(words))
            if meaning is not None:
                best = Phrase(place, at + 1, tuple(meaning.called), tuple(meaning.named), frozenset(meaning.roles))
        return best


_built: dict[int, AskingWords] = {}


def asking_words_of(vocabulary: Vocabulary) -> AskingWords:
    """Return the index for this vocabulary, built on the first call for its knowledge base."""
    found = _built.get(id(vocabulary.kb))
    if found is None or found.kb is not vocabulary.kb:
        _built.clear()
        found = _built[id(vocabulary.kb)] = AskingWords(vocabulary)
    if found.vocabulary is vocabulary:
        return found
    here = copy.copy(found)
    here.vocabulary = vocabulary
    return here

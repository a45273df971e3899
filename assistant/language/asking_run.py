"""A run of a note's words with everything marked in it that a calculation can be asked with."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from knowledge.base import KnowledgeBase

from .asking_inputs import Asked, Read
from .asking_words import AskingWords, Phrase
from .models import Doubt, Given, Heard, Kind
from .numbers import Number, find_numbers
from .tokens import Token, TokenKind

HARD = frozenset(".;!?\n")


@dataclass(frozen=True, slots=True)
class Gas:
    """A refrigerant named in the run."""

    first: int
    last: int
    name: str


@dataclass(frozen=True)
class Run:
    """Tokens of a note, from ``first`` on: phrases, refrigerants and numbers."""

    words: AskingWords
    text: str
    tokens: Sequence[Token]
    phrases: tuple[Phrase, ...]
    gases: tuple[Gas, ...]
    first: int = 0

    @property
    def kb(self) -> KnowledgeBase:
        return self.words.kb

    def from_token(self, first: int) -> Run:
        """Return what is left of the run from a token on."""
        return replace(self, first=first, phrases=tuple(one for one in self.phrases if one.first >= first))

    def has(self, *roles: str) -> bool:
        """True where a phrase of one of these roles is in the run."""
        return any(phrase.roles & set(roles) for phrase in self.phrases)

    @cached_property
    def sentences(self) -> int:
        """How many sentences it has."""
        return 1 + sum(token.kind is TokenKind.BREAK and token.word in HARD for token in self.tokens[:-1])

    @cached_property
    def numbers(self) -> list[Number]:
        """The numbers that are no part of a name; a unit that is also a name stays with its number."""
        blocked = [False] * len(self.tokens)
        spans = [(gas.first, gas.last) for gas in self.gases]
        for phrase in self.phrases:
            unit = tuple(token.word for token in self.tokens[phrase.first : phrase.last]) in self.words.vocabulary.units
            if (phrase.called or phrase.named) and not unit:
                spans.append((phrase.first, phrase.last))
        for begin, end in spans:
            blocked[begin:end] = [True] * (end - begin)
        found = [one for one in find_numbers(self.tokens, blocked, self.words.vocabulary) if one.first >= self.first]
        return self._headed(found)

    def _headed(self, numbers: list[Number]) -> list[Number]:
        """Give the numbers the unit said once before them all: millivolt drop 80 on one pole, 120 on the other."""
        heading = self._heading_unit
        if heading is None or any(one.units or one.first < heading for one in numbers):
            return numbers
        meanings = self.words.vocabulary.units[(self.tokens[heading].word,)]
        return [replace(one, units=meanings) for one in numbers]

    @cached_property
    def _heading_unit(self) -> int | None:
        """The token that says a scaled unit by itself, no number before it and no part of a name."""
        spans = [range(one.first, one.last) for one in self.phrases if one.called or one.named]
        named = {place for span in spans for place in span}
        for place, token in enumerate(self.tokens[self.first :], self.first):
            if token.kind is TokenKind.NUMBER:
                return None
            meanings = self.words.vocabulary.units.get((token.word,), ())
            if place not in named and len(token.word) > 1 and any(one.unit.factor < 1 for one in meanings):
                return place
        return None

    def offered(
        self, calculations: Sequence[str], own: tuple[tuple[Phrase, str], ...] = (), awaited: str | None = None
    ) -> Asked:
        """Return what the run offers for the inputs of some calculations."""
        listed = [self.kb.calculations[name] for name in calculations]
        needs = list(dict.fromkeys(one for calculation in listed for one in calculation.needs))
        may = list(dict.fromkeys(one for calculation in listed for one in calculation.may if one not in needs))
        return Asked(self.tokens, self.numbers, self.phrases, needs, may, own, awaited, bool(self.gases))

    def given(self, offered: Asked, read: Read) -> list[Given]:
        """Return the numbers read, the choices made and the refrigerant, as far as there are such inputs."""
        return [*read.given, *self._chosen(offered), *self._gas(offered)]

    def _chosen(self, offered: Asked) -> list[Given]:
        known = {*offered.needs, *offered.may}
        return [
            Given(one.input, self._said(phrase.first, phrase.last), text=one.choice)
            for phrase in self.phrases
            for one in phrase.named
            if one.choice and one.input in known and (one.input == offered.awaited or not self._all_small(phrase))
        ]

    def _all_small(self, phrase: Phrase) -> bool:
        return all(token.word in self.words.small for token in self.tokens[phrase.first : phrase.last])

    def _gas(self, offered: Asked) -> list[Given]:
        known = "refrigerant" in {*offered.needs, *offered.may}
        return [Given("refrigerant", self._said(g.first, g.last), text=g.name) for g in self.gases[:1]] if known else []

    def left(self, read: Read) -> tuple[str, ...]:
        """Return the words that mean nothing here, neighbours together."""
        known = {place for phrase in self.phrases for place in range(phrase.first, phrase.last)} | read.spent
        known |= {place for gas in self.gases for place in range(gas.first, gas.last)}
        known |= {self._heading_unit} if self._heading_unit is not None else set()
        known -= {place for number in read.left for place in range(number.first, number.last)}
        runs: list[list[Token]] = [[]]
        for place, token in enumerate(self.tokens):
            if place >= self.first and place not in known and not self.is_small(token):
                runs[-1].append(token)
            elif runs[-1]:
                runs.append([])
        return tuple(self.text[run[0].start : run[-1].end] for run in runs if run)

    def names_another(self, phrase: Phrase, offered: Asked) -> bool:
        """True for the name of an input that only other calculations have: the coil of "too low at the coil"."""
        inputs = {one.input for one in phrase.named}
        return bool(inputs) and not self._all_small(phrase) and inputs.isdisjoint({*offered.needs, *offered.may})

    def is_small(self, token: Token) -> bool:
        """True for a sign or a word that need not mean anything."""
        return token.kind in {TokenKind.BREAK, TokenKind.SYMBOL} or token.word in self.words.small

    def request(self, calculation: str, given: Sequence[Given]) -> Heard:
        """Return the request for a calculation with those of the inputs that it has."""
        known = self.kb.calculations[calculation]
        own = tuple(one for one in given if one.about in {*known.needs, *known.may})
        doubts = [Doubt.SPELLING] if any(token.loose for token in self.tokens[self.first :]) else []
        doubts += [Doubt.ASSUMED] if any(one.assumed for one in own) else []
        return replace(self.heard(Kind.REQUEST, calculation), inputs=own, doubts=tuple(doubts))

    def heard(self, kind: Kind, about: str) -> Heard:
        """Return an item over the whole run."""
        ends_in_break = self.tokens[-1].kind is TokenKind.BREAK and len(self.tokens) > self.first + 1
        start, end = self.tokens[self.first].start, self.tokens[-2 if ends_in_break else -1].end
        return Heard(kind, self.text[start:end], start, end, about=about)

    def _said(self, first: int, last: int) -> str:
        return self.text[self.tokens[first].start : self.tokens[last - 1].end]


def run_of(words: AskingWords, text: str, tokens: Sequence[Token]) -> Run:
    """Mark a run of tokens."""
    taken = [False] * len(tokens)
    gases: list[Gas] = []
    place = 0
    while place < len(tokens):
        length, name = words.refrigerants.at(tokens, place)
        if length:
            gases.append(Gas(place, place + length, name))
            taken[place : place + length] = [True] * length
        place += length or 1
    return Run(words, text, tokens, tuple(words.phrases(tokens, taken)), tuple(gases))

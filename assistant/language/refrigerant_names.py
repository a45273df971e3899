"""Refrigerants as they are written and said: R-410A, four ten a, r twenty two, 454 b."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import product

from knowledge.base import KnowledgeBase

from .tokens import Token, TokenKind

_MOST_TOKENS = 8
_NAME = re.compile(r"^r-?(\d{2,4})([a-z]{0,2})$", re.IGNORECASE)
_NOT_KNOWN = re.compile(r"r\d{2,4}[a-z]{0,2}")


class RefrigerantNames:
    """Every spelling and saying of the refrigerants that the knowledge has."""

    def __init__(self, kb: KnowledgeBase) -> None:
        self._kb = kb
        named = [(one.name, *match.groups()) for one in kb.refrigerants.values() if (match := _NAME.match(one.name))]
        figures = [digits for _, digits, _ in named]
        self.by_figures = {digits: name for name, digits, _ in named if figures.count(digits) == 1}
        """Names by the figures alone, where only one refrigerant has them."""
        self._spelt: dict[str, str] = {}
        for name, digits, letters in named:
            for said in self._said(digits):
                self._put(name, said, letters.lower(), unique=digits in self.by_figures)

    def _put(self, name: str, said: str, letters: str, *, unique: bool) -> None:
        befores, ends = self._kb.asking.refrigerant_before, self._letters(letters)
        for end in ends:
            if letters:
                self._spelt[said + end] = name
            for before in befores:
                self._spelt[before + said + end] = name
        for before in befores if unique else ():
            self._spelt.setdefault(before + said, name)

    def _letters(self, letters: str) -> list[str]:
        ways = self._kb.asking.letters
        return ["".join(way) for way in product(*(ways.get(letter, (letter,)) for letter in letters))]

    def _said(self, digits: str) -> Iterator[str]:
        """The figures as written, figure by figure, and in the ways a number is said."""
        yield digits
        words = self._kb.number_words
        ones = {value: word for word, value in reversed(words.units.items())}
        zeros = dict.fromkeys([*words.oh, "zero"])
        yield from ("".join(way) for way in product(*([*zeros] if d == "0" else [ones[int(d)]] for d in digits)))
        tens = self._below_hundred(int(digits[-2:]), ones)
        if len(digits) == 2:
            yield tens
        elif digits[-2] != "0":
            yield ones[int(digits[0])] + tens
        if len(digits) == 3:
            yield from (ones[int(digits[0])] + joint + tens for joint in ("hundred", "hundredand"))
            yield digits[0] + digits[1:]

    def _below_hundred(self, value: int, ones: dict[int, str]) -> str:
        if value < 20:
            return ones[value]
        tens = {number: word for word, number in reversed(self._kb.number_words.tens.items())}
        return tens[value - value % 10] + (ones[value % 10] if value % 10 else "")

    def at(self, tokens: Sequence[Token], place: int) -> tuple[int, str]:
        """Return how many tokens from here on name a refrigerant, and which; (0, "") for none.

        A name that is not known is returned as it stands where it can be nothing else: R-12.
        """
        joined, best = "", (0, "")
        for length, token in enumerate(tokens[place : place + _MOST_TOKENS], 1):
            if token.kind is TokenKind.NUMBER and "." in token.raw.strip("."):
                break  # s to r 2.4
            if token.kind is TokenKind.BREAK or (token.kind is TokenKind.SYMBOL and token.word != "-"):
                break
            joined += "" if token.kind is TokenKind.SYMBOL else token.raw.casefold().replace(".", "")
            name = self._spelt.get(joined)
            if name is not None:
                best = (length, name)
            elif not best[0] and _NOT_KNOWN.fullmatch(joined):
                best = (length, f"R-{joined[1:].upper()}")
        return best

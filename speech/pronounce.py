"""Sounds of words: the dictionary inside the recogniser's wheel, and what the lesson adds."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterable, Mapping
from pathlib import Path

_VARIANT = re.compile(r"\(\d+\)$")
_APOSTROPHES = ("n't", "'s", "'re", "'ve", "'ll", "'m", "'d", "'t")
_MOST_WAYS = 8
"""Ways that a token of several words may sound; more cost time and win nothing."""
_PHONES = "AA AE AH AO AW AY B CH D DH EH ER EY F G HH IH IY JH K L M N NG OW OY P R S SH T TH UH UW V W Y Z ZH"
PHONES = frozenset(_PHONES.split())
"""The 39 phones of CMUdict that the model knows."""


def read_dictionary(path: Path) -> dict[str, tuple[str, ...]]:
    """Return word -> its sounds from a dictionary in the CMU form."""
    found: dict[str, list[str]] = {}
    for line in path.read_text(encoding="utf-8").splitlines():
        word, _, sounds = line.partition(" ")
        if sounds:
            found.setdefault(_VARIANT.sub("", word), []).append(sounds.strip())
    return {word: tuple(ways) for word, ways in found.items()}


class Pronouncer:
    """Says how a token sounds."""

    def __init__(self, dictionary: Mapping[str, tuple[str, ...]], added: Mapping[str, Iterable[str]]) -> None:
        self._dictionary = dictionary
        self._added = {word: tuple(ways) for word, ways in added.items()}

    def ways(self, token: str) -> tuple[str, ...]:
        """Return the sounds of a token (words joined with ``_``), the usual one first; empty for an unknown word."""
        words = [self.word(word) for word in token.split("_")]
        # fewest unusual words first: each word's own ways come along before those of several words together
        picks = sorted(itertools.product(*(range(len(ways)) for ways in words)), key=lambda pick: sum(map(bool, pick)))
        return tuple(" ".join(ways[nth] for ways, nth in zip(words, pick, strict=True)) for pick in picks[:_MOST_WAYS])

    def word(self, word: str) -> tuple[str, ...]:
        """Return the sounds of a word; written without its apostrophe (``doesnt``) it sounds the same."""
        found = (*self._dictionary.get(word, ()), *self._added.get(word, ()))
        if found:
            return found
        for ending in _APOSTROPHES:
            plain = ending.replace("'", "")
            if word.endswith(plain) and (sounds := self._dictionary.get(word[: -len(plain)] + ending)):
                return sounds
        return ()

    def missing(self, words: Iterable[str]) -> list[str]:
        """Return the words that nothing says how to pronounce."""
        return [word for word in words if not self.word(word)]

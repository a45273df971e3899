"""Reading what was meant: fixed respellings first, then words that are nearly one of the vocabulary."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

from rapidfuzz import process
from rapidfuzz.distance import OSA

from .passing import name_ends
from .tokens import Token, TokenKind
from .vocabulary import Vocabulary

_SHORTEST = 4
"""Shorter words have too many neighbours to be corrected."""
_SPLIT_FROM = 6
_DIGITS_BEHIND = re.compile(r"([a-z]{3,})(\d{1,6})")
"""A word with its number written on to it: point9, fuse2."""
_LEAST = 0.75
_NEAR = 0.03
"""Two candidates closer than this are both kept; the words around them decide."""


def read_spelling(tokens: tuple[Token, ...], vocabulary: Vocabulary) -> tuple[Token, ...]:
    """Return the tokens with each word read as one of the vocabulary where it is nearly one."""
    joined = _join(_respell(tokens, vocabulary), vocabulary)
    spelt = tuple(_also_number(token, vocabulary) for token in _correct(joined, vocabulary))
    return name_ends(spelt, vocabulary)


def _also_number(token: Token, vocabulary: Vocabulary) -> Token:
    """Let a small number match phrases that write it another way."""
    ways = vocabulary.same_number.get(token.word)
    return replace(token, words=ways) if ways else token


def _respell(tokens: tuple[Token, ...], vocabulary: Vocabulary) -> list[Token]:
    result: list[Token] = []
    words = ["\n" if token.kind is TokenKind.BREAK else token.word for token in tokens]
    place = 0
    while place < len(tokens):
        length, meant = vocabulary.respelling_at(words, place)
        owned = tokens[place].raw.endswith(("'s", "’s"))
        if not length and words[place][-1:] == "s" and (owned or words[place] not in vocabulary.known):
            length, meant = vocabulary.respelling_at([words[place][:-1]], 0)  # a plural, or "'s" for is
        if length:
            result.extend(_replaced(tokens[place : place + length], meant))
        else:
            result.append(tokens[place])
        place += length or 1
    return result


def _replaced(old: tuple[Token, ...], meant: str) -> Iterator[Token]:
    """Yield the meant words over the span of the old ones, one to one where the counts agree."""
    words = meant.split(" ")
    if len(words) == len(old):
        yield from (replace(token, words=(word,), kind=TokenKind.WORD) for token, word in zip(old, words, strict=True))
        return
    whole = replace(old[0], end=old[-1].end, kind=TokenKind.WORD)
    yield from (replace(whole, words=(word,)) for word in words)


def _join(tokens: list[Token], vocabulary: Vocabulary) -> list[Token]:
    """Join two words that only together are one of the vocabulary: con tactor."""
    result: list[Token] = []
    for token in tokens:
        before = result[-1] if result else None
        if before is not None and _only_together(before, token, vocabulary):
            result[-1] = replace(before, end=token.end, words=(before.word + token.word,), loose=True)
        else:
            result.append(token)
    return result


def _only_together(first: Token, second: Token, vocabulary: Vocabulary) -> bool:
    if first.kind is not TokenKind.WORD or second.kind is not TokenKind.WORD:
        return False
    both = first.word + second.word
    strange = first.word not in vocabulary.known or second.word not in vocabulary.known
    return strange and len(both) >= _SPLIT_FROM and both in vocabulary.known


def _correct(tokens: list[Token], vocabulary: Vocabulary) -> Iterator[Token]:
    for token in tokens:
        if token.raw.endswith(("'s", "’s")) and vocabulary.is_subject(token.word[:-1]):
            yield replace(token, words=(token.word[:-1],))  # "coil's filthy"
            continue
        if token.kind is not TokenKind.WORD or token.word in vocabulary.known or len(token.word) < _SHORTEST:
            yield token
            continue
        if token.word[-1] == "s" and token.word[:-1] in vocabulary.known:
            yield replace(token, words=(token.word[:-1],))  # a plural, or "'s" for is
            continue
        with_digits = _DIGITS_BEHIND.fullmatch(token.word)
        if with_digits and with_digits[1] in vocabulary.known:
            yield from _parted(token, with_digits[1], with_digits[2])
            continue
        parts = _parts(token.word, vocabulary)
        if parts:
            middle = token.start + len(parts[0])
            yield replace(token, end=middle, words=(parts[0],), loose=True)
            yield replace(token, start=middle, words=(parts[1],), loose=True, glued=True)
            continue
        near = _nearest(token.word, vocabulary)
        yield token.read_as(*near) if near else token


def _parted(token: Token, word: str, digits: str) -> Iterator[Token]:
    """Yield the word and the number that were written as one."""
    middle = token.start + len(word)
    yield replace(token, end=middle, words=(word,))
    number = replace(token, start=middle, kind=TokenKind.NUMBER, words=(digits,), glued=True)
    yield replace(number, values=(float(digits),))


def _parts(word: str, vocabulary: Vocabulary) -> tuple[str, str] | None:
    """Return the two words of the vocabulary that were written as one: lineside."""
    if len(word) < _SPLIT_FROM:
        return None
    for cut in range(3, len(word) - 2):
        if word[:cut] in vocabulary.known and word[cut:] in vocabulary.known:
            return word[:cut], word[cut:]
    return None


def _nearest(word: str, vocabulary: Vocabulary) -> tuple[str, ...]:
    cached = vocabulary.spelling_cache.get(word)
    if cached is None:
        cached = _search(word, vocabulary)
        if len(vocabulary.spelling_cache) < 20_000:
            vocabulary.spelling_cache[word] = cached
    return cached


def _search(word: str, vocabulary: Vocabulary) -> tuple[str, ...]:
    """Return the vocabulary words this is nearly spelt as, best first; none where it is its own word."""
    if not word.isalpha():
        return ()
    edits = 1 if len(word) < 7 else 2 if len(word) < 10 else 3
    near = process.extract(word, vocabulary.spellings, scorer=OSA.distance, score_cutoff=edits, limit=8)
    found = [
        (1 - distance / max(len(word), len(choice)), choice)
        for choice, distance, _ in near
        if _may_be_meant(word, choice, int(distance), vocabulary)
    ]
    found.sort(key=lambda pair: (-pair[0], pair[1]))
    return tuple(choice for similarity, choice in found if similarity >= found[0][0] - _NEAR)


def _may_be_meant(word: str, choice: str, distance: int, vocabulary: Vocabulary) -> bool:
    """True for a slip of the thumb; small and short words only where two letters changed places."""
    if sorted(word) == sorted(choice):
        return True
    if choice not in vocabulary.trade_words or min(len(word), len(choice)) <= _SHORTEST:
        return False
    if choice[0] != word[0] and not (distance == 1 and len(word) > 7):
        return False
    return 1 - distance / max(len(word), len(choice)) >= _LEAST

""" "241 in, 240 out", "240 top, nothing bottom", "it is 98 out": ends of a part, and the weather, named by one word."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from knowledge.models.vocabulary import Particles

from .tokens import Token, TokenKind
from .vocabulary import Vocabulary

_OUT = "out"
_BETWEEN = 4
"""At most so many tokens between "in" and "out": a comma, "and", a spoken number."""


def name_ends(tokens: Sequence[Token], vocabulary: Vocabulary) -> tuple[Token, ...]:
    """Return the tokens with such an "in" and "out" read as the names that knowledge has for the two ends."""
    names = vocabulary.kb.particles.passing
    result = _without_elapsed(tokens, vocabulary)
    for start, token in enumerate(tokens):
        if token.word in names:
            for place in _ends(tokens, start, vocabulary):
                result[place] = replace(result[place], words=(names[result[place].word],))
    for place in range(2, len(tokens)):
        if result[place] is tokens[place] and _is_weather(tokens, place, vocabulary):
            result[place] = replace(result[place], words=(vocabulary.kb.particles.weather.out,))
    return tuple(result)


def _is_weather(tokens: Sequence[Token], place: int, vocabulary: Vocabulary) -> bool:
    """True for the "out" of "its 98 out", with nothing of the sentence behind it."""
    particles = vocabulary.kb.particles
    behind = tokens[place + 1].word if place + 1 < len(tokens) else ""
    if tokens[place].word != _OUT or (behind.isalnum() and behind not in {*particles.scenery, *particles.clause}):
        return False
    counted = vocabulary.units.get((tokens[place - 1].word,), ())
    if counted and not any(unit.offset for meaning in counted for unit in meaning.quantity.units):
        return False  # "ten percent out" is no weather
    first = place
    while first and _is_value(tokens[first - 1], vocabulary):
        first -= 1
    before = tokens[first - 1] if first else None
    opens = before is None or before.kind is TokenKind.BREAK or before.word in particles.weather.words
    return opens and first < place


def _ends(tokens: Sequence[Token], start: int, vocabulary: Vocabulary) -> tuple[int, ...]:
    """Return the places of "in" and "out" where each stands right behind a value of its own."""
    if not start or not _is_value(tokens[start - 1], vocabulary):
        return ()
    if _goes_on(tokens, start, vocabulary.kb.particles):
        return ()  # "78 in here, 105 out"
    for place in range(start + 2, min(start + 2 + _BETWEEN, len(tokens))):
        word = tokens[place].word
        if word in vocabulary.kb.particles.passing and word != tokens[start].word:
            return (start, place) if _is_value(tokens[place - 1], vocabulary) else ()
    return ()


def _goes_on(tokens: Sequence[Token], place: int, particles: Particles) -> bool:
    """True where a word follows that tells in what."""
    behind = tokens[place + 1] if place + 1 < len(tokens) else None
    return behind is not None and behind.word in particles.in_what


def _without_elapsed(tokens: Sequence[Token], vocabulary: Vocabulary) -> list[Token]:
    """Return the tokens with "10 min later", "another 10 minutes" read as one small word: no value of the unit."""
    words = vocabulary.kb.particles.elapsed
    result = list(tokens)
    for place in range(1, len(tokens) - 1):
        number = tokens[place - 1].kind is TokenKind.NUMBER and tokens[place].word in words.units
        if not number:
            continue
        before = place - 2 if place > 1 and tokens[place - 2].word in words.before else None
        behind = place + 1 if tokens[place + 1].word in words.behind else None
        if before is None and behind is None:
            continue
        for one in range(before if before is not None else place - 1, (behind or place) + 1):
            result[one] = replace(result[one], words=(words.read_as,), kind=TokenKind.WORD)
    return result


def _is_value(token: Token, vocabulary: Vocabulary) -> bool:
    return token.kind is TokenKind.NUMBER or token.word in vocabulary.value_words

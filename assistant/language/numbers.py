"""Numbers of a note with their units: written and spoken, single, ranges and pairs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from .spoken_numbers import NumberReader, Piece
from .tokens import Token, TokenKind, words_of
from .vocabulary import UnitMeaning, Vocabulary


@dataclass(frozen=True, slots=True)
class Number:
    """A number, range or pair as said, before anybody knows what it measures."""

    first: int
    last: int
    values: tuple[float, ...]
    """Possible values as said, most likely first; empty where it is absurdly large."""
    units: tuple[UnitMeaning, ...] = ()
    """What the unit behind it can mean; empty where none was said."""
    said_unit: str | None = None
    high: float | None = None
    """Upper end of a range."""
    partner: tuple[float, ...] = ()
    """Possible values of the second of a pair: 45 over 5."""
    about: bool = False
    misheard: float | None = None
    """Teen and ten exchanged; only for a number in words."""
    in_words: bool = False


def find_numbers(tokens: Sequence[Token], taken: Sequence[bool], vocabulary: Vocabulary) -> list[Number]:
    """Return the numbers among the tokens that no longer phrase has taken, ranges and pairs joined."""
    singles = [_with_unit(number, tokens, taken, vocabulary) for number in _singles(tokens, taken, vocabulary)]
    singles = [_with_shared_unit(nth, singles, tokens, vocabulary) for nth in range(len(singles))]
    return list(_joined(singles, tokens, taken, vocabulary))


_ALIKE = 20
"""Two readings of one kind differ by less than this factor."""


def _with_shared_unit(nth: int, numbers: Sequence[Number], tokens: Sequence[Token], vocabulary: Vocabulary) -> Number:
    """Give a bare number the unit said once for both: 60 and 100 millivolts, millivolts 80 and 120."""
    number = numbers[nth]
    for low, high, other in ((nth, nth + 1, nth + 1), (nth - 1, nth, nth - 1)):
        if number.said_unit is not None or not number.values or not 0 <= other < len(numbers):
            continue
        between = [token.word for token in tokens[numbers[low].last : numbers[high].first]]
        alike = all(one > 0 and 1 / _ALIKE < number.values[0] / one < _ALIKE for one in numbers[other].values)
        scaled = [one for one in numbers[other].units if one.unit.factor != 1 or one.unit.offset]
        if alike and scaled and len(between) == 1 and between[0] in vocabulary.kb.particles.point_both:
            return replace(number, units=numbers[other].units, said_unit=numbers[other].said_unit)
    return number


def _singles(tokens: Sequence[Token], taken: Sequence[bool], vocabulary: Vocabulary) -> Iterator[Number]:
    place = 0
    reader = vocabulary.number_reader
    while place < len(tokens):
        number = None if taken[place] else _single(tokens, taken, place, vocabulary, reader)
        if number is None:
            place += 1
        else:
            yield number
            place = number.last


def _single(
    tokens: Sequence[Token], taken: Sequence[bool], place: int, vocabulary: Vocabulary, reader: NumberReader
) -> Number | None:
    token = tokens[place]
    starts = vocabulary.number_words | {*vocabulary.kb.number_words.article}
    if token.kind is not TokenKind.NUMBER and token.word not in starts:
        return None
    if token.word in vocabulary.kb.number_words.article and _is_one(tokens, place, vocabulary):
        return Number(place, place + 1, (1.0,), in_words=True)
    pieces, places = _run(tokens, taken, place, vocabulary)
    said = reader.read(pieces)
    if said is not None and said.length == 1 and said.values == (1.0,) and _is_pointed_at(tokens, place, vocabulary):
        return None
    if said is not None and said.length > 1 and _is_all_zero(pieces[: said.length], vocabulary):
        return Number(place, place + 1, (0.0,), in_words=True)  # zero zero zero: three readings, one after the other
    if said is not None:
        return Number(place, places[said.length - 1] + 1, said.values, misheard=said.misheard, in_words=True)
    if token.kind is not TokenKind.NUMBER:
        return None
    if token.values and (fraction := _written_fraction(tokens, place)):
        return Number(place, place + fraction[0], (fraction[1],))
    return Number(place, place + 1, token.values)


def _is_all_zero(pieces: Sequence[Piece], vocabulary: Vocabulary) -> bool:
    return all(vocabulary.kb.number_words.units.get(str(piece)) == 0 for piece in pieces)


def _is_one(tokens: Sequence[Token], place: int, vocabulary: Vocabulary) -> bool:
    """True for "less than a volt": an article between an approximation and a unit."""
    if place == 0 or place + 1 >= len(tokens) or len(tokens[place + 1].word) < 2:
        return False
    before = {words_of(phrase)[-1] for phrase in vocabulary.kb.particles.about_number}
    return tokens[place - 1].word in before and (tokens[place + 1].word,) in vocabulary.units


def _is_pointed_at(tokens: Sequence[Token], place: int, vocabulary: Vocabulary) -> bool:
    """True for the "one" of "that one", "the new one"."""
    return place > 0 and tokens[place - 1].word in vocabulary.kb.particles.pointing


def _run(
    tokens: Sequence[Token], taken: Sequence[bool], place: int, vocabulary: Vocabulary
) -> tuple[list[Piece], list[int]]:
    """Return number words and written numbers from here on, and the token each came from."""
    words = vocabulary.number_words | {*vocabulary.kb.number_words.article, *vocabulary.kb.number_words.joined}
    pieces: list[Piece] = []
    places: list[int] = []
    for at in range(place, len(tokens)):
        token = tokens[at]
        if token.kind is TokenKind.SYMBOL and token.word == "-" and pieces and token.glued:
            continue
        if taken[at] or token.kind in {TokenKind.BREAK, TokenKind.SYMBOL}:
            break
        if token.kind is TokenKind.NUMBER:
            if len(token.values) != 1:
                break
            pieces.append(token.values[0])
        elif token.word in words:
            pieces.append(token.word)
        else:
            break
        places.append(at)
    return pieces, places


def _written_fraction(tokens: Sequence[Token], place: int) -> tuple[int, float] | None:
    """1/2, and 9 1/2: a proper fraction of small numbers, glued together."""

    def part(at: int) -> float | None:
        if at + 2 >= len(tokens) or tokens[at + 1].word != "/" or not tokens[at + 2].glued or not tokens[at + 1].glued:
            return None
        top, bottom = tokens[at].values, tokens[at + 2].values
        if len(top) != 1 or len(bottom) != 1 or top[0] % 1 or bottom[0] % 1:
            return None
        return top[0] / bottom[0] if 0 < top[0] < bottom[0] <= 10 else None

    alone = part(place)
    if alone is not None:
        return 3, alone
    if place + 1 < len(tokens) and tokens[place + 1].kind is TokenKind.NUMBER and tokens[place].values[0] % 1 == 0:
        behind = part(place + 1)
        if behind is not None:
            return 4, tokens[place].values[0] + behind
    return None


def _with_unit(number: Number, tokens: Sequence[Token], taken: Sequence[bool], vocabulary: Vocabulary) -> Number:
    """Return the number with the unit that directly follows it, if one does."""
    if number.last < len(tokens) and not taken[number.last] and _is_article(number, tokens, vocabulary):
        number = replace(number, last=number.last + 1)
    for length in (3, 2, 1):
        run = tokens[number.last : number.last + length]
        if len(run) < length or any(token.kind is TokenKind.BREAK for token in run):
            continue
        if length == 1 and taken[number.last]:
            continue
        meanings = _unit_meanings(run, vocabulary)
        if meanings:
            said = " ".join(token.raw for token in run)
            return replace(number, last=number.last + length, units=meanings, said_unit=said)
    return number


def _is_article(number: Number, tokens: Sequence[Token], vocabulary: Vocabulary) -> bool:
    """True for the "a" of "half a volt"."""
    place = number.last
    article = tokens[place].word in vocabulary.kb.number_words.article
    behind = tokens[place + 1] if place + 1 < len(tokens) else None
    return article and number.in_words and behind is not None and (behind.word,) in vocabulary.units


def _unit_meanings(run: Sequence[Token], vocabulary: Vocabulary) -> tuple[UnitMeaning, ...]:
    for word in run[0].words:
        words = (word, *(token.word for token in run[1:]))
        if len(run) > 1 and "-" in words:
            words = words_of("".join(token.raw for token in run))
        found = vocabulary.units.get(words, ())
        if found:
            return _by_case(run[0].raw, found)
    return vocabulary.prefixes.get(run[0].raw, ()) if len(run) == 1 else ()


def _by_case(raw: str, found: tuple[UnitMeaning, ...]) -> tuple[UnitMeaning, ...]:
    """Return the units meant where only the size of one letter tells them apart: mohm may be milli or mega."""
    result: list[UnitMeaning] = []
    for meaning in found:
        twins = _twins(raw, meaning) if raw != meaning.unit.symbol else []
        if twins and raw[0].isupper():
            result.extend(twin for twin in (meaning, *twins) if twin.unit.symbol[0].isupper())
        else:
            result.extend([meaning, *twins])
    return tuple(result)


def _twins(raw: str, meaning: UnitMeaning) -> list[UnitMeaning]:
    plain = {words_of(written) for unit in meaning.quantity.units if unit.factor == 1 for written in unit.written}
    if words_of(raw[1:]) not in plain:
        return []
    symbol = meaning.unit.symbol
    return [
        UnitMeaning(meaning.quantity, unit)
        for unit in meaning.quantity.units
        if unit.symbol != symbol and unit.symbol.casefold() == symbol.casefold()
    ]


def _joined(
    singles: Sequence[Number], tokens: Sequence[Token], taken: Sequence[bool], vocabulary: Vocabulary
) -> Iterator[Number]:
    place = 0
    while place < len(singles):
        number = singles[place]
        following = singles[place + 1] if place + 1 < len(singles) else None
        joined = following and _join(number, following, tokens, taken, vocabulary)
        if joined:
            yield joined
            place += 2
        else:
            yield number
            place += 1


def _join(
    low: Number, high: Number, tokens: Sequence[Token], taken: Sequence[bool], vocabulary: Vocabulary
) -> Number | None:
    between = range(low.last, high.first)
    if len(between) != 1 or taken[low.last] or not low.values or not high.values:
        return None
    if low.units and high.units and low.units != high.units:
        return None
    particles, joint = vocabulary.kb.particles, tokens[low.last].word
    opened = _opener(low.first, tokens, taken, particles.range_open)
    units, said_unit = (high.units, high.said_unit) if high.units else (low.units, low.said_unit)
    whole = replace(low, last=high.last, units=units, said_unit=said_unit, misheard=None)
    is_range = joint in particles.range_join or (opened is not None and joint in vocabulary.kb.number_words.joined)
    if is_range:
        ends = sorted((low.values[0], high.values[0]))
        start = low.first if opened is None else opened
        return replace(whole, first=start, values=(ends[0],), high=ends[1], about=True)
    if joint in particles.pair_join and joint not in vocabulary.kb.number_words.joined:
        return replace(whole, partner=high.values)
    return None


def _opener(first: int, tokens: Sequence[Token], taken: Sequence[bool], openers: Sequence[str]) -> int | None:
    """Return where "between" or "from" before the number starts."""
    for opener in sorted(openers, key=len, reverse=True):
        words = words_of(opener)
        start = first - len(words)
        if start >= 0 and tuple(token.word for token in tokens[start:first]) == words and not any(taken[start:first]):
            return start
    return None

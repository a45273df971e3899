"""Which number of a question is which input of the calculation: by name, by unit, else by the order of the inputs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from knowledge.models.calculation import InputKind

from .asking_words import AskingWords, Phrase
from .models import Given
from .numbers import Number
from .tokens import Token, TokenKind
from .vocabulary import UnitMeaning

_REACH = 4
"""How many words may stand between a number and its name."""
_THREE_FIGURES = 100
_MOST_TRIES = 3000
"""The first readings tried are the cheapest of each number; a heap of numbers is not searched to the end."""
_MOST_NUMBERS, _MOST_WAYS = 8, 6
# What a way of reading a number costs; the cheapest reading of all numbers together is taken.
_COMMA, _PER_RANK, _BEHIND, _SELDOM = 3.0, 0.2, 0.3, 2.5
_OWN, _AWAITED, _BY_UNIT, _RARE_BY_UNIT, _BARE, _GAS = 1.0, 2.0, 10.0, 18.0, 20.0, 35.0
_GAS_NAMED, _LEFT_OUT, _OUT_OF_ORDER, _NOT_ASCENDING, _MIXED = 12.0, 60.0, 1.0, 6.0, 0.5


@dataclass(frozen=True, slots=True)
class Asked:
    """What the question offers: its words, and the inputs that there are."""

    tokens: Sequence[Token]
    numbers: Sequence[Number]
    phrases: Sequence[Phrase]
    needs: Sequence[str]
    may: Sequence[str]
    own: tuple[tuple[Phrase, str], ...] = ()
    """Name of a calculation and the input that a number right beside it stands for."""
    awaited: str | None = None
    """Input that was asked for."""
    has_refrigerant: bool = False


@dataclass(frozen=True, slots=True)
class _Way:
    """One way to read a number."""

    cost: float
    given: Given
    cue: Phrase | None
    last: int
    """Token index behind number and unit."""
    behind: bool = False
    """The name stands behind the number."""

    @property
    def bare(self) -> bool:
        return self.cue is None


@dataclass(frozen=True, slots=True)
class Read:
    """The numbers read: inputs in the order said, tokens spent, and numbers that fit nothing."""

    given: tuple[Given, ...]
    spent: frozenset[int]
    left: tuple[Number, ...]
    names: tuple[tuple[str, Phrase], ...] = ()
    """Inputs that were said by name, and that name."""


def read_inputs(words: AskingWords, asked: Asked) -> Read:
    """Return every number of the question as the input that it most likely is."""
    numbers = [part for number in asked.numbers[:_MOST_NUMBERS] for part in _parts(number)]
    ways = [sorted(_ways(words, asked, number, numbers), key=lambda way: way.cost)[:_MOST_WAYS] for number in numbers]
    chosen = _Search(words, asked, ways).best()
    spent: set[int] = set()
    for number, way in zip(numbers, chosen, strict=True):
        if way is not None:
            spent.update(range(number.first, way.last))
            spent.update(range(way.cue.first, way.cue.last) if way.cue else ())
    given = tuple(way.given for way in chosen if way is not None)
    left = tuple(number for number, way in zip(numbers, chosen, strict=True) if way is None)
    names = tuple((way.given.about, way.cue) for way in chosen if way is not None and way.cue is not None)
    return Read(given, frozenset(spent), left, names)


def _parts(number: Number) -> Iterator[Number]:
    """A pair, 70 over 250, is two numbers."""
    if not number.values:
        return
    yield number
    if number.partner:
        yield Number(number.first, number.last, number.partner, number.units, number.said_unit)


class _Search:
    """The cheapest choice of one way per number, no input and no name used twice."""

    def __init__(self, words: AskingWords, asked: Asked, ways: Sequence[Sequence[_Way]]) -> None:
        self._ways = ways
        self._order = {name: place for place, name in enumerate((*asked.needs, *asked.may))}
        self._ascending = words.kb.asking.ascending
        self._least = float("inf")
        self._best: tuple[_Way | None, ...] = (None,) * len(ways)
        cheapest = [min((way.cost for way in options), default=_LEFT_OUT) for options in ways]
        self._ahead = [sum(cheapest[place:]) for place in range(len(ways) + 1)]
        self._tries = _MOST_TRIES

    def best(self) -> tuple[_Way | None, ...]:
        self._try((), 0.0)
        return self._best

    def _try(self, chosen: tuple[_Way | None, ...], cost: float) -> None:
        self._tries -= 1
        if cost + self._ahead[len(chosen)] >= self._least or self._tries < 0:
            return
        if len(chosen) == len(self._ways):
            total = cost + self._disorder([way for way in chosen if way is not None])
            if total < self._least:
                self._least, self._best = total, chosen
            return
        taken = {way.given.about for way in chosen if way is not None}
        cues = {way.cue.first for way in chosen if way is not None and way.cue}
        for way in self._ways[len(chosen)]:
            if way.given.about not in taken and (way.cue is None or way.cue.first not in cues):
                self._try((*chosen, way), cost + way.cost)
        self._try((*chosen, None), cost + _LEFT_OUT)

    def _disorder(self, ways: Sequence[_Way]) -> float:
        """Return what speaks against the whole: bare numbers out of order, names now before and now behind."""
        places = [self._order.get(way.given.about, 0) for way in ways if way.bare]
        swapped = sum(a > b for nth, a in enumerate(places) for b in places[nth + 1 :])
        values = {way.given.about: way.given.value for way in ways if way.given.value is not None}
        bare = {way.given.about for way in ways if way.bare}
        doubtful = [pair for pair in self._ascending if bare & set(pair) and set(pair) <= set(values)]
        falling = sum((values[low] or 0.0) > (values[high] or 0.0) for low, high in doubtful)
        mixed = len({way.behind for way in ways if not way.bare}) > 1
        return swapped * _OUT_OF_ORDER + falling * _NOT_ASCENDING + mixed * _MIXED


def _ways(words: AskingWords, asked: Asked, number: Number, numbers: Sequence[Number]) -> Iterator[_Way]:
    for name in (*asked.needs, *asked.may):
        one = words.kb.calculation_inputs[name]
        if one.kind is InputKind.REFRIGERANT:
            yield from _as_gas(words, asked, number, name)
        if one.kind is not InputKind.NUMBER or one.quantity is None:
            continue
        read = _value(words, asked, number, one.quantity)
        if read is None:
            continue
        value, unit, last = read
        if unit is None and not _plausible(words, name, value):
            continue
        said = " ".join(token.raw for token in asked.tokens[number.first : last])
        counted = unit or words.vocabulary.usual_unit(words.kb.quantities[one.quantity])
        factor = counted.unit.factor
        half = (number.high - number.values[0]) / 2 * factor if number.high is not None else None
        given = Given(name, said, value, None, unit.unit.symbol if unit else None, half)
        yield from _priced(words, asked, number, numbers, given, last)


def _priced(
    words: AskingWords, asked: Asked, number: Number, numbers: Sequence[Number], given: Given, last: int
) -> Iterator[_Way]:
    """Yield the ways in which a number can be this input, each with its price."""
    name, has_unit = given.about, given.said_unit is not None
    for phrase in asked.phrases:
        if any(other.first < phrase.first < other.last for other in numbers):
            continue  # it is the unit of a number
        rank = next((one.rank for one in phrase.named if one.input == name and one.choice is None), None)
        apart = _apart(asked, number, last, phrase, numbers)
        if rank is not None and apart is not None:
            seldom = _SELDOM * (name not in asked.needs)
            yield _Way(apart + _PER_RANK * rank + seldom, given, phrase, last, phrase.first >= last)
    for phrase, own in asked.own:
        apart = _apart(asked, number, last, phrase, numbers)
        if own == name and apart is not None and apart <= 1:
            yield _Way(_OWN, given, phrase, last)
    if asked.awaited is not None and _is_called_otherwise(words, asked, number.first, last, name):
        return
    assumed = Given(name, given.said, given.value, None, given.said_unit, given.error, assumed=True)
    if name == asked.awaited:
        yield _Way(_AWAITED, given, None, last)
    elif name in asked.needs:
        yield _Way(_BY_UNIT if has_unit else _BARE, given if has_unit else assumed, None, last)
    elif has_unit and not _shares_quantity(words, asked, name):
        yield _Way(_RARE_BY_UNIT, given, None, last)


def _is_called_otherwise(words: AskingWords, asked: Asked, first: int, last: int, name: str) -> bool:
    """True where the name tied to a number is that of other inputs only: "355 on the high side", "liquid line 95"."""
    ties = {*words.kb.particles.before_subject, *words.kb.particles.article}
    between = {*ties, *words.kb.particles.pronoun, *words.kb.particles.question}
    tied = [
        {one.input for one in phrase.named}
        for phrase in asked.phrases
        if phrase.named
        and (
            (phrase.first >= last and {t.word for t in asked.tokens[last : phrase.first]} <= ties)
            or (phrase.last <= first and {t.word for t in asked.tokens[phrase.last : first]} <= between)
        )
    ]
    return bool(tied) and not any(name in inputs for inputs in tied)


def _shares_quantity(words: AskingWords, asked: Asked, name: str) -> bool:
    inputs = words.kb.calculation_inputs
    others = (inputs[other].quantity for other in (*asked.needs, *asked.may) if other != name)
    return inputs[name].quantity in others


def _as_gas(words: AskingWords, asked: Asked, number: Number, name: str) -> Iterator[_Way]:
    """A bare 410 can be the refrigerant, where nothing else needs the number."""
    gas = words.refrigerants.by_figures.get(f"{number.values[0]:g}")
    if gas is None or number.units or number.high is not None or asked.has_refrigerant:
        return
    before = asked.tokens[number.first - 1].word if number.first else ""
    cost = _AWAITED if name == asked.awaited else _GAS
    if before in words.kb.asking.refrigerant_at and number.values[0] >= _THREE_FIGURES:
        cost = min(cost, _GAS_NAMED)
    said = asked.tokens[number.first].raw
    yield _Way(cost, Given(name, said, text=gas, assumed=name != asked.awaited), None, number.last)


def _value(
    words: AskingWords, asked: Asked, number: Number, quantity: str
) -> tuple[float, UnitMeaning | None, int] | None:
    """Return the value in the quantity's canonical unit, the unit said, and where it ends; None where it is another."""
    length, special = words.unit_at(asked.tokens, number.last)
    known = words.kb.quantities[quantity]
    said = number.values[0] if number.high is None else (number.values[0] + number.high) / 2
    for meaning in special:
        if meaning.quantity.id == quantity:
            return meaning.canonical(said), meaning, number.last + length
    ends = number.last
    for meaning in number.units:
        if meaning.quantity.id == quantity:
            return meaning.canonical(said), meaning, ends
    for meaning in number.units:
        if quantity == "temperature_difference" and meaning.quantity.id == "temperature":
            return said * meaning.unit.factor, meaning, ends  # a difference has no zero point
    if number.said_unit is not None:
        length, special = words.unit_at(asked.tokens, number.last - len(number.said_unit.split()))
        for meaning in special:
            if meaning.quantity.id == known.id:
                return meaning.canonical(said), meaning, ends
        return None
    return words.vocabulary.usual_unit(known).canonical(said), None, ends


def _plausible(words: AskingWords, name: str, value: float) -> bool:
    one = words.kb.calculation_inputs[name]
    plate = words.kb.plate_items.get(one.plate or "")
    low, high = (plate.plausible if plate else None) or words.kb.quantities[one.quantity or ""].plausible
    return low <= value <= high


def _apart(asked: Asked, number: Number, last: int, phrase: Phrase, numbers: Sequence[Number]) -> float | None:
    """Return how far a name is from its number; None where another number or too much stands between."""
    behind = phrase.first >= last
    if behind:
        gap = range(last, phrase.first)
    elif phrase.last <= number.first:
        gap = range(phrase.last, number.first)
    else:
        return None
    if len(gap) > _REACH or any(other.first in gap for other in numbers):
        return None
    breaks = sum(asked.tokens[place].kind is TokenKind.BREAK for place in gap)
    return len(gap) + _COMMA * breaks + _BEHIND * behind

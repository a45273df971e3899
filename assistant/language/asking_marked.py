"""What should a 35 on 370 read: capacitors named by what is printed on them, microfarads and volts."""

from __future__ import annotations

from dataclasses import replace

from .asking_run import Run
from .models import Heard, Kind
from .numbers import Number, find_numbers
from .tokens import TokenKind, words_of


def marked_values(run: Run) -> list[Heard]:
    """Return a request for the limit of each section of a capacitor named by its print; nothing for another note."""
    if not run.has("openers", "should") or (_tells(run) and not run.has("should")):
        return []
    numbers = find_numbers(run.tokens, [False] * len(run.tokens), run.words.vocabulary)
    values = _sections(run, numbers)
    if not values or _strange(run, numbers):
        return []
    marked = run.kb.asking.marked
    part = run.kb.plate_items[marked.volts].subject
    quantity = run.kb.plate_items[marked.sections[0]].quantity or ""
    unit = run.kb.quantities[quantity].unit
    item = replace(run.heard(Kind.REQUEST, "limit"), subject=part, quantity=quantity, unit=unit, said_unit=unit)
    return [replace(item, value=value) for value in values]


def _tells(run: Run) -> bool:
    """True for "cap is 45/5 440": it opens with the part and says what is printed on it."""
    return bool(run.tokens) and run.tokens[0].word in _called(run)


def _called(run: Run) -> set[str]:
    """Return the words that name the part."""
    part = run.kb.plate_items[run.kb.asking.marked.volts].subject or ""
    return {word for phrase in run.kb.subjects[part].phrases for word in words_of(phrase)}


def _sections(run: Run, numbers: list[Number]) -> list[float]:
    """Return the microfarads of the print: all numbers but the last, which must be the volts; 45/5 needs none."""
    marked = run.kb.asking.marked
    volts, printed = run.kb.plate_items[marked.volts], [run.kb.plate_items[item] for item in marked.sections]
    said = [
        (value, {meaning.quantity.id for meaning in number.units})
        for number in numbers
        for value in (*number.values[:1], *number.partner[:1])
    ]
    if len(said) == 1 or any(number.high is not None or not number.values for number in numbers) or not said:
        return []
    paired = len(numbers) == 1 and bool(numbers[0].partner)
    if not (paired and all(_fits(one.plausible, value) for one, (value, _) in zip(printed, said, strict=False))):
        *said, (rating, rating_units) = said
        if not _fits(volts.plausible, rating) or not rating_units <= {volts.quantity}:
            return []
    for value, units in said:
        if not units <= {printed[0].quantity, volts.quantity}:
            return []
        if not any(_fits(item.plausible, value) for item in printed):
            return []
    return [value for value, _ in said]


def _strange(run: Run, numbers: list[Number]) -> bool:
    """True where the note says more than the part, its print and small words."""
    called = _called(run)
    spent = {place for number in numbers for place in range(number.first, number.last)}
    spent |= {place for phrase in run.phrases for place in range(phrase.first, phrase.last) if phrase.roles}
    return any(
        token.kind is TokenKind.WORD and token.word not in run.words.small | called
        for place, token in enumerate(run.tokens)
        if place not in spent
    )


def _fits(span: tuple[float, float] | None, value: float) -> bool:
    return span is not None and span[0] <= value <= span[1]

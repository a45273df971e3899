"""Capacitors that are at hand, not in the unit: I have a 40/5 440 on the truck, can I combine a 25 and a 10."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from .models import Heard, Kind
from .numbers import Number
from .phrases import Mark
from .plausibility import Span
from .roles import Role
from .tokens import TokenKind, find_words, fold, words_of
from .work import Work

REPLACEMENT = "replacement"


def offered_parts(work: Work) -> None:
    """Add a question for what is at hand and may take the place of the marked one, before it is taken for print.

    The parts stand in ``text``, as printed: ``40/5 440``; several with ``+``, and behind ``for`` the marked one.
    """
    for sentence in work.sentences:
        marks = sentence.marks
        if any(work.is_spent(mark) for mark in marks) or not all(_may_be_of_can(work, mark) for mark in marks):
            continue  # something else was reported: a step of making safe comes before any question
        said = _words(work, marks)
        marked = work.kb.asking.marked
        surely = any(_place(said, phrase) is not None for phrase in marked.offered)
        if not surely and not _offered_beside_print(work, marks, said):
            continue
        cut = next((place for phrase in marked.instead_of if (place := _place(said, phrase)) is not None), None)
        numbers = _counted([mark for mark in marks if mark.number is not None and not _is_pronoun(work, mark)])
        here = list(_cans(work, [one for one in numbers if cut is None or one.first < cut]))
        there = list(_cans(work, [one for one in numbers if cut is not None and one.first >= cut]))
        if not here or len(there) > 1:
            continue
        start, end = work.extent(marks)
        text = "+".join(here) + (f" for {there[0]}" if there else "")
        work.items.append(Heard(Kind.REQUEST, work.said(start, end), start, end, about=REPLACEMENT, text=text))
        work.spend(*marks)


def _offered_beside_print(work: Work, marks: Sequence[Mark], said: Sequence[tuple[int, str]]) -> bool:
    """True for "only have a 370 volt": words that may be of a reading, but not with the print of the failed one known.

    A part of the unit named beside it, and a unit that runs, make a reading of it.
    """
    marked, plate = work.kb.asking.marked, work.kb.plate_items
    printed = any(item in work.context.plate for item in marked.sections)
    if not printed or work.context.powered or all(_place(said, phrase) is None for phrase in marked.offered_known):
        return False
    part = plate[marked.volts].subject
    if any(mark.has(Role.SUBJECT) and not mark.small and part not in mark.ids(Role.SUBJECT) for mark in marks):
        return False
    usual = plate[marked.volts].usual
    numbers = [mark.number for mark in marks if mark.number is not None]
    return any(number.partner or (number.values[:1] and number.values[0] in usual) for number in numbers)


def _words(work: Work, marks: Sequence[Mark]) -> list[tuple[int, str]]:
    articles = set(work.kb.particles.article)
    tokens = ((place, work.tokens[place]) for mark in marks for place in range(mark.first, mark.last))
    words = ((place, fold(token.raw)) for place, token in tokens if token.kind is not TokenKind.SYMBOL)
    return [(place, word) for place, word in words if word not in articles]


def _place(said: Sequence[tuple[int, str]], phrase: str) -> int | None:
    """Return the token at which a phrase stands."""
    at = find_words([word for _, word in said], words_of(phrase))
    return None if at is None else said[at][0]


def _may_be_of_can(work: Work, mark: Mark) -> bool:
    """True for a small word, the name of a capacitor, and a number that can stand on one."""
    if mark.number is not None:
        return _is_pronoun(work, mark) or _is_of_can(work, mark.number)
    marked = work.kb.asking.marked
    told = {word for phrase in (*marked.offered, *marked.offered_known) for word in words_of(phrase)}
    if {fold(token.raw) for token in work.tokens[mark.first : mark.last]} <= told:
        return True
    part = work.kb.plate_items[work.kb.asking.marked.volts].subject or ""
    family = {part, *work.vocabulary.children.get(part, ()), *work.vocabulary.chain(part)}
    named = set(mark.ids(Role.SUBJECT))
    return bool(named & family) if named and not mark.small else not (mark.content and mark.has(Role.STATE))


def _is_pronoun(work: Work, mark: Mark) -> bool:
    """True for the one of "a 370 volt one"."""
    return {fold(token.raw) for token in work.tokens[mark.first : mark.last]} == {"one"}


def _is_of_can(work: Work, number: Number) -> bool:
    """True for microfarads, volts, or a bare number, of a size that is printed on capacitors."""
    marked, plate = work.kb.asking.marked, work.kb.plate_items
    items = [plate[one] for one in (*marked.sections, marked.volts)]
    units = {unit.quantity.id for unit in number.units}
    fits = [item for item in items if not units or item.quantity in units]
    spans = [Span(*item.plausible) for item in fits if item.plausible]
    return bool(number.values) and all(
        any(span.holds(value) for span in spans) for value in (number.values[0], *number.partner[:1])
    )


def _counted(marks: Sequence[Mark]) -> list[Mark]:
    """Return "two 20s" as two cans of 20: a small count right before a larger number without a partner."""
    result: list[Mark] = []
    times = 1
    for place, mark in enumerate(marks):
        following = marks[place + 1] if place + 1 < len(marks) else None
        if following is not None and times == 1 and _counts(mark, following):
            times = int(mark.number.values[0]) if mark.number is not None else 1
            continue
        result += [mark] * times
        times = 1
    return result


_MOST_COUNTED = 4


def _counts(mark: Mark, following: Mark) -> bool:
    count, number = mark.number, following.number
    if count is None or number is None or count.units or count.partner or number.partner or not number.values:
        return False
    small = count.values[:1] and count.values[0] in range(2, _MOST_COUNTED + 1)
    return bool(small) and mark.last == following.first and number.values[0] > count.values[0]


def _cans(work: Work, marks: Sequence[Mark]) -> Iterator[str]:
    """Yield each can as printed: its sections, then its volts where they are said."""
    marked, plate = work.kb.asking.marked, work.kb.plate_items
    volts = plate[marked.volts]
    rated = Span(*volts.plausible) if volts.plausible else None
    fan = plate[marked.sections[-1]].plausible
    current: list[float] = []
    last = -1
    for mark in marks:
        number = mark.number
        if number is None or not number.values:
            continue
        value, beside, last = number.values[0], mark.first == last, mark.last
        if rated is not None and rated.holds(value) and not number.partner:
            yield f"{_sections(current)} {value:g}"
            current = []
        elif beside and len(current) == 1 and not number.partner and _is_second(value, current[0], fan):
            current.append(value)
        else:
            if current:
                yield _sections(current)
            current = [value, *number.partner[:1]]
    if current:
        yield _sections(current)


def _is_second(value: float, first: float, fan: tuple[float, float] | None) -> bool:
    """True for the 5 of "45 5": the smaller section, named right behind the larger."""
    return fan is not None and Span(*fan).holds(value) and value < first


def _sections(values: Sequence[float]) -> str:
    return "/".join(f"{one:g}" for one in values)

"""Answers to a question with options: by value, by name, by unit, or by "the first one"."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from .models import BLOCKING, Doubt, Heard
from .phrases import Mark
from .predicates import unit_meanings
from .roles import Role
from .tokens import words_of
from .work import Work


def choose(work: Work) -> bool:
    """Take the note as the choice of one option of the pending question; False where it chooses none."""
    asked = work.context.asked
    if asked is None or not asked.options:
        return False
    small = work.vocabulary.fillers
    content = [
        mark
        for mark in work.content
        if not mark.has(Role.HEDGE) and not mark.negates and not set(work.words(mark)) <= small
    ]
    tests = [
        _refused(test) if _is_denied(work, mark) else test
        for mark in (content or list(work.marks))
        for test in [_test(work, mark, asked.options)]
        if test is not None
    ]
    if not tests or (content and len(tests) < len(content)):
        return False
    left = [option for n, option in enumerate(asked.options) if all(test(n, option) for test in tests)]
    if not left:
        return False
    work.items.append(_chosen(work, left))
    work.spend(*work.marks)
    return True


Test = Callable[[int, Heard], bool]


def _test(work: Work, mark: Mark, options: tuple[Heard, ...]) -> Test | None:
    """Return what the words demand of an option; None where they say nothing about any."""
    if mark.number is not None:
        return _by_number(work, mark, options)
    if mark.has(Role.CHOICE):
        place = _place(mark, len(options))
        return lambda n, _option: n == place
    candidates: list[Test] = []
    if any(option.about in work.kb.repairs for option in options):
        candidates.append(_by_name_of_repair(work, mark))
    if mark.has(Role.SUBJECT):
        candidates.append(_by_subject(work, mark))
    if mark.has(Role.UNIT) or mark.has(Role.QUANTITY):
        units = {unit.unit.symbol for unit in unit_meanings(mark, work)}
        quantities = {unit.quantity.id for unit in unit_meanings(mark, work)}
        candidates.append(
            lambda _n, option: (option.said_unit in units) if option.said_unit else (option.quantity in quantities)
        )
    if mark.has(Role.STATE):
        states = set(mark.ids(Role.STATE))
        candidates.append(lambda _n, option: option.state in states)
    if mark.has(Role.OVER_LIMIT):
        candidates.append(lambda _n, option: option.over_limit)
    if mark.has(Role.ZERO):
        candidates.append(lambda _n, option: option.value == 0)
    useful = [test for test in candidates if any(test(n, option) for n, option in enumerate(options))]
    if not useful:
        return None
    return lambda n, option: any(test(n, option) for test in useful)


def _refused(test: Test) -> Test:
    return lambda n, option: not test(n, option)


def _is_denied(work: Work, mark: Mark) -> bool:
    """True for "not the compressor"."""
    before = [other for other in work.marks if other.last <= mark.first and not other.small]
    return bool(before) and before[-1].negates


def _by_subject(work: Work, mark: Mark) -> Test:
    words = work.vocabulary.content(work.words(mark))
    ids = set(mark.ids(Role.SUBJECT))

    def test(_n: int, option: Heard) -> bool:
        names = work.vocabulary.mentions.get(option.about or "", ())
        return option.about in ids or any(words <= name for name in names)

    return test


def _by_name_of_repair(work: Work, mark: Mark) -> Test:
    """Choose the repair in whose name the words stand, or that is done to what they name."""
    words, ids = set(work.words(mark)), set(mark.ids(Role.SUBJECT))

    def test(_n: int, option: Heard) -> bool:
        repair = work.kb.repairs.get(option.about or "")
        done_to = {one for intent in work.kb.intents.values() if intent.about == option.about for one in intent.on}
        return repair is not None and (words <= set(words_of(repair.name)) or bool(ids & done_to))

    return test


def _by_number(work: Work, mark: Mark, options: tuple[Heard, ...]) -> Test | None:
    """A value that one option has, as said or in canonical unit; else a small number counts the options."""
    number = mark.number
    if number is None or not number.values:
        return None
    counted_in = {unit.quantity.id for unit in number.units}
    canonical = {unit.canonical(value) for value in number.values for unit in number.units}

    def same(_n: int, option: Heard) -> bool:
        if option.value is None or (counted_in and option.quantity not in counted_in):
            return False
        if canonical:
            return option.value in canonical
        return option.value in number.values or _as_counted(work, option) in number.values

    if any(same(n, option) for n, option in enumerate(options)):
        return same
    place = number.values[0] - 1
    if not number.units and place in range(len(options)):
        return lambda n, _option: n == place
    return None


def _as_counted(work: Work, option: Heard) -> float | None:
    """Return an option's number in the unit it would be said in: 0.9 of 0.9 kilo-ohm."""
    quantity = work.kb.quantities.get(option.quantity or "")
    if quantity is None or option.value is None:
        return None
    unit = next((unit for unit in quantity.units if unit.symbol == option.said_unit), None)
    return float(f"{(option.value - unit.offset) / unit.factor:.10g}") if unit is not None else None


def _place(mark: Mark, count: int) -> int:
    places = {"first": 0, "second": 1, "last": count - 1}
    return places[mark.ids(Role.CHOICE)[0]]


def _chosen(work: Work, left: list[Heard]) -> Heard:
    """Return the chosen option as heard in this note; still open where several are left."""
    start, end = work.extent(work.marks)
    here = [
        replace(option, said=work.said(start, end), start=start, end=end, doubts=_settled(option), options=())
        for option in left
    ]
    if len(here) == 1:
        return here[0]
    return replace(here[0], doubts=left[0].doubts, options=tuple(here))


def _settled(option: Heard) -> tuple[Doubt, ...]:
    return tuple(doubt for doubt in option.doubts if doubt not in BLOCKING)

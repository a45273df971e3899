"""Corrections of the last note: "no, thirteen", "I meant the herm side", "not 50, 15"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from .mentions import mentions_of
from .models import Asked, Context, Heard, Kind
from .phrases import Mark
from .places import places_of
from .plausibility import plausible
from .predicates import predicates_of, unit_meanings
from .roles import Role
from .work import Work

_CORRECTABLE = (Kind.READING, Kind.PLATE, Kind.FINDING)


def opener_of(work: Work) -> tuple[Mark, ...]:
    """Return the marks that open a correction; empty where the note is none."""
    said = [mark for mark in work.marks if mark.content or mark.has(Role.CORRECTION) or mark.has(Role.NEGATION)]
    last = correctable(work.context.last)
    if not said or not last:
        return ()
    first = said[0]
    if len(said) == 1 and first.has(Role.INTENT):
        return ()
    if first.has(Role.CORRECTION) and not _means_itself(first):
        return tuple(_leading(said))
    denies = first.has(Role.NEGATION) and not set(work.words(first)).isdisjoint(work.kb.particles.denial)
    if denies and len(said) > 1 and _corrects(work, first, said, last):
        return (first,)
    return _instead(said, last)


def _instead(said: Sequence[Mark], last: Sequence[Heard]) -> tuple[Mark, ...]:
    """Return the "not" of "the fan side, not the herm side", said of the last item's subject."""
    if len(said) != 3 or not said[1].negates or not (said[0].has(Role.SUBJECT) and said[2].has(Role.SUBJECT)):
        return ()
    return (said[1], said[2]) if last[0].about in said[2].ids(Role.SUBJECT) else ()


def corrected_context(work: Work, context: Context) -> Context:
    """Return the context in which the new words answer the question that the last item answered."""
    target = target_of(work, correctable(context.last))
    if target is None or target.kind is Kind.FINDING:
        return replace(context, asked=_about(target, (), work)) if target is not None else context
    span = plausible(work.kb, target.about, target.quantity, context.asked) if target.quantity else None
    return replace(context, asked=_about(target, tuple(span) if span is not None else (), work))


def correctable(last: Sequence[Heard]) -> tuple[Heard, ...]:
    """Return the items of a note that can be put right, the last said first."""
    flat = [item.options[0] if not item.usable and item.options else item for item in last]
    return tuple(item for item in reversed(flat) if item.kind in _CORRECTABLE)


def target_of(work: Work, last: Sequence[Heard]) -> Heard | None:
    """Return the item that the correction is about: the one whose value it denies, with its unit, else the last."""
    numbers = [mark.number for mark in work.marks if mark.number is not None and mark.number.values]
    denied = {value for number in numbers[:-1] for value in number.values}
    for item in last:
        if item.value is not None and item.value in denied:
            return item
    units = {unit.quantity.id for number in numbers for unit in number.units}
    for item in last:
        if units and item.quantity in units:
            return item
    states = [mark for mark in work.content if mark.has(Role.STATE) and not mark.small]
    wanted = Kind.FINDING if states and not numbers else Kind.READING
    return next((item for item in last if item.kind is wanted), last[0] if last else None)


def moved(work: Work, last: Sequence[Heard]) -> Heard | None:
    """Return the last item about another subject, where the correction names only that."""
    mentions = [mention for sentence in work.sentences for mention in mentions_of(sentence, work)]
    if not mentions or any(predicates_of(sentence, work) for sentence in work.sentences):
        return None
    target = last[0] if last else None
    if target is None:
        return None
    mention = mentions[-1]
    start, end = work.extent(mention.marks)
    said = work.said(start, end)
    about = mention.ids[0] if mention.ids else None
    if target.kind is Kind.PLATE:
        items = work.kb.plate_items.values()
        about = next((i.id for i in items if i.id in mention.plate or i.subject in mention.ids), None)
    elif target.quantity is not None and mention.ids:
        found = places_of(work, mention, target.quantity, target.value)
        about = found.ids[0] if len(found.ids) == 1 else about
    if about is None:
        return None
    work.spend(*mention.marks)
    return replace(target, about=about, said=said, start=start, end=end, doubts=(), options=())


def recounted(work: Work, last: Sequence[Heard]) -> Heard | None:
    """Return the last reading in another unit, where the correction names only that: "volts, not amps"."""
    target = next((item for item in last if item.kind is Kind.READING and item.value is not None), None)
    if target is None or any(mark.number is not None or mark.has(Role.SUBJECT) for mark in work.content):
        return None
    named = [mark for mark in work.marks if (mark.has(Role.UNIT) or mark.has(Role.QUANTITY)) and not mark.small]
    wanted = [mark for mark in named if not _is_denied(work, mark)]
    units = unit_meanings(wanted[0], work) if wanted else ()
    if not units or target.quantity is None:
        return None
    quantity = work.kb.quantities[target.quantity]
    old = next((unit for unit in quantity.units if unit.symbol == target.said_unit), None)
    raw = (target.value - old.offset) / old.factor if old is not None and target.value is not None else target.value
    start, end = work.extent([wanted[0]])
    work.spend(*named, *(mark for mark in work.marks if mark.negates))
    return replace(
        target,
        quantity=units[0].quantity.id,
        value=units[0].canonical(raw or 0.0),
        unit=units[0].quantity.unit,
        said_unit=units[0].unit.symbol,
        said=work.said(start, end),
        start=start,
        end=end,
        doubts=(),
        options=(),
    )


def _is_denied(work: Work, mark: Mark) -> bool:
    before = [other for other in work.marks if other.last <= mark.first and not other.small]
    return bool(before) and before[-1].negates


def _leading(said: Sequence[Mark]) -> list[Mark]:
    leading = []
    for mark in said:
        if not (mark.has(Role.CORRECTION) or mark.has(Role.NEGATION)) or _means_itself(mark):
            break
        leading.append(mark)
    return leading


def _means_itself(mark: Mark) -> bool:
    """True where the opener is also a word with a meaning of its own."""
    return mark.has(Role.SUBJECT) or mark.has(Role.STATE) or mark.number is not None


def _corrects(work: Work, first: Mark, said: Sequence[Mark], last: Sequence[Heard]) -> bool:
    """True for "no, thirteen" and "no, the fan side": nothing but a value, a subject or a state follows the no."""
    parted = work.tokens[first.last : first.last + 1]
    comma = bool(parted) and parted[0].word in {",", "."}
    rest = [mark for mark in said[1:] if mark.content]
    numbers = [mark for mark in rest if mark.number is not None]
    named = [mark for mark in rest if mark.has(Role.SUBJECT)]
    states = [mark for mark in rest if mark.has(Role.STATE)]
    if len(numbers) + len(named) + len(states) < len(rest):
        return False
    if numbers and (comma or not named):
        return True
    if named and not numbers and not states:
        return comma or not first.has(Role.STATE)
    findings = [item for item in last if item.kind is Kind.FINDING]
    return bool(states) and comma and bool(findings) and not numbers


def _about(target: Heard, span: tuple[float, ...], work: Work) -> Asked:
    kind = "plate" if target.kind is Kind.PLATE else "check"
    check_id = target.about or ""
    states: tuple[str, ...] = ()
    if target.kind is Kind.FINDING:
        checks = [check for check in work.kb.checks.values() if check.about == target.about and check.answers]
        states = tuple(state for check in checks for answer in check.answers for state in answer.states)
    limits = (span[0], span[1]) if len(span) == 2 else None
    return Asked(kind, check_id, target.about, target.quantity, target.unit, states, limits)

"""Answers to "what should it read?": by subject, by quantity, by the value that is marked on a part."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import isfinite

from knowledge.base import KnowledgeBase
from knowledge.models.limit import Limit

from .lookup import NO_READINGS, Plate, Readings, limit_for
from .results import LimitResult

_Asked = Sequence[tuple[Limit, str | None]]
"""Limits in question, each with the subject it was asked for."""


def answer_limit(
    kb: KnowledgeBase,
    *,
    subject: str | None = None,
    quantity: str | None = None,
    value: float | None = None,
    plate: Plate,
    readings: Readings = NO_READINGS,
) -> tuple[LimitResult, ...]:
    """Return the limits a question is about, most fitting first; empty where nothing is known.

    ``subject`` may be a subject, check, limit or quantity id. ``value`` is a marked value in the quantity's
    canonical unit ("what should a 40 microfarad read?"): it stands in for the plate value it can be.
    """
    if subject is not None and subject in kb.quantities:
        subject, quantity = None, quantity or subject
    if subject is None and quantity is None and value is None:
        return ()
    asked = [
        (limit, about)
        for limit, about in dict.fromkeys(_in_question(kb, subject))
        if quantity in {None, kb.limits[limit].quantity}
    ]
    limits = [(kb.limits[limit], about) for limit, about in asked]
    if value is not None and isfinite(value) and value > 0:
        marked = _for_marked(kb, limits, value, plate, readings)
        if subject is None:
            fixed = [(limit, about) for limit, about in limits if not limit.needs_plate]
            marked += [r for r in _results(kb, fixed, plate, readings) if _names(r, value)]
            return tuple(marked or _for_marked(kb, limits, value, plate, readings, narrow=False))
        limits = limits if not marked else []
        return (*marked, *_results(kb, limits, plate, readings))
    return tuple(_results(kb, limits, plate, readings))


def _in_question(kb: KnowledgeBase, subject: str | None) -> Iterator[tuple[str, str | None]]:
    """Limit ids with their subject, the nearest first."""
    if subject is not None and subject in kb.limits:
        yield subject, None
        return
    if subject is not None and subject in kb.checks:
        check = kb.checks[subject]
        if check.limit is not None:
            yield check.limit, check.about
        return
    for one in _with_parts(kb, subject) if subject is not None else (None,):
        for check in kb.checks.values():
            fits = one is None or one == check.about or (one == subject and one in check.also_about)
            if check.limit is not None and fits:
                yield check.limit, None if one is None else check.about


def _with_parts(kb: KnowledgeBase, subject: str) -> list[str]:
    """The subject, then its parts, their parts and so on."""
    wanted = [subject]
    for one in wanted:  # grows while it is walked
        wanted += [s.id for s in kb.subjects.values() if s.part_of == one and s.id not in wanted]
    return wanted


def _for_marked(
    kb: KnowledgeBase, limits: _Asked, value: float, plate: Plate, readings: Readings, *, narrow: bool = True
) -> list[LimitResult]:
    """Limits whose own plate item can have this value; equal windows only once."""
    found: dict[tuple[object, ...], LimitResult] = {}
    for limit, about in limits:
        item = _item_for(kb, limit, value, narrow=narrow)
        result = limit_for(kb, limit.id, {**plate, item: value}, readings, about) if item else None
        if result is not None:
            found.setdefault((result.quantity, result.low, result.high), result)
    return list(found.values())


def _item_for(kb: KnowledgeBase, limit: Limit, value: float, *, narrow: bool) -> str | None:
    """The plate item of the limit's own quantity that can have this value, on such a unit or on any."""
    if any(kb.plate_items[item].up_to for item in limit.needs_plate):
        return None  # one value is no printed range
    for item in limit.needs_plate:
        plate_item = kb.plate_items.get(item)
        if plate_item is None or plate_item.quantity != limit.quantity:
            continue
        span = (limit.ranges.get(item) if narrow else None) or plate_item.plausible
        if span and span[0] <= value <= span[1]:
            return item
    return None


def _names(result: LimitResult, value: float) -> bool:
    """True where a fixed window says roughly the value itself: both ends known, not starting at nothing."""
    return bool(result.low) and result.high is not None and (result.low or 0) <= value <= result.high


def _results(kb: KnowledgeBase, limits: _Asked, plate: Plate, readings: Readings) -> Iterator[LimitResult]:
    for limit, about in limits:
        result = limit_for(kb, limit.id, plate, readings, about)
        if result is not None:
            yield result

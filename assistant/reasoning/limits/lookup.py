"""Finding and calculating limits: by id, by check, by what the technician asks."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import product
from math import isfinite
from types import MappingProxyType

from assistant.physics.errors import OutsideValidity
from knowledge.base import KnowledgeBase
from knowledge.models.limit import Limit

from . import formulas_cooling as _registered  # noqa: F401  # its rules enter FORMULAS on import
from .formulas import FORMULAS, Inputs, Window
from .printed import grid
from .results import LimitResult, figure, rounded

Plate = Mapping[str, float]
Readings = Mapping[str, float | None]
"""Check id -> value in the quantity's canonical unit; None = over limit (open)."""

NO_READINGS: Readings = MappingProxyType({})
NOTHING_GIVEN: Plate = MappingProxyType({})
DISCHARGE = "discharge_time"


def limit_for(
    kb: KnowledgeBase,
    limit_id: str,
    plate: Plate,
    readings: Readings = NO_READINGS,
    about: str | None = None,
    given: Mapping[str, float] = NOTHING_GIVEN,
) -> LimitResult | None:
    """Return the limit for this plate and these readings; None for an unknown id.

    ``given`` are inputs of the formula by its own names, where they do not come from a check.

    Plate values that are not positive numbers count as not read. Where a plate item without a typical value
    is missing the result has no bounds and names it in ``missing``; where a value lies outside what the
    formula holds for, ``problem`` says so.
    """
    limit = kb.limits.get(limit_id)
    if limit is None:
        return None
    items = (*limit.needs_plate, *limit.optional_plate)
    known = {item: plate[item] for item in items if item in plate and _positive(plate[item])}
    typical = tuple(i for i in limit.needs_plate if i not in known and i in limit.defaults)
    missing = tuple(i for i in limit.needs_plate if i not in known and i not in limit.defaults)
    values = {**{item: limit.defaults[item] for item in typical}, **known}
    window, problem = Window(), ""
    corners: list[Window] = []
    try:
        if not missing:
            window = _apply(kb, limit, values, readings, about, given)
            corners = [_apply(kb, limit, v, readings, about, given) for v in _corners(kb, limit, values, typical)]
    except OutsideValidity as err:
        problem = str(err)
    lows = [w.low for w in corners if w.low is not None]
    highs = [w.high for w in corners if w.high is not None]
    return LimitResult(
        id=limit.id,
        name=limit.name,
        quantity=limit.quantity,
        about=about,
        low=_round(window.low),
        high=_round(window.high),
        unit=limit.unit or kb.quantities[limit.quantity].unit,
        shown=limit.shown,
        validity=limit.validity,
        sources=limit.sources,
        typical=typical,
        assumed=tuple(_worded(kb, item, limit.defaults[item]) for item in typical),
        missing=missing,
        warn_low=_round(window.warn_low),
        warn_high=_round(window.warn_high),
        far_high=_round(window.far_high),
        certain_low=_round(min(lows, default=None)),
        certain_high=_round(max(highs, default=None)),
        problem=problem,
        meter_pct=limit.meter_pct if window.meter_pct is None else window.meter_pct,
        meter_abs=limit.meter_abs,
        condemns=limit.condemns,
        open_condemns=limit.open_condemns,
        says=limit.says,
    )


def limit_for_check(
    kb: KnowledgeBase, check_id: str, plate: Plate, readings: Readings = NO_READINGS
) -> LimitResult | None:
    """Return the limit of a check, about the check's subject; None where it has none or is unknown."""
    check = kb.checks.get(check_id)
    if check is None or check.limit is None:
        return None
    return limit_for(kb, check.limit, plate, readings, check.about)


def hold_seconds(kb: KnowledgeBase, plate: Plate) -> float:
    """Return how long to hold the discharge resistor, in s, rounded up; worst case for an unread plate."""
    result = limit_for(kb, DISCHARGE, plate)
    if result is None or result.low is None:
        raise KeyError(f"knowledge has no usable limit {DISCHARGE!r}")
    return float(-(-result.low // 1))


def _apply(
    kb: KnowledgeBase,
    limit: Limit,
    values: Plate,
    readings: Readings,
    about: str | None,
    given: Mapping[str, float],
) -> Window:
    inputs = {
        name: next(readings[c] for c in checks if c in readings)
        for name, checks in limit.uses.items()
        if any(c in readings for c in checks)
    }
    printed = kb.tables[limit.table] if limit.table else None
    return FORMULAS[limit.formula].rule(
        Inputs(
            limit.constants,
            values,
            limit.needs_plate,
            limit.optional_plate,
            {**inputs, **given},
            about,
            grid(printed) if printed else None,
            (printed.row, printed.column) if printed else ("", ""),
        )
    )


def _corners(kb: KnowledgeBase, limit: Limit, values: Plate, typical: tuple[str, ...]) -> Iterator[dict[str, float]]:
    """Plate values at the ends of what the unknown items can be; none where all are known."""
    ends = [limit.ranges.get(i) or kb.plate_items[i].plausible or (limit.defaults[i],) for i in typical]
    for corner in product(*ends) if typical else ():
        yield {**values, **dict(zip(typical, corner, strict=True))}


def _worded(kb: KnowledgeBase, item: str, value: float) -> str:
    plate_item = kb.plate_items.get(item)
    if plate_item is None or plate_item.quantity is None:
        return f"{item} {value:g}"
    return f"{plate_item.name} {figure(value, kb.quantities[plate_item.quantity].unit)}"


def _positive(value: float) -> bool:
    return isfinite(value) and value > 0


def _round(value: float | None) -> float | None:
    return None if value is None else rounded(value)

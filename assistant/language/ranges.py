"""What else a doubtful value can have been: another prefix, a shifted point, a teen heard for a ten."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from .numbers import Number
from .plausibility import Span, plausible, usual
from .predicates import canonical_unit
from .vocabulary import UnitMeaning
from .work import Work

_SHIFTS = (0.1, 0.01, 0.001, 10.0, 100.0, 1000.0)
"""A point missed or put in the wrong place."""
_MOST_OPTIONS = 3


@dataclass(frozen=True, slots=True)
class Variant:
    """One way to read a value."""

    about: str
    unit: UnitMeaning
    value: float | None
    """In the canonical unit; None for over limit."""
    high: float | None = None
    over_limit: bool = False

    @property
    def quantity(self) -> str:
        return self.unit.quantity.id


def other_readings(work: Work, variant: Variant, *, unit_said: bool) -> tuple[Variant, ...]:
    """Return what an implausible value probably was, most likely first: the usual before the merely possible."""
    if variant.value is None:
        return ()
    kb = work.kb
    span = plausible(kb, variant.about, variant.quantity, work.context.asked)
    window = usual(kb, variant.about, variant.quantity, work.context.plate)
    changed = [replace(variant, value=float(f"{abs(variant.value):.10g}"))] if variant.value < 0 else []
    if unit_said:
        raw = (variant.value - variant.unit.unit.offset) / variant.unit.unit.factor
        quantity, said = variant.unit.quantity, variant.unit.unit
        others = [UnitMeaning(quantity, unit) for unit in quantity.units if unit != said]
        changed += [replace(variant, unit=unit, value=unit.canonical(raw)) for unit in others]
    changed += [replace(variant, value=float(f"{variant.value * shift:.10g}")) for shift in _SHIFTS]
    possible = [other for other in changed if other.value is not None and span.holds(other.value)]
    usual_ones = [other for other in possible if window is not None and window.holds(other.value or 0.0)]
    printed = [other for other in possible if _can_be_printed(work, other)]
    return tuple(replace(other, high=None) for other in (usual_ones or printed or possible)[:_MOST_OPTIONS])


def _can_be_printed(work: Work, variant: Variant) -> bool:
    """True where a part of this kind can be rated about so."""
    return any(
        item.subject == variant.about
        and item.quantity == variant.quantity
        and item.plausible
        and Span(*item.plausible).holds(variant.value or 0.0)
        for item in work.kb.plate_items.values()
    )


def other_units(work: Work, variant: Variant) -> list[Variant]:
    """Return the variants where no unit was said and the meter may have stood on another range.

    Only for quantities read on ranges far apart (ohms), and only where the plain value is not what a sound
    unit reads: 0.9 may be 0.9 or 0.9 kilo-ohm.
    """
    quantity = variant.unit.quantity
    window = usual(work.kb, variant.about, quantity.id, work.context.plate)
    if not quantity.over_limit or not variant.value or window is None or window.holds(variant.value):
        return [variant]
    larger = [UnitMeaning(quantity, unit) for unit in quantity.units if unit.factor > 1]
    plain = canonical_unit(quantity)
    span = plausible(work.kb, variant.about, quantity.id, work.context.asked)
    variants = [replace(variant, unit=unit, value=unit.canonical(variant.value)) for unit in (plain, *larger)]
    return [other for other in variants if other.value is not None and span.holds(other.value)] or [variant]


def other_section(work: Work, variant: Variant) -> list[Variant]:
    """Return both sections where a reading is above its own print and nearer to the print of its sister."""
    kb, plate = work.kb, work.context.plate
    whole = kb.subjects[variant.about].part_of
    printed = {
        item.subject: plate[item.id]
        for item in kb.plate_items.values()
        if item.subject and item.quantity == variant.quantity and plate.get(item.id, 0.0) > 0
    }
    own = printed.pop(variant.about, None)
    if own is None or whole is None or variant.value is None or variant.value <= own:
        return [variant]
    away = math.log(variant.value / own)
    nearer = [
        subject
        for subject, value in printed.items()
        if kb.subjects[subject].part_of == whole and abs(math.log(variant.value / value)) < away
    ]
    return [variant, *(replace(variant, about=subject) for subject in nearer)]


def doubted_by_ear(work: Work, variant: Variant, number: Number) -> tuple[list[Variant], bool]:
    """Return what a teen or ten that was heard can have been, and whether it must be read back as doubtful.

    One value where only one can be read here, or where both say the same of the unit; both where the ear alone
    would decide between good and bad.
    """
    if number.misheard is None or variant.value is None:
        return [variant], False
    swapped = replace(variant, value=variant.unit.canonical(number.misheard))
    span = plausible(work.kb, variant.about, variant.quantity, work.context.asked)
    if swapped.value is None or not span.holds(swapped.value):
        return [variant], True
    if not span.holds(variant.value):
        return [swapped], True
    window = usual(work.kb, variant.about, variant.quantity, work.context.plate)
    if window is not None and window.holds(variant.value):
        away = window.distance(swapped.value)
        if away == 0 or away > window.width:  # both are fine, or the other is nothing this circuit can give
            return [variant], True
    return [variant, swapped], False

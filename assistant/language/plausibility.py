"""Which values can be read where: plausible ranges, usual windows, and the plate of this unit."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import NamedTuple

from knowledge.base import KnowledgeBase
from knowledge.models.limit import Limit

from .models import Asked


class Span(NamedTuple):
    """A closed range in a quantity's canonical unit."""

    low: float
    high: float

    def holds(self, value: float) -> bool:
        return self.low <= value <= self.high

    @property
    def width(self) -> float:
        return self.high - self.low

    def distance(self, value: float) -> float:
        """How far outside a value lies; 0 inside."""
        return max(self.low - value, value - self.high, 0.0)


def plausible(kb: KnowledgeBase, about: str | None, quantity: str, asked: Asked | None) -> Span:
    """Return the narrowest range known for this reading: of the question, of the checks, of the quantity."""
    if asked is not None and asked.plausible and asked.quantity == quantity and asked.about == about:
        return Span(*asked.plausible)
    ranges = [check.plausible for check in kb.checks_about.get((about or "", quantity), ()) if check.plausible]
    if ranges:
        return Span(min(low for low, _ in ranges), max(high for _, high in ranges))
    return Span(*kb.quantities[quantity].plausible)


def usual(kb: KnowledgeBase, about: str | None, quantity: str, plate: Mapping[str, float]) -> Span | None:
    """Return the window a sound unit reads here, where a check's limit gives one without further readings."""
    for check in kb.checks_about.get((about or "", quantity), ()):
        limit = kb.limits.get(check.limit or "")
        if limit is not None:
            return _window(limit, plate)
    return None


def nearest_plate(
    kb: KnowledgeBase, candidates: tuple[str, ...], quantity: str, value: float, plate: Mapping[str, float]
) -> tuple[str, ...]:
    """Return the candidates whose printed value the reading is nearest to; without a plate those it could be of."""
    if value <= 0:
        return candidates
    items = {
        candidate: item
        for candidate in candidates
        for item in kb.plate_items.values()
        if item.subject == candidate and item.quantity == quantity
    }
    if not items:
        return candidates
    printed = {candidate: plate[item.id] for candidate, item in items.items() if plate.get(item.id, 0) > 0}
    if len(printed) == len(items):
        nearest = min(printed, key=lambda candidate: abs(math.log(value / printed[candidate])))
        return (nearest,)
    can_be = tuple(c for c, item in items.items() if item.plausible is None or Span(*item.plausible).holds(value))
    return can_be or candidates


def _window(limit: Limit, plate: Mapping[str, float]) -> Span | None:
    """Return low and high of a limit that needs only constants and plate values."""
    constants = limit.constants
    if not limit.needs_plate:
        low = next((value for key, value in constants.items() if key.startswith("low_")), -math.inf)
        high = next((value for key, value in constants.items() if key.startswith("high_")), math.inf)
        return None if math.isinf(low) and math.isinf(high) else Span(low, high)
    printed = plate.get(limit.needs_plate[0], limit.defaults.get(limit.needs_plate[0]))
    if printed is None:
        return None
    spread = constants.get("tolerance_pct")
    low_pct, high_pct = constants.get("low_pct", spread), constants.get("high_pct", spread)
    if high_pct is None:
        return None
    if high_pct >= 100:  # a motor's limit is given as percent of the plate, a window's as percent around it
        return Span(0.0, printed * high_pct / 100)
    return Span(printed * (1 - (low_pct or 0.0) / 100), printed * (1 + high_pct / 100))

"""Numbers as a technician reads them: unit beside, no false decimals."""

from __future__ import annotations

from assistant.reasoning.limits import figure
from knowledge import KnowledgeBase

from .quantities import System, shown

OVER_LIMIT = "OL"


def number(value: float) -> str:
    """Return a plain number with four significant digits and no trailing zeros."""
    return figure(value, "")


def amount(
    kb: KnowledgeBase, quantity: str, value: float | None, *, over_limit: bool = False, system: System = "us"
) -> str:
    """Return value and unit of a quantity as read off a meter, in this technician's unit; "OL" for over limit."""
    if over_limit or value is None:
        return OVER_LIMIT
    return shown(kb, quantity, value, system)


def moved(kb: KnowledgeBase, quantity: str, then: float, now: float, system: System = "us") -> str:
    """Return how far a value moved: ``-2.3 µF (-5 %)``; a temperature by its degrees alone, as its zero is no zero."""
    degrees = quantity in _DEGREES
    change = amount(kb, "temperature_difference" if degrees else quantity, abs(now - then), system=system)
    sign = "-" if now < then else "+"
    share = "" if degrees or then <= 0 else f" ({100 * (now / then - 1):+.0f} %)"
    return f"{sign}{change}{share}"


_DEGREES = frozenset({"temperature", "temperature_difference"})

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

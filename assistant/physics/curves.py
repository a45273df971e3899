"""Tables with two columns, read by straight lines between their rows."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from .errors import OutsideValidity, within

Curve = Sequence[tuple[float, float]]
"""(x, y) by rising x."""


def on_curve(curve: Curve, x: float, what: str, unit: str) -> float:
    """Return y at x by a straight line between the two rows around it; nothing beyond the first and last row.

    ``what`` and ``unit`` name x in the refusal. At least two rows, x rising, x inside. Source: derived.
    """
    if len(curve) < 2 or any(low[0] >= high[0] for low, high in pairwise(curve)):
        raise OutsideValidity(f"table of {what}: must have at least 2 rows in rising order")
    within(what, x, curve[0][0], curve[-1][0], unit)
    low, high = next((low, high) for low, high in pairwise(curve) if x <= high[0])
    return low[1] + (high[1] - low[1]) * (x - low[0]) / (high[0] - low[0])

"""Errors of the physics package.

PhysicsError (a ValueError)
  +-- OutsideValidity   an input the formula does not hold for; the message names the range
        +-- NoValidTest   every input is right, and there is no valid test then; the message says what to do instead
"""

from __future__ import annotations

from math import inf, isfinite


class PhysicsError(ValueError):
    """Root of everything the physics package raises."""


class OutsideValidity(PhysicsError):  # noqa: N818  # says what it is
    """An input lies outside the range a formula holds for."""


class NoValidTest(OutsideValidity):
    """The table has a dash there: measuring again changes nothing."""


def within(what: str, value: float, low: float, high: float, unit: str) -> float:
    """Return ``value`` if low <= value <= high, else raise OutsideValidity naming both ends."""
    if not (isfinite(value) and low <= value <= high):
        raise OutsideValidity(f"{what} {value:g} {unit}: must be {_span(low, high)} {unit}".rstrip())
    return value


def above(what: str, value: float, low: float, unit: str) -> float:
    """Return ``value`` if it is finite and greater than ``low``, else raise OutsideValidity."""
    if not (isfinite(value) and value > low):
        raise OutsideValidity(f"{what} {value:g} {unit}: must be above {low:g} {unit}")
    return value


def _span(low: float, high: float) -> str:
    return f"at least {low:g}" if high == inf else f"{low:g} to {high:g}"

"""What the errors of the instruments make of a result."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from math import hypot, inf, nan

from .errors import OutsideValidity, within


def instrument_error(reading: float, error_abs: float, error_pct: float) -> float:
    """Return the largest error of a reading, in its unit: a fixed part and a percentage of the reading.

    Valid for parts that are not negative. Source: derived.
    """
    within("fixed error", error_abs, 0, inf, "")
    within("error", error_pct, 0, inf, "%")
    return error_abs + abs(reading) * error_pct / 100


def combined_error(*parts: float) -> float:
    """Return independent errors together, in their unit: the root of the sum of their squares.

    Independent limits of error are unlikely to be reached at once, so they are not added up. Valid for
    errors of one unit, none negative. Source: gum.
    """
    return hypot(*(within("error", part, 0, inf, "") for part in parts))


def carried_errors(
    function: Callable[[Mapping[str, float]], float], values: Mapping[str, float], errors: Mapping[str, float]
) -> dict[str, float]:
    """Return, for each input with an error, what that error makes of the result, in the result's unit.

    Half the span between the results at value plus and minus error, so that curvature counts. Where one of
    the two lies outside the function's validity the other side counts twice; where both do, OutsideValidity
    is raised. Source: gum.
    """
    centre = function(values)
    carried: dict[str, float] = {}
    for name, error in errors.items():
        if error == 0 or name not in values:
            continue
        up, down = (_moved(function, values, name, sign * error) for sign in (1, -1))
        ends = [end for end in (up, down) if end == end]  # noqa: PLR0124  # not a number: outside validity
        if not ends:
            raise OutsideValidity(f"{name} {values[name]:g}: its error {error:g} is as wide as the formula's validity")
        carried[name] = abs(up - down) / 2 if len(ends) == 2 else abs(ends[0] - centre)
    return carried


def _moved(
    function: Callable[[Mapping[str, float]], float], values: Mapping[str, float], name: str, by: float
) -> float:
    try:
        return function({**values, name: values[name] + by})
    except OutsideValidity:
        return nan

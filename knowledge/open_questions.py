"""What is still worth asking about how a unit is built: only what changes the next step.

The technician is asked nothing up front. What was not told is taken as it is most often built, and an option is asked
right before the first step that its answer would change: a check that would not be there, or would not mean the same;
a repair that another way of building it would call into doubt; the end of a search that found nothing. So every check
that is asked for holds for all the ways of building that are left.
"""

from __future__ import annotations

from collections.abc import Iterator

from .models.check import Amps, Check, Microfarad, Ohms, Volts
from .models.unit import Option, UnitKind
from .unit_parts import every_element
from .variants import usual


def depends(check: Check, option: Option, unit: UnitKind) -> bool:
    """Return True where the check is not there, or not the same, with every choice of the option."""
    if _is_named((*check.only_with, *check.not_with, *check.wordings), option):
        return True
    return bool(set(_measured(check, unit)) & set(_moved(option)))


def brings_parts(option: Option) -> bool:
    """Return True where another choice than the usual one brings parts whose faults are not thought of until then.

    A wire instead of a part brings nothing new.
    """
    others = (choice for choice in option.choices if choice is not usual(option))
    return any(element.kind != "wire" for choice in others for element in choice.elements)


def _is_named(conditions: tuple[str, ...], option: Option) -> bool:
    return any(condition.partition(".")[0] == option.id for condition in conditions)


def _moved(option: Option) -> Iterator[str]:
    """Elements that some choice takes out, brings, or changes."""
    for choice in option.choices:
        yield from choice.without
        yield from (element.id for element in choice.elements)
        yield from (change.element for change in choice.changes)


def _measured(check: Check, unit: UnitKind) -> Iterator[str]:
    """Elements that the check is a measurement of: clamped, or between its two points."""
    measure = check.measure
    if isinstance(measure, Amps):
        yield measure.through
    elif isinstance(measure, Microfarad):
        yield measure.of
    elif isinstance(measure, Volts | Ohms):
        ends = set(measure.between)
        yield from (element.id for element in every_element(unit) if {element.a, element.b} == ends)

"""What is still worth asking about how a unit is built: only what changes a check or a suspect."""

from __future__ import annotations

from collections.abc import Iterator

from .base import KnowledgeBase
from .models.check import Amps, Check, Microfarad, Ohms, Volts
from .models.fault import Fault
from .models.unit import Option, UnitKind
from .unit_parts import every_element
from .variants import Configuration


def questions(kb: KnowledgeBase, known: Configuration) -> tuple[tuple[Option, int], ...]:
    """Return the open options with how many checks and faults hang on each, most first; ``kb`` whole or narrowed."""
    unit = kb.units[known.kind]
    counted = []
    for option in known.open_options(unit):
        checks = sum(depends(check, option, unit) for check in kb.checks.values())
        faults = sum(_fault_depends(fault, option) for fault in kb.faults.values())
        counted.append((option, checks + faults))
    return tuple(sorted((pair for pair in counted if pair[1]), key=lambda pair: -pair[1]))


def valid_checks(kb: KnowledgeBase, known: Configuration) -> frozenset[str]:
    """Return the checks that mean the same however the open options turn out."""
    unit = kb.units[known.kind]
    left = known.open_options(unit)
    return frozenset(c.id for c in kb.checks.values() if not any(depends(c, option, unit) for option in left))


def depends(check: Check, option: Option, unit: UnitKind) -> bool:
    """Return True where the check is not there, or not the same, with every choice of the option."""
    if _is_named((*check.only_with, *check.not_with, *check.wordings), option):
        return True
    return bool(set(_measured(check, unit)) & set(_moved(option)))


def _fault_depends(fault: Fault, option: Option) -> bool:
    named = _is_named((*fault.only_with, *fault.not_with, *fault.wordings), option)
    return named or bool({change.element for change in fault.sets} & set(_moved(option)))


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

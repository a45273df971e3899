"""Everything that a unit of a kind may be made of, over all its options: what other entries may name."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from .models.unit import Choice, Consequence, Element, UnitKind

if TYPE_CHECKING:
    from .base import KnowledgeBase


def every_choice(unit: UnitKind) -> Iterator[Choice]:
    for option in unit.options:
        yield from option.choices


def every_element(unit: UnitKind) -> tuple[Element, ...]:
    return (*unit.elements, *(element for choice in every_choice(unit) for element in choice.elements))


def every_node(unit: UnitKind) -> frozenset[str]:
    return frozenset(unit.nodes).union(*(choice.nodes for choice in every_choice(unit)))


def every_consequence(unit: UnitKind) -> tuple[Consequence, ...]:
    return (*unit.consequences, *(effect for choice in every_choice(unit) for effect in choice.consequences))


def every_part(unit: UnitKind, target: str) -> frozenset[str]:
    """Return the ids of one sort of thing: ``node``, ``element``, ``coil``, ``motor``, ``situation``."""
    elements = every_element(unit)
    match target:
        case "node":
            return every_node(unit)
        case "element":
            return frozenset(element.id for element in elements)
        case "coil":
            return frozenset(element.id for element in elements if element.kind == "coil")
        case "motor":
            return frozenset(element.motor for element in elements if element.motor)
        case _:
            return frozenset(situation.id for situation in unit.situations)


def holders(kb: KnowledgeBase, target: str, value: str) -> tuple[str, ...]:
    """Return the kinds of unit that may have a thing; all kinds where none has it, so that each is told."""
    found = tuple(name for name, unit in kb.units.items() if value in every_part(unit, target))
    return found or tuple(kb.units)


def conditions(kb: KnowledgeBase) -> frozenset[str]:
    """Return all that ``only_with``, ``not_with`` and ``wordings`` may name."""
    made = {
        f"{option.id}.{choice.id}" for unit in kb.units.values() for option in unit.options for choice in option.choices
    }
    return frozenset({*made, *(f"kind.{unit}" for unit in kb.units)})

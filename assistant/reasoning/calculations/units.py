"""Amounts in the technician's own unit, turned into the canonical one."""

from __future__ import annotations

from dataclasses import dataclass

from assistant.physics.errors import PhysicsError
from knowledge.base import KnowledgeBase
from knowledge.models.quantity import UnitWord


@dataclass(frozen=True, slots=True)
class Amount:
    """A number with the symbol of its unit: ``Amount(814, "kPa")``."""

    value: float
    unit: str
    error: float | None = None
    """Largest error of the instrument it was read with, in the same unit; None: the usual one's."""


def canonical(kb: KnowledgeBase, quantity: str, amount: Amount | float) -> float:
    """Return an amount in the quantity's canonical unit; a bare number is in it already.

    Raises PhysicsError, naming the units there are, for a unit that the quantity does not have.
    """
    if not isinstance(amount, Amount):
        return float(amount)
    unit = _unit(kb, quantity, amount.unit)
    return amount.value * unit.factor + unit.offset


def canonical_error(kb: KnowledgeBase, quantity: str, amount: Amount | float) -> float | None:
    """Return the error that an amount carries, in the canonical unit; None where it carries none."""
    if not isinstance(amount, Amount) or amount.error is None:
        return None
    return abs(amount.error) * _unit(kb, quantity, amount.unit).factor


def _unit(kb: KnowledgeBase, quantity: str, symbol: str) -> UnitWord:
    known = kb.quantities[quantity]
    found = next((unit for unit in known.units if unit.symbol == symbol), None)
    if found is None:
        raise PhysicsError(f"{known.name} in {symbol}: use one of {', '.join(unit.symbol for unit in known.units)}")
    return found

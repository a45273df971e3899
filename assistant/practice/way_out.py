"""The way that the physics gives where the program itself does not repair a unit: what confirms each fault, the repair.

Nothing is guessed: the checks are those that read wrong on this very unit as the fault predicts, free of errors.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from assistant.reasoning.choice import Standing, minutes_for
from assistant.reasoning.confirming import confirms
from assistant.reasoning.likelihood import Likelihood
from assistant.reasoning.tables import Tables
from knowledge.models.check import Check, Residual
from knowledge.models.entry import PowerNeed

from .field_unit import FieldUnit


@dataclass(frozen=True)
class WayOut:
    """One fault: what confirms it, with the reading of this unit, and what it takes."""

    fault: str
    check: str | None
    """None where no check on the part reads wrong: the fault shows by nothing but its absence after the repair."""
    repair: str
    minutes: float


def way_out(tables: Tables, unit: FieldUnit, plate: dict[str, float]) -> tuple[WayOut, ...]:
    """Return the way through every fault of a unit, the quickest confirming check of each. Repairs the unit."""
    return tuple(_ways(tables, unit, plate))


def _ways(tables: Tables, unit: FieldUnit, plate: dict[str, float]) -> Iterator[WayOut]:
    kb, likelihood = tables.kb, Likelihood(tables, plate)
    standing = Standing(PowerNeed.ANY, None)
    for name in unit.row.faults:
        repair = kb.repairs[kb.faults[name].repair]

        def confirming(check: Check, fault: str = name) -> bool:
            return confirms(tables, likelihood, unit.answer(check), (fault,)) > 0

        listed = [kb.checks[one] for one in repair.confirm if one in kb.checks]
        taken = [one for one in listed if not isinstance(one.measure, Residual)]
        taken.sort(key=lambda check: minutes_for(check, standing, kb.reasoning.costs))
        found = next(filter(confirming, taken), None)
        spent = minutes_for(found, standing, kb.reasoning.costs) if found is not None else 0.0
        yield WayOut(name, found.id if found is not None else None, repair.id, spent + repair.minutes)
        unit.repair(repair.id)

"""Which check tells most about the repair that is needed, for its minutes; and what a repair now would cost."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from knowledge.models.check import Check
from knowledge.models.entry import PowerNeed
from knowledge.models.reasoning import Costs
from knowledge.models.repair import Repair

from .circuit import Floats
from .tables import Tables


@dataclass(frozen=True)
class Standing:
    """Where the technician stands: the unit's power and the set-up group of the last check."""

    power: PowerNeed
    setup: str | None


def minutes_for(check: Check, standing: Standing, costs: Costs) -> float:
    """Return the minutes of a check from where the technician stands: walk, power change, the check itself, risk."""
    minutes = check.minutes + costs.care[check.needs]
    if check.setup != standing.setup:
        minutes += costs.setup.get(check.setup, 0.0)
    if check.needs is not PowerNeed.ANY and check.needs is not standing.power:
        already_safer = check.needs is PowerNeed.DEAD and standing.power is PowerNeed.DISCHARGED
        minutes += 0.0 if already_safer else costs.power[check.needs]
    return minutes


def _entropy_terms(joint: Floats) -> Floats:
    safe = np.maximum(joint, 1e-30)
    terms: Floats = joint * np.log2(safe)
    return terms


def information(tables: Tables, belief: Floats) -> dict[str, float]:
    """Return the expected bits each check tells about which repair is needed (mutual information, never negative)."""
    joint = tables.outcomes.by_class(belief)
    per_column = _entropy_terms(joint).sum(axis=0) - _entropy_terms(joint.sum(axis=0))
    prior = -_entropy_terms(tables.classes @ belief).sum()
    return {name: max(0.0, float(per_column[span].sum() + prior)) for name, span in tables.outcomes.span.items()}


def repair_minutes(repair: Repair, costs: Costs) -> float:
    """Return time and money of a repair as minutes, with the restart that shows whether it cured."""
    return repair.minutes + costs.price[repair.price] + costs.return_visit


def expected_cost(tables: Tables, belief: Floats) -> float:
    """Return the minutes until cured when repairs are simply done in order of probability per cost."""
    needed = (tables.classes @ belief)[: len(tables.repair_ids)]
    cost = np.array([repair_minutes(repair, tables.kb.reasoning.costs) for repair in tables.kb.repairs.values()])
    order = np.argsort(-needed / cost)
    left = 1.0 - np.concatenate([[0.0], np.cumsum(needed[order])])
    return float(cost[order] @ left[:-1] + left[-1] * tables.kb.reasoning.costs.refer)


def may_change(tables: Tables, belief: Floats, check: str, needed: Floats, floor: float, least: float) -> bool:
    """Return True where an outcome of at least probability ``least`` takes a repair (H,) below its floor."""
    columns = tables.outcomes.probability[:, tables.outcomes.span[check]].astype(np.float64)
    chance = belief @ columns
    after = (belief * needed) @ columns / np.maximum(chance, 1e-30)
    return bool(((chance >= least) & (after < floor)).any())


def cost_after(tables: Tables, belief: Floats, check: str) -> float:
    """Return the expected cost of repairing right after a check."""
    columns = tables.outcomes.probability[:, tables.outcomes.span[check]].astype(np.float64)
    chance = belief @ columns
    total = 0.0
    for k in np.flatnonzero(chance > 1e-6):
        total += chance[k] * expected_cost(tables, belief * columns[:, k] / chance[k])
    return float(total)

"""Which check tells most about the repair that is needed, for its minutes; and what a repair now would cost."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from knowledge.models.check import Check
from knowledge.models.entry import PowerNeed
from knowledge.models.reasoning import Costs
from knowledge.models.repair import Repair

from .circuit import Floats, Ints
from .outcomes import Outcomes


class Rates(Protocol):
    """Where the costs stand: the reasoning settings."""

    @property
    def costs(self) -> Costs: ...


class Prices(Protocol):
    """What the choice asks of the knowledge."""

    @property
    def repairs(self) -> Mapping[str, Repair]: ...

    @property
    def reasoning(self) -> Rates: ...


class Planned(Protocol):
    """What the choice needs of the tables: it decides the same on every problem of this form."""

    @property
    def kb(self) -> Prices: ...

    @property
    def repair_ids(self) -> tuple[str, ...]: ...

    @property
    def classes(self) -> Floats: ...

    @property
    def outcomes(self) -> Outcomes: ...


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


def information(tables: Planned, belief: Floats) -> dict[str, float]:
    """Return the expected bits each check tells about which repair is needed (mutual information, never negative)."""
    joint = tables.outcomes.by_class(belief)
    per_column = _entropy_terms(joint).sum(axis=0) - _entropy_terms(joint.sum(axis=0))
    prior = -_entropy_terms(tables.classes @ belief).sum()
    return {name: max(0.0, float(per_column[span].sum() + prior)) for name, span in tables.outcomes.span.items()}


def by_bits_per_minute(bits: Mapping[str, float], minutes: Callable[[str], float]) -> list[str]:
    """Return the checks, the one first that tells most per minute; equals in the order of their names."""
    return sorted(bits, key=lambda name: (-bits[name] / minutes(name), name))


def saving(tables: Planned, belief: Floats, check: str, minutes: float) -> float:
    """Return how many minutes cheaper it is to do a check and repair after it than to repair now; may be negative."""
    return expected_cost(tables, belief) - minutes - cost_after(tables, belief, check)


def repair_order(tables: Planned, belief: Floats) -> list[str]:
    """Return the repairs in order of probability per cost, which is the cheapest order while one fault is there."""
    return [tables.repair_ids[r] for r in _order(tables, belief)[2]]


def _order(tables: Planned, belief: Floats) -> tuple[Floats, Floats, Ints]:
    """Return (R,) probability that each repair is needed, (R,) its cost in minutes, and the order by their ratio."""
    needed = (tables.classes @ belief)[: len(tables.repair_ids)]
    costs = tables.kb.reasoning.costs
    cost = np.array([repair_minutes(tables.kb.repairs[name], costs) for name in tables.repair_ids])
    return needed, cost, np.argsort(-needed / cost, kind="stable")


def repair_minutes(repair: Repair, costs: Costs) -> float:
    """Return time and money of a repair as minutes, with the restart that shows whether it cured."""
    return repair.minutes + costs.price[repair.price] + costs.return_visit


def expected_cost(tables: Planned, belief: Floats) -> float:
    """Return the minutes until cured when repairs are done in order of probability per cost, and where to leave off.

    At any point the job may be handed on at the price of referring it: nobody tries every repair on a unit that is
    probably well or has something unknown.
    """
    needed, cost, order = _order(tables, belief)
    left = 1.0 - np.concatenate([[0.0], np.cumsum(needed[order])])
    tried = np.concatenate([[0.0], np.cumsum(cost[order] * left[:-1])])
    return float((tried + left * tables.kb.reasoning.costs.refer).min())


def may_change(tables: Planned, belief: Floats, check: str, needed: Floats, floor: float, least: float) -> bool:
    """Return True where an outcome of at least probability ``least`` takes a repair (H,) below its floor."""
    columns = tables.outcomes.probability[:, tables.outcomes.span[check]].astype(np.float64)
    chance = belief @ columns
    after = (belief * needed) @ columns / np.maximum(chance, 1e-30)
    return bool(((chance >= least) & (after < floor)).any())


def cost_after(tables: Planned, belief: Floats, check: str) -> float:
    """Return the expected cost of repairing right after a check."""
    columns = tables.outcomes.probability[:, tables.outcomes.span[check]].astype(np.float64)
    chance = belief @ columns
    total = 0.0
    for k in np.flatnonzero(chance > 1e-6):
        total += chance[k] * expected_cost(tables, belief * columns[:, k] / chance[k])
    return float(total)

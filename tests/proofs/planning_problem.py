"""Small problems in the form that the choice works on: one fault of a few, noisy checks, repairs with their costs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from assistant.reasoning.choice import Standing, minutes_for, repair_minutes
from assistant.reasoning.circuit import Floats
from assistant.reasoning.outcomes import Outcomes
from assistant.reasoning.tables import HEALTHY, Tables
from knowledge.models.entry import PowerNeed
from knowledge.models.reasoning import Costs
from knowledge.models.repair import Repair

NEVER = 1e6
"""Minutes that referring the job costs here: nobody does, as one of the faults is surely there."""


@dataclass(frozen=True)
class Rates:
    costs: Costs


@dataclass(frozen=True)
class Prices:
    repairs: Mapping[str, Repair]
    reasoning: Rates


@dataclass(frozen=True)
class Problem:
    """What ``assistant.reasoning.choice`` asks of the tables, and the minutes of each check."""

    kb: Prices
    repair_ids: tuple[str, ...]
    classes: Floats
    outcomes: Outcomes
    prior: Floats
    minutes: Mapping[str, float]

    @property
    def cost(self) -> Floats:
        """(R,) minutes of each repair with the restart that shows whether it cured."""
        return np.array([repair_minutes(self.kb.repairs[name], self.kb.reasoning.costs) for name in self.repair_ids])

    def given(self, check: str) -> Floats:
        """(H, outcomes) probabilities of what the check shows."""
        return self.outcomes.probability[:, self.outcomes.span[check]].astype(np.float64)


def outcomes_of(blocks: Mapping[str, Floats], classes: Floats) -> Outcomes:
    """Return outcomes as the tables hold them, from (H, outcomes) probabilities by check."""
    span, at = {}, 0
    for name, block in blocks.items():
        span[name] = slice(at, at + block.shape[1])
        at += block.shape[1]
    kind, row = np.nonzero(classes)
    share, start = classes[kind, row].astype(np.float32), np.flatnonzero(np.diff(kind, prepend=-1))
    return Outcomes(np.concatenate(list(blocks.values()), axis=1).astype(np.float32), span, row, share, start)


def drawn_problem(tables: Tables, rng: np.random.Generator, faults: int = 8, checks: int = 10) -> Problem:
    """Return faults with repairs of their own and telling checks, drawn from the unit; a check shows good or not."""
    names = _faults(tables, rng, faults)
    rows = [tables.row_of[(name,)] for name in names]
    odd = {name: _chance_of_odd(tables, name)[rows] for name in tables.checks}
    telling = [name for name, p in odd.items() if p.max() - p.min() > 0.3]
    chosen = [str(name) for name in rng.choice(telling, size=checks, replace=False)]
    repairs = {tables.kb.faults[name].repair: tables.kb.repairs[tables.kb.faults[name].repair] for name in names}
    costs = tables.kb.reasoning.costs.model_copy(update={"refer": NEVER})
    classes = np.concatenate([np.eye(faults), np.zeros((2, faults))])
    blocks = {name: np.stack([1.0 - odd[name], odd[name]], axis=1) for name in chosen}
    prior = np.array([tables.kb.faults[name].prior for name in names])
    standing = Standing(PowerNeed.ANY, None)
    minutes = {name: minutes_for(tables.checks[name], standing, costs) for name in chosen}
    prices, outcomes = Prices(repairs, Rates(costs)), outcomes_of(blocks, classes)
    return Problem(prices, tuple(repairs), classes, outcomes, prior / prior.sum(), minutes)


def _faults(tables: Tables, rng: np.random.Generator, count: int) -> Sequence[str]:
    weight = np.array([fault.prior for fault in tables.kb.faults.values()])
    order = rng.choice(list(tables.kb.faults), size=len(weight), replace=False, p=weight / weight.sum())
    found: dict[str, str] = {}
    for name in map(str, order):
        found.setdefault(tables.kb.faults[name].repair, name)
    return list(found.values())[:count]


def _chance_of_odd(tables: Tables, check: str) -> Floats:
    """Return (H,) probability that a check does not show what a good unit most probably shows."""
    block = tables.outcomes.probability[:, tables.outcomes.span[check]].astype(np.float64)
    return np.clip(1.0 - block[:, int(np.argmax(block[HEALTHY]))], 0.01, 0.99)

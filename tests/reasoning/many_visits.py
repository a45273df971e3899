"""Seeded visits to units that are not the model, and what came of them together."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

import numpy as np

from assistant.reasoning.hypotheses import Row, compatible
from assistant.reasoning.tables import Tables

from .field_visit import Policy, Visit, ask_the_diagnosis, run_visit
from .simulated_unit import FieldUnit, drawn_unit

BREAKER_FIRST = 0.35
FREQUENCY_SPREAD = 0.5
"""How far the field's fault frequencies lie from the priors, standard deviation of the natural logarithm."""


@dataclass(frozen=True)
class Result:
    """Averages over visits."""

    visits: tuple[Visit, ...]

    @property
    def fixed(self) -> float:
        return _share(v.fixed for v in self.visits)

    @property
    def needless(self) -> float:
        """Repairs done in vain per visit. Washing a coil that looks matted counts too."""
        return sum(len(v.needless) for v in self.visits) / len(self.visits)

    @property
    def cannot_tell(self) -> float:
        return _share(v.end not in {"repaired", "NoFault"} for v in self.visits)

    @property
    def confidently_wrong(self) -> float:
        """Share of visits with at least one repair in vain."""
        return _share(bool(v.needless) for v in self.visits)

    @property
    def minutes(self) -> float:
        return sum(v.minutes for v in self.visits) / len(self.visits)

    @property
    def checks(self) -> float:
        return sum(v.checks for v in self.visits) / len(self.visits)

    def __str__(self) -> str:
        return (
            f"fixed {self.fixed:.1%}, needless {self.needless:.3f} per visit, cannot tell {self.cannot_tell:.1%}, "
            f"{self.checks:.1f} checks, {self.minutes:.0f} min"
        )


def _share(found: object) -> float:
    listed = list(found)  # type: ignore[call-overload]
    return sum(listed) / len(listed)


def weights(tables: Tables, seed: int = 1) -> dict[str, float]:
    """Return how often each fault comes up in the field: near the priors, but not the priors."""
    rng = np.random.default_rng(seed)
    return {f.id: f.prior * float(np.exp(rng.normal() * FREQUENCY_SPREAD)) for f in tables.kb.faults.values()}


def electrical(tables: Tables) -> frozenset[str]:
    """Return the faults that change the circuit, or what its switches do."""
    return frozenset(f.id for f in tables.kb.faults.values() if f.sets or f.facts)


def drawn_faults(
    tables: Tables, rng: np.random.Generator, count: int, among: Collection[str] | None = None
) -> tuple[str, ...]:
    """Return ``count`` faults that can be there together, in the order of the knowledge."""
    weight = {name: w for name, w in weights(tables).items() if among is None or name in among}
    names = list(weight)
    share = np.array(list(weight.values())) / sum(weight.values())
    while True:
        found = [str(name) for name in rng.choice(names, size=count, replace=False, p=share)]
        faults = tables.kb.faults
        if count == 1 or compatible(faults[found[0]], faults[found[1]]):
            return tuple(sorted(found, key=names.index))


def complaints(tables: Tables, faults: Sequence[str]) -> tuple[str, ...]:
    """Return what the customer complains of: what a fault is noticed by, else that it does not cool.

    A rattling panel warms no house: nobody would call it one that does not cool.
    """
    noticed = [tables.kb.faults[name].noticed_as or ("not_cooling",) for name in faults]
    return tuple(dict.fromkeys(names[0] for names in noticed))


def visit(tables: Tables, seed: int, faults: Sequence[str] | int = 1, policy: Policy = ask_the_diagnosis,
          truth: Tables | None = None, among: Collection[str] | None = None) -> Visit:  # fmt: skip
    """Play one visit. ``faults``: which, or how many to draw ``among``; ``truth``: knowledge the unit obeys."""
    rng = np.random.default_rng(seed)
    real = truth or tables
    wrong = drawn_faults(real, rng, faults, among) if isinstance(faults, int) else tuple(faults)
    kind, plate = drawn_unit(real.unit, rng)
    grounded = any(change.mode == "ground" for name in wrong for change in real.kb.faults[name].sets)
    row = Row(wrong, 1.0, breaker_first=bool(grounded and rng.random() < BREAKER_FIRST))
    played = run_visit(tables, FieldUnit(real.kb, kind, row, rng), plate, complaints(real, wrong), policy)
    played.log.insert(0, " + ".join(wrong))
    return played


def visits(
    tables: Tables, count: int, faults: int = 1, policy: Policy = ask_the_diagnosis, first: int = 0,
    among: Collection[str] | None = None,
) -> Result:  # fmt: skip
    """Play ``count`` seeded visits."""
    seeds = range(first, first + count)
    return Result(tuple(visit(tables, seed, faults, policy, among=among) for seed in seeds))

"""What may be wrong: nothing, one root fault, two root faults, or something the knowledge does not hold.

A hypothesis is one row of every table. A fault with degrees (a weak capacitor) has a row for each degree.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import combinations
from typing import Literal

import numpy as np

from knowledge.models.fault import Fault
from knowledge.models.reasoning import Priors

from .circuit import Bools, Floats, Wiring
from .circuit_parts import Changes, Mode


@dataclass(frozen=True, slots=True)
class Row:
    """One hypothesis: its root faults, how severe they are, which protection acts first, and the moment it is met."""

    faults: tuple[str, ...]
    prior: float
    severity: float = 1.0
    breaker_first: bool = False
    unknown: bool = False
    active: bool = False
    """Met while its slow consequences are not there: just restarted, or reset meanwhile."""


def compatible(one: Fault, other: Fault) -> bool:
    """Return True where both faults can be there together and do not change the same thing."""
    elements = {change.element for change in one.sets} & {change.element for change in other.sets}
    return not elements and not set(one.facts) & set(other.facts)


def scaled(mode: str, value: float, severity: float) -> float:
    """Return a change's value at a severity: weak parts lose ``severity`` times the share, contacts gain ohms."""
    if mode == "weak":
        return 1.0 - (1.0 - value) * severity
    return value * severity if mode == "resistive" else value


def degrees(fault: Fault, wiring: Wiring, priors: Priors) -> list[tuple[float, float]]:
    """Return (severity, weight) branches of a single fault; one branch of weight 1 where it has no degrees."""
    for change in fault.sets:
        weak_part = change.mode == "weak" and wiring.elements[wiring.index[change.element]].kind == "capacitor"
        kind: Literal["capacitor", "resistive"] = "capacitor" if weak_part else "resistive"
        if weak_part or change.mode == "resistive":
            return list(zip(priors.severities[kind], priors.severity_weights[kind], strict=True))
    return [(1.0, 1.0)]


def fault_shares(faults: Iterable[Fault], priors: Priors) -> dict[str, float]:
    """Return the prior probability of each single fault."""
    listed = list(faults)
    total = sum(fault.prior for fault in listed)
    single = 1.0 - priors.healthy - priors.unknown - priors.pairs
    return {fault.id: single * fault.prior / total for fault in listed}


def enumerate_rows(faults: Mapping[str, Fault], wiring: Wiring, priors: Priors) -> list[Row]:
    """Return healthy, unknown, every single fault with its degrees, and every pair that can be; priors sum to 1."""
    share = fault_shares(faults.values(), priors)
    rows = [Row((), priors.healthy), Row((), priors.unknown, unknown=True)]
    for fault in faults.values():
        grounded = any(change.mode == "ground" for change in fault.sets)
        for severity, weight in degrees(fault, wiring, priors):
            first = priors.breaker_first if grounded else 0.0
            prior = share[fault.id] * weight
            rows.append(Row((fault.id,), prior * (1.0 - first), severity))
            if grounded:
                rows.append(Row((fault.id,), prior * first, severity, breaker_first=True))
    pairs = [(a, b) for a, b in combinations(faults, 2) if compatible(faults[a], faults[b])]
    total = sum(share[a] * share[b] for a, b in pairs)
    rows += [Row((a, b), priors.pairs * share[a] * share[b] / total) for a, b in pairs]
    return rows


def changes_of(rows: list[Row], faults: Mapping[str, Fault], wiring: Wiring) -> Changes:
    """Return what the rows change in the circuit."""
    mode = np.zeros((len(rows), len(wiring.elements)), dtype=np.int8)
    value = np.ones((len(rows), len(wiring.elements)))
    for r, row in enumerate(rows):
        for name in row.faults:
            for change in faults[name].sets:
                i = wiring.index[change.element]
                mode[r, i] = Mode[change.mode.upper()]
                if change.value is not None:
                    value[r, i] = scaled(change.mode, change.value, row.severity)
    return Changes(mode, value)


def flags_of(rows: list[Row], faults: Mapping[str, Fault]) -> dict[str, Bools]:
    """Return ``fact.value`` -> (rows,) where a fault makes that fact true: ``condenser.blocked``."""
    flags: dict[str, Bools] = {}
    for r, row in enumerate(rows):
        for name in row.faults:
            for fact, value in faults[name].facts.items():
                flags.setdefault(f"{fact}.{value}", np.zeros(len(rows), bool))[r] = True
    return flags


def priors_of(rows: list[Row]) -> Floats:
    """Return (rows,) prior probabilities."""
    return np.array([row.prior for row in rows])

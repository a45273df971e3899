"""What may be wrong: nothing, one root fault, two root faults, or something the knowledge does not hold.

A hypothesis is one row of every table. A fault with degrees (a weak capacitor) has a row for each degree.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Literal

import numpy as np

from knowledge.models.fault import Fault
from knowledge.models.reasoning import Priors
from knowledge.models.signature import Degrees

from .circuit import Bools, Floats, Ints, Wiring
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


def degrees(fault: Fault, wiring: Wiring, priors: Priors, signed: Degrees) -> list[tuple[float, float]]:
    """Return (severity, weight) branches of a single fault; one branch of weight 1 where it has no degrees."""
    if fault.signature is not None:
        return list(zip(signed.severity, signed.weight, strict=True))
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


def enumerate_rows(faults: Mapping[str, Fault], wiring: Wiring, priors: Priors, signed: Degrees) -> list[Row]:
    """Return healthy, unknown, every single fault with its degrees, and the pairs that can be; priors sum to 1."""
    share = fault_shares(faults.values(), priors)
    rows = [Row((), priors.healthy), Row((), priors.unknown, unknown=True)]
    for fault in faults.values():
        grounded = any(change.mode == "ground" for change in fault.sets)
        for severity, weight in degrees(fault, wiring, priors, signed):
            first = priors.breaker_first if grounded else 0.0
            prior = share[fault.id] * weight
            rows.append(Row((fault.id,), prior * (1.0 - first), severity))
            if grounded:
                rows.append(Row((fault.id,), prior * first, severity, breaker_first=True))
    pairs = likeliest_pairs(faults, share, priors.most_pairs)
    total = sum(share[a] * share[b] for a, b in pairs)
    rows += [Row((a, b), priors.pairs * share[a] * share[b] / total) for a, b in pairs]
    return rows


def likeliest_pairs(faults: Mapping[str, Fault], share: Mapping[str, float], most: int) -> list[tuple[str, str]]:
    """Return the pairs that are kept: all of two faults in the wiring, and of the others the likeliest up to ``most``.

    Rare faults are in none.

    Pairs grow with the square of the faults. What is left out has the least prior mass; the kept pairs share it.
    """
    often = [name for name, fault in faults.items() if not fault.rare]
    pairs = [(a, b) for a, b in combinations(often, 2) if compatible(faults[a], faults[b])]
    wired = [bool(faults[a].sets and faults[b].sets) for a, b in pairs]
    room = max(most - sum(wired), 0)
    others = [k for k, both in enumerate(wired) if not both]
    others.sort(key=lambda k: (-share[pairs[k][0]] * share[pairs[k][1]], pairs[k]))
    kept = {k for k, both in enumerate(wired) if both} | set(others[:room])
    return [pair for k, pair in enumerate(pairs) if k in kept]


def same_circuits(rows: Sequence[Row], faults: Mapping[str, Fault]) -> tuple[Ints, Ints]:
    """Return (the rows with a circuit of their own, which of those each row shares).

    A fault of the refrigerant or the air changes no wire: it is solved with the circuit of its partner.
    """
    first: dict[tuple[object, ...], int] = {}
    own: list[int] = []
    shared = np.zeros(len(rows), dtype=np.intp)
    for r, row in enumerate(rows):
        electric = tuple(name for name in row.faults if faults[name].sets or faults[name].facts)
        severity = row.severity if electric else 1.0
        key = (electric, severity, row.breaker_first)
        if key not in first:
            first[key] = len(own)
            own.append(r)
        shared[r] = first[key]
    return np.array(own, dtype=np.intp), shared


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

"""One exercise: the invented unit, its call and its plate, all from a seed and, where one is named, a fault."""

from __future__ import annotations

import difflib
from dataclasses import dataclass

import numpy as np

from assistant.reasoning.hypotheses import Row
from knowledge import KnowledgeBase

from .drawn_unit import drawn_unit
from .field_unit import FieldUnit

BREAKER_FIRST = 0.35
"""How often a ground fault trips the breaker before a fuse blows (common practice, no source)."""


class UnknownFaultError(Exception):
    """No such fault; the text says which are near."""


@dataclass(frozen=True)
class Exercise:
    """What is hidden, and what the apprentice is told."""

    seed: int
    fault: str
    named: bool
    """True where the fault was asked for by name."""
    unit: FieldUnit
    plate: dict[str, float]
    complaint: str


def exercise(kb: KnowledgeBase, unit_kind: str, seed: int, fault: str | None = None) -> Exercise:
    """Return the exercise of a seed, the same every time. Raises UnknownFaultError."""
    rng = np.random.default_rng(seed)
    if fault is not None and fault not in kb.faults:
        near = difflib.get_close_matches(fault, kb.faults, n=3) or sorted(kb.faults)[:5]
        raise UnknownFaultError(
            f"There is no fault {fault!r}; try {', '.join(near)}, or leave it out and one is drawn."
        )
    weights = np.array([one.prior for one in kb.faults.values()])
    drawn = str(rng.choice(list(kb.faults), p=weights / weights.sum()))
    chosen = fault or drawn
    kind, plate = drawn_unit(kb.units[unit_kind], rng)
    grounded = any(change.mode == "ground" for change in kb.faults[chosen].sets)
    row = Row((chosen,), 1.0, breaker_first=bool(grounded and rng.random() < BREAKER_FIRST))
    unit = FieldUnit(kb, kind, row, rng, gross=0.0, misjudged=0.0, restless=0.0)
    return Exercise(seed, chosen, fault is not None, unit, plate, _complaint(unit))


def _complaint(unit: FieldUnit) -> str:
    """Return what the customer would say of it."""
    if not unit.blows():
        return "no_air"
    moving = unit.moves("fan"), unit.moves("compressor")
    return {
        (False, False): "nothing_runs_outside", (True, False): "fan_on_comp_off", (False, True): "fan_off_comp_on",
    }.get(moving, "not_cooling" if unit.cools else "runs_not_cold")  # fmt: skip

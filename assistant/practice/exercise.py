"""One exercise: the invented unit, its call and its plate, all from a seed and, where they are named, the faults."""

from __future__ import annotations

import difflib
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from assistant.reasoning.hypotheses import Row, compatible
from knowledge import KnowledgeBase
from knowledge.variants import Configuration

from .drawn_unit import drawn_unit
from .field_unit import FieldUnit

MOST_FAULTS = 2
BREAKER_FIRST = 0.35
"""How often a ground fault trips the breaker before a fuse blows (common practice, no source)."""


class UnknownFaultError(Exception):
    """No such fault; the text says which are near."""


@dataclass(frozen=True)
class Wish:
    """What was asked for on the command line."""

    faults: tuple[str, ...] = ()
    """At most two; drawn where none is named."""
    double: bool = False
    """Two are drawn."""
    built: tuple[str, ...] = ()
    """Kind of unit and choices for how it is built: ``three_phase``, ``heat_pump``."""


@dataclass(frozen=True)
class Exercise:
    """What is hidden, and what the apprentice is told."""

    seed: int
    built: Configuration
    faults: tuple[str, ...]
    named: bool
    """True where the faults were asked for by name."""
    unit: FieldUnit
    plate: dict[str, float]
    complaint: str


def exercise(kb: KnowledgeBase, built: Configuration, seed: int, wish: Wish) -> Exercise:
    """Return the exercise of a seed, the same every time. Raises UnknownFaultError.

    ``kb``: the knowledge of a unit that is built so.
    """
    named = wish.faults
    rng = np.random.default_rng(seed)
    for fault in named:
        if fault not in kb.faults:
            near = difflib.get_close_matches(fault, kb.faults, n=3) or sorted(kb.faults)[:5]
            raise UnknownFaultError(
                f"There is no fault {fault!r} in such a unit; try {', '.join(near)}, or leave it out and one is drawn."
            )
    weights = np.array([one.prior for one in kb.faults.values()])
    drawn = str(rng.choice(list(kb.faults), p=weights / weights.sum()))
    chosen = tuple(dict.fromkeys(named)) or (drawn,)
    _together(kb, chosen)
    if wish.double and not named:
        chosen = (drawn, _second(kb, drawn, rng))
    kind, plate = drawn_unit(kb.units[built.kind], rng)
    grounded = any(change.mode == "ground" for fault in chosen for change in kb.faults[fault].sets)
    row = Row(chosen, 1.0, breaker_first=bool(grounded and rng.random() < BREAKER_FIRST))
    unit = FieldUnit(kb, kind, row, rng, gross=0.0, misjudged=0.0, restless=0.0)
    return Exercise(seed, built, chosen, bool(named), unit, plate, _complaint(unit))


def _together(kb: KnowledgeBase, chosen: Sequence[str]) -> None:
    if len(chosen) > MOST_FAULTS:
        raise UnknownFaultError(f"At most {MOST_FAULTS} faults at once.")
    for one, other in combinations(chosen, 2):
        if not compatible(kb.faults[one], kb.faults[other]):
            raise UnknownFaultError(f"{one} and {other} are of the same part and cannot be there together.")


def _second(kb: KnowledgeBase, first: str, rng: np.random.Generator) -> str:
    """Draw another fault with a repair of its own that can be there beside the first."""
    one = kb.faults[first]
    others = [two for two in kb.faults.values() if two.repair != one.repair and compatible(one, two)]
    weights = np.array([two.prior for two in others])
    return others[int(rng.choice(len(others), p=weights / weights.sum()))].id


def _complaint(unit: FieldUnit) -> str:
    """Return what the customer would say of it."""
    if not unit.blows():
        return "no_air"
    moving = unit.moves("fan"), unit.moves("compressor")
    return {
        (False, False): "nothing_runs_outside", (True, False): "fan_on_comp_off", (False, True): "fan_off_comp_on",
    }.get(moving, "not_cooling" if unit.cools else "runs_not_cold")  # fmt: skip

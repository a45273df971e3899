"""What lies between a live and a dead pair of test points: a search over the conductors of the unit."""

from __future__ import annotations

from collections import deque

from knowledge.models.check import Volts

from .case import Case
from .circuit import GROUND, Wiring
from .predicted import shown_value
from .tables import HEALTHY

CONDUCTING = frozenset({"wire", "switch", "fuse", "contact", "overload"})
LIVE, DEAD = 0.5, 0.2
"""Shares of a good unit's reading from which a test point counts as live, and below which as dead."""

Points = tuple[str, str]


def between_live_and_dead(case: Case) -> tuple[str, ...]:
    """Return the sentence that names the parts between a live and a dead pair of test points; empty if there is none.

    Of all such pairs, the one with the fewest parts between.
    """
    live, dead = _sorted_points(case)
    best: tuple[int, str] | None = None
    for live_name, live_points in live:
        for dead_name, dead_points in dead:
            parts = stretch(case.tables.wiring, live_points, dead_points)
            if parts and (best is None or len(parts) < best[0]):
                say = case.tables.kb.reasoning.sentences["between"]
                best = len(parts), say.format(live=live_name, dead=dead_name, parts=", ".join(parts))
    return (best[1],) if best else ()


def _sorted_points(case: Case) -> tuple[list[tuple[str, Points]], list[tuple[str, Points]]]:
    """Return the live and the dead test points among the volts readings, with the names of their checks."""
    live: list[tuple[str, Points]] = []
    dead: list[tuple[str, Points]] = []
    for evidence, _ in case.fits:
        check = case.tables.checks[evidence.check]
        if not isinstance(check.measure, Volts) or evidence.value is None:
            continue
        good = shown_value(case, check.id, HEALTHY) or 0.0
        if good < case.tables.kb.reasoning.meter.dead_circuit_v:
            continue
        if evidence.value >= LIVE * good:
            live.append((check.name, check.measure.between))
        elif evidence.value <= DEAD * good:
            dead.append((check.name, check.measure.between))
    return live, dead


def stretch(wiring: Wiring, live: Points, dead: Points) -> list[str]:
    """Return the names of the conducting parts from each live point to the dead point on its side; empty if none."""
    names: list[str] = []
    for a, b in zip(live, dead, strict=True):
        path = _path(wiring, a, b)
        if path is None:
            return []
        names += path
    return names


def _path(wiring: Wiring, start: str, goal: str) -> list[str] | None:
    """Return the conducting elements between two nodes on the shortest way, None where there is none."""
    before: dict[str, tuple[str, str]] = {}
    queue, seen = deque([start]), {start, GROUND}
    while queue:
        here = queue.popleft()
        if here == goal:
            return _names(before, start, goal)
        for element in wiring.elements:
            if element.kind not in CONDUCTING or element.values.get("insulates") or here not in (element.a, element.b):
                continue
            there = element.b if element.a == here else element.a
            if there not in seen:
                seen.add(there)
                before[there] = here, element.name
                queue.append(there)
    return None


def _names(before: dict[str, tuple[str, str]], start: str, goal: str) -> list[str]:
    names: list[str] = []
    here = goal
    while here != start:
        here, name = before[here]
        names.append(name)
    return names[::-1]

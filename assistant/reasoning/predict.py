"""Run every hypothesis through the circuit, in every situation the checks need, and keep what the checks would show."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from knowledge.base import KnowledgeBase
from knowledge.models.check import Check, Sense
from knowledge.models.reasoning import HeatFact
from knowledge.models.unit import Situation

from .circuit import Bools, Floats, Ints, Wiring
from .circuit_parts import Changes, Parts
from .events import EventList, events_of
from .hypotheses import Row, changes_of, flags_of
from .measure import amps_reading, readings, volts_readings
from .predictions import Array, Predictions, coded
from .senses import Sight, fact_outcomes, shown_outcomes
from .settle import Settler
from .snapshot import Snapshot

CHUNK = 192
"""Hypotheses solved together: bounds the memory, not the speed."""


@dataclass(frozen=True)
class _Case:
    """One chunk of hypotheses."""

    changes: Changes
    breaker_first: Bools
    flags: dict[str, Bools]
    rows: Sequence[Row]


def predict(
    kb: KnowledgeBase, wiring: Wiring, rows: Sequence[Row], checks: Sequence[Check], events: EventList
) -> Predictions:
    """Return the predictions of all rows for all checks, chunk by chunk."""
    settler = Settler(Parts.of(wiring))
    changes, flags = changes_of(list(rows), kb.faults, wiring), flags_of(list(rows), kb.faults)
    first = np.array([row.breaker_first for row in rows])
    parts: list[Predictions] = []
    for start in range(0, len(rows), CHUNK):
        cut = slice(start, min(start + CHUNK, len(rows)))
        case = _Case(changes.rows(cut), first[cut], {k: f[cut] for k, f in flags.items()}, rows[cut])
        parts.append(_predict_chunk(kb, settler, case, checks, events))
    return Predictions.joined(parts)


def shown(kb: KnowledgeBase, found: Predictions, rows: Sequence[Row], checks: Sequence[Check]) -> Predictions:
    """Return predictions with the looks that the circuit cannot compute worked out row by row."""
    senses = dict(found.senses)
    for check in checks:
        if isinstance(check.measure, Sense) and check.measure.fact is None:
            seen = shown_outcomes(check, check.measure.normally, rows, kb.faults)
            senses[check.id] = seen, seen
    return replace(found, senses=senses)


def _predict_chunk(
    kb: KnowledgeBase, settler: Settler, case: _Case, checks: Sequence[Check], events: EventList
) -> Predictions:
    wiring, meter = settler.wiring, kb.reasoning.meter
    meters = [c for c in checks if not isinstance(c.measure, Sense)]
    names = ("settled", "active", "settled_source", "active_source")
    arrays: dict[str, Array] = {name: np.zeros((len(case.rows), len(meters))) for name in names}
    by_situation = {s.id: s for s in wiring.unit.situations}
    main = next(s for s in wiring.unit.situations if s.settled and s.call)
    snaps = _snapshots(settler, case, [by_situation[name] for name in {main.id, *(_at(c, main) for c in meters)}])
    for name, snap in snaps.items():
        mine = [k for k, c in enumerate(meters) if _at(c, main) == name]
        chosen = [meters[k] for k in mine]
        arrays["active"][:, mine], arrays["active_source"][:, mine] = value, source = readings(
            wiring, case.changes, snap.before, chosen, meter
        )
        arrays["settled"][:, mine], arrays["settled_source"][:, mine] = value, source
        if snap.moved.size:
            again = readings(wiring, case.changes.rows(snap.moved), snap.later, chosen, meter)
            for label, found in zip(("settled", "settled_source"), again, strict=True):
                arrays[label][snap.moved[:, None], mine] = found
    snap = snaps[main.id]
    for name, first, later in zip(("points", "points_source"), _at_points(kb, wiring, snap.before),
                                  _at_points(kb, wiring, snap.later), strict=True):  # fmt: skip
        arrays[f"active_{name}"], arrays[f"settled_{name}"] = first, first.copy()
        arrays[f"settled_{name}"][snap.moved] = later
    arrays["live"], arrays["dead"] = _stays(kb, wiring, snap.after.happened)
    arrays["events"] = events_of(events, snap.before, snap.after)
    return Predictions.of(arrays, _senses(kb, wiring, case, checks, (snap.before, snap.after)))


def _at_points(kb: KnowledgeBase, wiring: Wiring, snap: Snapshot) -> tuple[Array, Array]:
    """Return (B, P) readings between all named points and in all named leads, and the coded ohm behind them."""
    volts, source = volts_readings(wiring, snap, kb.points.pairs, kb.reasoning.meter)
    amps = np.stack([amps_reading(wiring, snap, lead.id) for lead in kb.points.leads], axis=1)
    shown_source = coded(np.concatenate([source, np.zeros_like(amps)], axis=1))
    return np.concatenate([volts, amps], axis=1).astype(np.float16), shown_source


def _at(check: Check, main: Situation) -> str:
    return str(getattr(check.measure, "at", main.id))


@dataclass(frozen=True)
class _Course:
    """The units before and after the slow consequences of a situation."""

    before: Snapshot
    after: Snapshot
    moved: Ints
    """Rows that are not the same after as before."""
    later: Snapshot
    """Those rows of ``after``."""


def _snapshots(settler: Settler, case: _Case, situations: Sequence[Situation]) -> dict[str, _Course]:
    """Return the units in each situation; two that begin alike are settled once."""
    begun: dict[tuple[bool, bool], Snapshot] = {}
    found: dict[str, _Course] = {}
    for situation in situations:
        key = situation.call, situation.isolated
        if key not in begun:
            begun[key] = _before(settler, case, situation)
        found[situation.id] = _course(settler, case, begun[key], settled=situation.settled)
    return found


def _before(settler: Settler, case: _Case, situation: Situation) -> Snapshot:
    wiring = settler.wiring
    opened = [] if situation.call else wiring.marked("call")
    opened = opened + (wiring.marked("isolates") if situation.isolated else [])
    state = settler.at_rest(len(case.rows), opened)
    return settler.found(case.changes, state, case.breaker_first, case.flags, slow=False)


def _course(settler: Settler, case: _Case, before: Snapshot, *, settled: bool) -> _Course:
    after = before
    if settled:
        state = before.state.copy()
        after = settler.found(case.changes, state, case.breaker_first, case.flags, slow=True, since=before)
    moved = np.flatnonzero((after.happened & ~before.happened).any(axis=1))
    return _Course(before, after, moved, after.rows(moved))


def _stays(kb: KnowledgeBase, wiring: Wiring, happened: Bools) -> tuple[Floats, Floats]:
    """Return (H,) probabilities that what happened slowly is still there: met live, and met after switching off.

    Live: the share of time it is there, as it comes back after each reset. Dead: not yet reset after the usual wait.
    """
    timing = kb.reasoning.timing
    live, dead = np.ones(happened.shape[0]), np.ones(happened.shape[0])
    for c, consequence in enumerate(wiring.unit.consequences):
        if consequence.resets_after_min <= 0:
            continue
        share = consequence.resets_after_min / (consequence.after_min + consequence.resets_after_min)
        live = np.where(happened[:, c], np.minimum(live, min(share, 1.0 - timing.active_floor)), live)
        still = float(np.exp(-timing.dead_after_min / consequence.resets_after_min))
        still = min(max(still, timing.dead_floor), 1.0 - timing.dead_floor)
        dead = np.where(happened[:, c], np.minimum(dead, still), dead)
    return live, dead


def _senses(
    kb: KnowledgeBase, wiring: Wiring, case: _Case, checks: Sequence[Check], snaps: tuple[Snapshot, Snapshot]
) -> dict[str, tuple[Floats, Floats]]:
    """Return what the circuit decides of the looks at the settled and the active unit, see ``shown`` for the others."""
    out: dict[str, tuple[Floats, Floats]] = {}
    active, settled = (Sight(wiring, case.changes, snap, case.flags) for snap in snaps)
    for check in checks:
        how = check.measure
        if not isinstance(how, Sense) or how.fact is None:
            continue
        rule, names = kb.reasoning.facts[how.fact], [answer.outcome for answer in check.answers]
        now = fact_outcomes(rule, how.fact, names, settled)
        lasts = isinstance(rule, HeatFact)  # heat outlasts the reset
        out[check.id] = now, now if lasts else fact_outcomes(rule, how.fact, names, active)
    return out

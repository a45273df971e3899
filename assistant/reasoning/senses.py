"""What is seen, heard or asked on a settled unit, before human error."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from knowledge.models.check import Check
from knowledge.models.fault import Fault
from knowledge.models.reasoning import (
    CoilFact,
    ElementsFact,
    FactRule,
    FlagFact,
    HeatFact,
    LoadFact,
    MotorFact,
    RotationFact,
)

from .circuit import Bools, Floats, Wiring
from .circuit_parts import Changes, Mode
from .hypotheses import Row
from .snapshot import Motion, Snapshot


@dataclass(frozen=True)
class Sight:
    """A batch of units to look at."""

    wiring: Wiring
    changes: Changes
    snap: Snapshot
    flags: Mapping[str, Bools]

    @property
    def nothing(self) -> Bools:
        return np.zeros(self.snap.volts.shape[0], bool)


Shares = list[tuple[str, Bools, float]]
"""(outcome, where it holds, its probability there)"""


def fact_outcomes(rule: FactRule, fact: str, outcomes: Sequence[str], sight: Sight) -> Floats:
    """Return (B, outcomes) probabilities of a fact that the circuit or the faults' flags decide."""
    position = {name: k for k, name in enumerate(outcomes)}
    out = np.zeros((sight.snap.volts.shape[0], len(outcomes)))
    for name, where, share in _shares(rule, fact, outcomes, sight):
        if name in position:
            out[where, position[name]] += share
    return out


def _shares(rule: FactRule, fact: str, outcomes: Sequence[str], sight: Sight) -> Shares:
    match rule:
        case MotorFact():
            return _motor(rule, sight)
        case RotationFact():
            return _rotation(rule, sight)
        case CoilFact():
            return _coil(rule, sight)
        case LoadFact():
            return _load(rule, sight)
        case ElementsFact():
            return _elements(rule, sight)
        case HeatFact():
            protectors = [sight.wiring.index[name] for name in rule.opened]
            hot = np.logical_or.reduce(sight.snap.state.opened[:, protectors], axis=1)
            return [(rule.hot, hot, rule.sure), (rule.cool, hot, 1.0 - rule.sure), (rule.cool, ~hot, 1.0)]
        case FlagFact():
            return _flag(rule, fact, outcomes, sight)


def _motor(rule: MotorFact, sight: Sight) -> Shares:
    m = next(k for k, motor in enumerate(sight.wiring.motors) if motor.id == rule.motor)
    physics, motion = sight.wiring.physics, sight.snap.motion[:, m]
    runs, hums = motion == Motion.RUNNING, np.isin(motion, (Motion.HUMMING, Motion.LOCKED))
    drags = sight.flags.get(rule.drags, sight.nothing) if rule.drags else sight.nothing
    slow = runs & ((sight.snap.torque[:, m] < physics.slow_share) | drags)
    silent = motion == Motion.SILENT
    tripped = sight.nothing
    if rule.protector is not None:
        tripped = silent & sight.snap.state.opened[:, sight.wiring.index[rule.protector]]
    return [
        (rule.running, runs & ~slow, 1.0),
        (rule.slow, slow, physics.slow_sure),
        (rule.running, slow, 1.0 - physics.slow_sure),
        (rule.humming, hums, rule.heard),
        (rule.silent, hums, 1.0 - rule.heard),
        (rule.silent, silent & ~tripped, 1.0),
        (rule.silent, tripped, 1.0 - rule.retrying),
        (rule.humming, tripped, rule.retrying),
    ]


def _rotation(rule: RotationFact, sight: Sight) -> Shares:
    m = next(k for k, motor in enumerate(sight.wiring.motors) if motor.id == rule.motor)
    runs = sight.snap.state.running[:, m]
    wrong = runs & sight.snap.state.backwards[:, m]
    return [
        (rule.backwards, wrong, rule.sure),
        (rule.forwards, wrong, 1.0 - rule.sure),
        (rule.forwards, runs & ~wrong, 1.0),
        (rule.forwards, ~runs, 0.5),
        (rule.backwards, ~runs, 0.5),
    ]


def _coil(rule: CoilFact, sight: Sight) -> Shares:
    wiring = sight.wiring
    k = wiring.coils.index(wiring.index[rule.coil])
    driven = [i for i, coil in wiring.coil_of.items() if coil == k]
    stuck = (sight.changes.mode[:, driven] == Mode.STUCK_CLOSED).all(axis=1)
    pulled, chatter = sight.snap.state.closed[:, k] | stuck, sight.snap.chatter[:, k]
    return [
        (rule.chattering, chatter, 1.0),
        (rule.pulled_in, pulled & ~chatter, 1.0),
        (rule.out, ~pulled & ~chatter, 1.0),
    ]


def _load(rule: LoadFact, sight: Sight) -> Shares:
    i = sight.wiring.index[rule.load]
    least = sight.wiring.physics.energised_share * sight.wiring.elements[i].values["amps"]
    on = np.abs(sight.snap.current[:, i]) > least
    return [(rule.on, on, 1.0), (rule.off, ~on, 1.0)]


def _elements(rule: ElementsFact, sight: Sight) -> Shares:
    listed = [sight.wiring.index[name] for name in rule.elements]
    is_open = ((sight.changes.mode[:, listed] == Mode.OPEN) | sight.snap.state.opened[:, listed]).all(axis=1)
    return [(rule.open, is_open, 1.0), (rule.closed, ~is_open, 1.0)]


def _flag(rule: FlagFact, fact: str, outcomes: Sequence[str], sight: Sight) -> Shares:
    special = sight.nothing
    shares: Shares = []
    for name in outcomes:
        holds = sight.flags.get(f"{fact}.{name}", sight.nothing) & ~special
        special = special | holds
        shares.append((name, holds, 1.0))
    if rule.dead is None:
        return [*shares, (rule.default, ~special, 1.0)]
    a, b = (sight.wiring.node[name] for name in rule.dead.between)
    unfed = ~special & (np.abs(sight.snap.volts[:, a] - sight.snap.volts[:, b]) < rule.dead.below_v)
    shares += [(rule.dead.shows, unfed, rule.dead.share), (rule.default, unfed, 1.0 - rule.dead.share)]
    return [*shares, (rule.default, ~special & ~unfed, 1.0)]


def shown_outcomes(
    check: Check, normally: Mapping[str, float], rows: Sequence[Row], faults: Mapping[str, Fault]
) -> Floats:
    """Return (rows, outcomes) of a look that the circuit cannot compute: what the faults show, else what is normal.

    Two faults that both show: the average, as either may catch the eye.
    """
    names = [answer.outcome for answer in check.answers]
    usual = np.array([normally.get(name, 0.0) for name in names])
    shares = {
        fault.id: np.array([fault.shows[check.id].get(name, 0.0) for name in names])
        for fault in faults.values()
        if check.id in fault.shows
    }
    total, count = np.zeros((len(rows), len(names))), np.zeros(len(rows))
    for r, row in enumerate(rows):
        for name in row.faults:
            if name in shares:
                total[r] += shares[name]
                count[r] += 1
    out: Floats = np.where(count[:, None] > 0, total / np.maximum(count, 1.0)[:, None], usual[None, :])
    return out

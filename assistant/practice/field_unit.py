"""A unit in the field: what is wrong with it, and what every check shows, with the errors people and meters make.

Drawn anew for every unit: every component value, pull-in and starting thresholds, what counts as humming or as
energised, how surely a fault is seen or heard, how far a fault goes, when overloads and switches have reset, meter
errors and gross errors (common practice, no source). Shared with the diagnosis is only Kirchhoff: the solver that turns
component values into volts.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Protocol

import numpy as np

from assistant.reasoning.circuit import Wiring
from assistant.reasoning.circuit_parts import Changes, Mode, Parts
from assistant.reasoning.diagnosis import Evidence
from assistant.reasoning.hypotheses import Row, changes_of, flags_of
from assistant.reasoning.measure import readings
from assistant.reasoning.senses import Sight, fact_outcomes, shown_outcomes
from assistant.reasoning.settle import Settler
from assistant.reasoning.snapshot import Motion, Snapshot
from knowledge.base import KnowledgeBase
from knowledge.models.check import Check, Gauge, Microfarad, Ohms, Sense
from knowledge.models.unit import UnitKind

from .drawn_unit import drawn_ways
from .recorded_gauges import RecordedGauges

METER_ERROR = 0.02
GROSS = 0.04
MISJUDGED = 0.02
RESTLESS = 0.07
LEG_GONE = 0.5
"""A weak supply with less than this share of its volts is a leg that is lost, not a sagging one."""


class Gauges(Protocol):
    """The refrigerant side of one unit: what gauges and thermometers show."""

    @property
    def refrigerant(self) -> str: ...

    @property
    def looks(self) -> Collection[str]:
        """Checks that are looks and yet belong to the gauges."""
        ...

    def read(self, check: str, faults: tuple[str, ...]) -> float:
        """Return a reading; of two faults with a signature the first counts."""
        ...

    def look(self, check: str, faults: tuple[str, ...]) -> Evidence:
        """Return an answer that belongs to the gauges."""
        ...


@dataclass
class FieldUnit:
    """The truth: what is wrong, and what every check would show now."""

    kb: KnowledgeBase
    kind: UnitKind
    row: Row
    rng: np.random.Generator
    gross: float = GROSS
    misjudged: float = MISJUDGED
    restless: float = RESTLESS
    """How often an overload or switch has opened or closed again since the last reading."""

    def __post_init__(self) -> None:
        self.ways = drawn_ways(self.kb, self.rng)
        self.meet()

    @cached_property
    def gauges(self) -> Gauges:
        """The refrigerant side, drawn when it is first looked at."""
        return self._draw_gauges()

    def _draw_gauges(self) -> Gauges:
        return RecordedGauges(self.kb, self.rng)

    @property
    def words(self) -> dict[str, str]:
        """What the plate says in words."""
        return {"refrigerant": self.gauges.refrigerant}

    def gauge_faults(self) -> tuple[str, ...]:
        """Return the signatures of the faults that are there."""
        signed = (self.kb.faults[name].signature for name in self.row.faults)
        return tuple(name for name in signed if name is not None)

    def meet(self) -> None:
        """Settle the unit anew: at the beginning, and after every repair."""
        self.wiring = Wiring(self.kind, self.ways.physics)
        self.settler = Settler(Parts.of(self.wiring))
        self.changes = self._drawn_changes()
        self.flags = flags_of([self.row], self.kb.faults)
        first = np.array([self.row.breaker_first])
        state = self.settler.at_rest(1, [])
        self.active = self.settler.found(self.changes, state, first, self.flags, slow=False)
        copy = state.copy()
        self.settled = self.settler.found(self.changes, copy, first, self.flags, slow=True, since=self.active)
        self.is_settled = bool(self.rng.random() < self._share_settled())

    def _drawn_changes(self) -> Changes:
        changes = changes_of([self.row], self.kb.faults, self.wiring)
        for i, element in enumerate(self.wiring.elements):
            mode = changes.mode[0, i]
            if mode == Mode.WEAK and element.kind == "capacitor":
                changes.value[0, i] = self.rng.uniform(0.15, 0.8)
            elif mode == Mode.WEAK:
                low = changes.value[0, i] > LEG_GONE
                changes.value[0, i] = self.rng.uniform(0.79, 0.87) if low else self.rng.uniform(0.0, 0.05)
            elif mode == Mode.SHORT:
                changes.value[0, i] *= self.rng.uniform(0.3, 2.0)
            elif mode == Mode.RESISTIVE:
                changes.value[0, i] = self.rng.uniform(0.5, 3.0)
            elif mode == Mode.GROUND:
                changes.value[0, i] = self.rng.uniform(0.2, 0.6)
        return changes

    def _share_settled(self) -> float:
        slow = [c for c, done in zip(self.kind.consequences, self.settled.happened[0], strict=True) if done]
        slow = [c for c in slow if c.resets_after_min > 0]
        if not slow:
            return 1.0
        return min(0.85, *(c.resets_after_min / (c.resets_after_min + c.after_min) for c in slow))

    def repair(self, repair: str) -> bool:
        """Do a repair; return whether it was needed."""
        left = tuple(f for f in self.row.faults if self.kb.faults[f].repair != repair)
        needed = left != self.row.faults
        self.row = replace(self.row, faults=left)
        self.meet()
        return needed

    @property
    def healthy(self) -> bool:
        return not self.row.faults

    @property
    def cools(self) -> bool:
        """True where air comes out as cold as it should: motors keep running, air and refrigerant circuit are right."""
        spoils = [f for f in (self.kb.faults[n] for n in self.row.faults) if f.signature or "condenser" in f.facts]
        return self.moves("compressor") and self.moves("fan") and self.blows() and not spoils

    def moves(self, motor: str) -> bool:
        """Return True where a motor of the outdoor unit keeps running."""
        m = next(k for k, found in enumerate(self.wiring.motors) if found.id == motor)
        return bool(self.settled.motion[0, m] == Motion.RUNNING)

    def blows(self) -> bool:
        """Return True where the indoor blower runs."""
        i = self.wiring.index["blower_motor"]
        rated = self.wiring.elements[i].values["amps"]
        return bool(np.abs(self.settled.current[0, i]) > self.ways.physics.energised_share * rated)

    def answer(self, check: Check) -> Evidence:
        """Return what the technician reports for a check, with the errors people and meters make."""
        if isinstance(check.measure, Gauge):
            return Evidence(check.id, self.gauges.read(check.id, self.gauge_faults()))
        lost = check.id == "p_standing" and "charge_lost" in self.row.faults
        if check.id in self.gauges.looks and not lost:
            return self.gauges.look(check.id, self.gauge_faults())
        if isinstance(check.measure, Sense):
            return self._look(check)
        if self.rng.random() < self.gross:
            return self._wrong(check)
        snap = self._snap(check)
        value = float(readings(self.wiring, self.changes, snap, [check], self.kb.reasoning.meter)[0][0, 0])
        if np.isnan(value):
            return Evidence(check.id, over_limit=True)
        value *= 1.0 + METER_ERROR * float(self.rng.normal())
        if check.quantity == "current":
            value = max(0.0, value + 0.03 * float(self.rng.normal()))
        return Evidence(check.id, value=_as_read(value, self.kb.quantities[check.quantity or "voltage"].decimals))

    def _snap(self, check: Check) -> Snapshot:
        if isinstance(check.measure, Ohms | Microfarad):
            open_slow = [
                float(np.exp(-self.rng.uniform(8, 25) / c.resets_after_min))
                for c, done in zip(self.kind.consequences, self.settled.happened[0], strict=True)
                if done and c.resets_after_min > 0
            ]
            still = self.rng.random() < min(open_slow, default=1.0)
            return self.settled if still else self.active
        if getattr(check.measure, "at", None) == "starting":
            return self.active
        if self.rng.random() < self.restless:
            self.is_settled = not self.is_settled
        return self.settled if self.is_settled else self.active

    def _wrong(self, check: Check) -> Evidence:
        if check.quantity == "resistance" and self.rng.random() < 0.4:
            return Evidence(check.id, over_limit=True)
        top = {"voltage": 250.0, "current": 20.0, "resistance": 100.0, "capacitance": 60.0}[check.quantity or "voltage"]
        return Evidence(check.id, value=0.0 if self.rng.random() < 0.5 else round(float(self.rng.uniform(0, top)), 1))

    def _look(self, check: Check) -> Evidence:
        names = [answer.outcome for answer in check.answers]
        if self.rng.random() < self.misjudged:
            return Evidence(check.id, outcomes=(str(self.rng.choice(names)),))
        how = check.measure
        if not isinstance(how, Sense):
            raise TypeError(f"{check.id} is no look")
        if how.fact is None:
            share = shown_outcomes(check, how.normally, [self.row], self.ways.faults)[0]
        else:
            snap = self.settled if how.fact == "shell_heat" else self._snap(check)
            sight = Sight(self.wiring, self.changes, snap, self.flags)
            share = fact_outcomes(self.ways.facts[how.fact], how.fact, names, sight)[0]
        return Evidence(check.id, outcomes=(str(self.rng.choice(names, p=share / share.sum())),))


def _as_read(value: float, decimals: int) -> float:
    return round(value, 0 if value >= 100 else 1 if value >= 10 else decimals)

"""A unit in the field for closed-loop tests: its own component values, thresholds, timing, looks and reading errors.

The numbers here are this test's own (common practice, no source) and are kept apart from the model's settings on
purpose: the diagnosis must cope with units that are not its model. Drawn anew for every unit: every component value,
pull-in and starting thresholds, what counts as humming or as energised, how surely a fault is seen or heard, how far a
fault goes, when overloads and switches have reset, meter errors and gross errors. Shared with the diagnosis is only
Kirchhoff: the solver that turns component values into volts.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from assistant.reasoning.circuit import Wiring
from assistant.reasoning.circuit_parts import Changes, Mode, Parts, State
from assistant.reasoning.diagnosis import Evidence
from assistant.reasoning.hypotheses import Row, changes_of, flags_of
from assistant.reasoning.measure import readings
from assistant.reasoning.senses import Sight, fact_outcomes, shown_outcomes
from assistant.reasoning.settle import Motion, Settler, Snapshot
from knowledge.base import KnowledgeBase
from knowledge.models.check import Check, Gauge, Microfarad, Ohms, Sense
from knowledge.models.fault import Fault
from knowledge.models.reasoning import FactRule, Physics
from knowledge.models.unit import Element, UnitKind
from tests.cycle.field_gauges import FieldGauges

SPREAD = 0.08
METER_ERROR = 0.02
GROSS = 0.04
MISJUDGED = 0.02
HERM_SIZES, FAN_SIZES = (30.0, 35.0, 40.0, 45.0, 55.0), (3.0, 5.0, 7.5)


def drawn_unit(kind: UnitKind, rng: np.random.Generator) -> tuple[UnitKind, dict[str, float]]:
    """Return a unit like ``kind`` with drawn components and the plate that goes with it."""
    herm, fan = float(rng.choice(HERM_SIZES)), float(rng.choice(FAN_SIZES))
    size = herm / 45.0 * float(rng.uniform(0.9, 1.1))
    motor = fan / 5.0 * float(rng.uniform(0.9, 1.1))
    supply = float(rng.uniform(0.97, 1.03))
    elements = tuple(_drawn(e, rng, {"compressor": size, "fan": motor}, (herm, fan), supply) for e in kind.elements)
    plate = {
        "cap_herm_uf": herm, "cap_fan_uf": fan, "rla": round(14.5 * size, 1), "lra": round(80 * size, 0),
        "fan_fla": round(1.1 * motor, 2), "rated_voltage": 230.0,
    }  # fmt: skip
    return kind.model_copy(update={"elements": elements}), plate


def _drawn(
    e: Element, rng: np.random.Generator, sizes: dict[str, float], caps: tuple[float, float], supply: float
) -> Element:
    size = sizes.get(e.motor or "", 1.0)
    v = _drawn_motor(dict(e.values), rng, size)
    if "start_share" in v:
        v["start_share"] = float(rng.uniform(0.35, 0.65) if e.motor == "compressor" else rng.uniform(0.2, 0.45))
    if "pull_in_v" in v:
        v["pull_in_v"] = float(rng.uniform(15.5, 19.0))
    if e.kind == "source":
        v["volts"] *= supply
    if e.kind == "transformer":
        v["secondary_v"] *= float(rng.uniform(0.96, 1.05))
    if "opens_a" in v:
        v["opens_a"] *= float(rng.uniform(1.0, 1.2)) * (sizes["compressor"] if v["rated_a"] > 10 else 1.0)
    if e.kind == "capacitor":
        v["uf"] = caps[0 if e.id == "cap_herm" else 1] * float(rng.uniform(0.96, 1.04))
    return e.model_copy(update={"values": v})


def _drawn_motor(v: dict[str, float], rng: np.random.Generator, size: float) -> dict[str, float]:
    """Return windings and coils of a motor ``size`` times the usual one, each value with its own spread."""
    power = {"rla_a": size, "lra_a": size, "run_a": size, "locked_ohm": 1 / size, "run_ohm": 1 / size, "turns": 1.0}
    for name, factor in {**power, "va_sealed": 1.0, "ohm_dc": float(rng.uniform(0.75, 1.35)) / size}.items():
        if name in v:
            v[name] *= factor * (1.0 if name == "rla_a" else float(np.exp(rng.normal() * SPREAD)))
    return v


@dataclass(frozen=True)
class Ways:
    """How this unit behaves and shows itself, where the model has settled for one number."""

    physics: Physics
    facts: dict[str, FactRule]
    faults: dict[str, Fault]


def drawn_ways(kb: KnowledgeBase, rng: np.random.Generator) -> Ways:
    """Return thresholds and looks of one unit, none of them the model's own."""
    physics = kb.reasoning.physics.model_copy(
        update={
            "energised_share": rng.uniform(0.45, 0.65), "hum_share": rng.uniform(0.1, 0.25),
            "slow_share": rng.uniform(0.45, 0.7), "slow_sure": rng.uniform(0.5, 0.85),
            "leak_ohm": 10 ** rng.uniform(8, 9.5), "open_ohm": 10 ** rng.uniform(8.5, 9.5),
        }
    )  # fmt: skip
    sure = {"heard": (0.6, 1.0), "sure": (0.75, 0.98)}
    facts = {
        name: rule.model_copy(update={k: rng.uniform(*ends) for k, ends in sure.items() if hasattr(rule, k)})
        for name, rule in kb.reasoning.facts.items()
    }
    faults = {name: _drawn_shows(fault, rng) for name, fault in kb.faults.items()}
    return Ways(physics, facts, faults)


def _drawn_shows(fault: Fault, rng: np.random.Generator) -> Fault:
    """Return a fault that shows itself more or less clearly than the model has it: odds up to doubled or halved."""
    shows = {}
    for check, shares in fault.shows.items():
        odds = {name: share * float(np.exp(rng.uniform(-0.7, 0.7))) for name, share in shares.items()}
        shows[check] = {name: value / sum(odds.values()) for name, value in odds.items()}
    return fault.model_copy(update={"shows": shows})


@dataclass
class FieldUnit:
    """The truth: what is wrong, and what every check would show now."""

    kb: KnowledgeBase
    kind: UnitKind
    row: Row
    rng: np.random.Generator
    gross: float = GROSS
    misjudged: float = MISJUDGED

    def __post_init__(self) -> None:
        self.ways = drawn_ways(self.kb, self.rng)
        self.meet()

    @cached_property
    def gauges(self) -> FieldGauges:
        """The refrigerant side, drawn when it is first looked at."""
        return FieldGauges(self.kb, self.rng)

    @property
    def words(self) -> dict[str, str]:
        """What the plate says in words."""
        return {"refrigerant": self.gauges.refrigerant}

    def _gauge_faults(self) -> tuple[str, ...]:
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
        copy = State(state.closed.copy(), state.running.copy(), state.opened.copy())
        self.settled = self.settler.found(self.changes, copy, first, self.flags, slow=True, since=self.active)
        self.is_settled = bool(self.rng.random() < self._share_settled())

    def _drawn_changes(self) -> Changes:
        changes = changes_of([self.row], self.kb.faults, self.wiring)
        for i, element in enumerate(self.wiring.elements):
            mode = changes.mode[0, i]
            if mode == Mode.WEAK and element.kind == "capacitor":
                changes.value[0, i] = self.rng.uniform(0.15, 0.8)
            elif mode == Mode.WEAK:
                changes.value[0, i] = self.rng.uniform(0.79, 0.87)
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
            return Evidence(check.id, self.gauges.read(check.id, self._gauge_faults()))
        lost = check.id == "p_standing" and "charge_lost" in self.row.faults
        if check.id in self.gauges.looks and not lost:
            return self.gauges.look(check.id, self._gauge_faults())
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
        if self.rng.random() < 0.07:
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
        assert isinstance(how, Sense)
        if how.fact is None:
            share = shown_outcomes(check, how.normally, [self.row], self.ways.faults)[0]
        else:
            snap = self.settled if how.fact == "shell_heat" else self._snap(check)
            sight = Sight(self.wiring, self.changes, snap, self.flags)
            share = fact_outcomes(self.ways.facts[how.fact], how.fact, names, sight)[0]
        return Evidence(check.id, outcomes=(str(self.rng.choice(names, p=share / share.sum())),))


def _as_read(value: float, decimals: int) -> float:
    return round(value, 0 if value >= 100 else 1 if value >= 10 else decimals)

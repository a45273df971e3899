"""One simulated visit: the technician does what a policy says until the unit is proved or the policy gives up.

After every repair the fixed close-out list is done, item by item, on the unit as it is then; an item that fails sends
the visit back to the search at once, as in a real visit. The visit ends as cured where nothing on that list is bad and
the policy finds no fault; it was cured indeed where no fault is left.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import partial
from typing import TypeAlias

from assistant.reasoning.choice import Standing, minutes_for
from assistant.reasoning.diagnosis import CheckNext, Decision, Diagnosis, Evidence, NoFault, Propose, Repaired, Unwell
from assistant.reasoning.tables import Tables
from knowledge.models.check import Check
from knowledge.models.entry import PowerNeed
from knowledge.models.visit import CloseOutItem

from .field_unit import FieldUnit

MOST_STEPS, MOST_PROOFS, MOST_TAKES = 150, 3, 4
AMPS_OVER, VOLTS_OFF, UF_OFF, FAN_UF_OFF, POLE_VOLTS = 1.15, 0.1, 0.1, 0.16, 1.0
"""What this technician calls bad during proving (common practice, no source): amps over the plate, volts and
microfarads off it (a clamp is coarse for the small amps of a fan), volts lost over a closed pole."""
UNDER_LOAD = {
    "capacitance_under_load": ("cap_herm_uf", UF_OFF),
    "fan_capacitance_under_load": ("cap_fan_uf", FAN_UF_OFF),
}
"""Limit of a proof by amps and volts -> the plate value that it is held against, and how far off it may be."""
MICRO = 1e6 / (2 * math.pi * 60)
QUESTION_MIN = 1.0

Policy: TypeAlias = Callable[[Diagnosis, Standing], Decision]


def ask_the_diagnosis(diagnosis: Diagnosis, standing: Standing) -> Decision:
    """Do what the diagnosis says."""
    return diagnosis.decide(allowed=lambda _: True, power=standing.power, setup=standing.setup)


@dataclass
class Visit:
    """How it went."""

    fixed: bool = False
    needless: list[str] = field(default_factory=list)
    checks: int = 0
    minutes: float = 0.0
    end: str = ""
    log: list[str] = field(default_factory=list)


def run_visit(
    tables: Tables, unit: FieldUnit, plate: dict[str, float], complaints: tuple[str, ...],
    policy: Policy = ask_the_diagnosis,
) -> Visit:  # fmt: skip
    """Play a visit to its end."""
    played = _Played(tables, unit, plate, complaints, policy)
    for _ in range(MOST_STEPS):
        if played.step():
            return played.visit
    played.visit.end = "too long"
    return played.visit


@dataclass
class _Played:
    tables: Tables
    unit: FieldUnit
    plate: dict[str, float]
    complaints: tuple[str, ...]
    policy: Policy
    visit: Visit = field(default_factory=Visit)
    history: list[Evidence | Repaired] = field(default_factory=list)
    standing: Standing = field(default_factory=lambda: Standing(PowerNeed.ANY, None))
    left: list[CloseOutItem] = field(default_factory=list)
    """What is not proved yet on the close-out list since the last repair."""
    failing: CloseOutItem | None = None
    """The item on which proving broke off."""
    proofs: int = 0
    """How often proving was begun since the last repair."""

    def step(self) -> bool:
        """Do one thing; return True where the visit is over."""
        diagnosis = Diagnosis(
            self.tables,
            self.history,
            complaints=self.complaints,
            plate=self.plate,
            words=self.unit.words,
            unwell=self._unwell,
        )
        step = self.policy(diagnosis, self.standing)
        if isinstance(step, CheckNext):
            self._answer(self.tables.kb.checks[step.check], "*" if step.retake else "")
            return False
        if isinstance(step, Propose):
            self._repair(step)
            return self.failing is None and self._over("repaired")
        if isinstance(step, NoFault) and self.proofs < MOST_PROOFS:
            return self._prove() and self._over("NoFault")
        return self._over("unproved" if isinstance(step, NoFault) else type(step).__name__)

    @property
    def _unwell(self) -> Unwell:
        """An item fails; one of looks does no longer once they were taken again and are good."""
        if self.failing is None:
            return Unwell.NO
        latest = {item.check: item.outcomes for item in self.history if isinstance(item, Evidence)}
        wrong = [name for name, good in self.failing.good_when.items() if good not in latest.get(name, ())]
        return Unwell.LOOKS if wrong else Unwell.NO if self.failing.good_when else Unwell.UNIT

    def _over(self, end: str) -> bool:
        self.visit.end = end
        self.visit.fixed = end in {"repaired", "NoFault"} and self.unit.healthy
        return True

    def _answer(self, check: Check, mark: str = "") -> Evidence:
        answer = self.unit.answer(check)
        self.history.append(answer)
        self.visit.minutes += minutes_for(check, self.standing, self.tables.kb.reasoning.costs)
        self.standing = self._standing_after(check)
        self.visit.checks += 1
        self.visit.log.append(f"{check.id}{mark}={answer.outcomes or ('OL' if answer.over_limit else answer.value)}")
        return answer

    def _standing_after(self, check: Check) -> Standing:
        """Return where the technician stands after a check: what was discharged stays so while the unit is dead."""
        still = check.needs is PowerNeed.ANY
        still |= check.needs is PowerNeed.DEAD and self.standing.power is PowerNeed.DISCHARGED
        return Standing(self.standing.power if still else check.needs, check.setup)

    def _repair(self, step: Propose) -> None:
        needed = self.unit.repair(step.repair)
        self.visit.log.append(f"REPAIR {step.repair} {step.probability:.2f}{'' if needed else ' NEEDLESS'}")
        if not needed:
            self.visit.needless.append(step.repair)
        self.history.append(Repaired(step.repair))
        repair = self.tables.kb.repairs[step.repair]
        self.visit.minutes += repair.minutes
        self.standing = Standing(repair.needs, None)
        self.proofs, self.left = 0, []
        self._prove()

    def _prove(self) -> bool:
        """Go on with the close-out list up to the first item that fails: the search goes on there. Are all good?"""
        if self.proofs == 0:
            listed = self.tables.kb.close_out.values()
            self.left = [item for item in listed if item.phase == "proving" and item.is_for(self.complaints)]
        self.proofs += 1
        while self.left and not self._fails(self.left[0]):
            self.left.pop(0)
        self.failing = self.left[0] if self.left else None
        self.visit.log.append(f"PROOF {f'bad: {self.failing.name}' if self.failing else 'good'}")
        return self.failing is None

    def _fails(self, item: CloseOutItem) -> bool:
        kb = self.tables.kb
        if item.id == "prove_cooling":
            self.visit.minutes += QUESTION_MIN
            return not self.unit.cools
        if item.id == "prove_cut_out":
            self.visit.minutes += QUESTION_MIN
            return "contactor_welded" in self.unit.row.faults
        if item.check is not None:
            return self._stays_bad(partial(self._answer, kb.checks[item.check]), self._bad_reading)
        if item.limit in UNDER_LOAD:
            return self._stays_bad(partial(self._under_load, item), partial(self._bad_under_load, item))
        if not item.good_when:  # superheat and subcooling: gauges are not put on for a proof alone
            return False
        return self._looks_bad(item)

    def _looks_bad(self, item: CloseOutItem) -> bool:
        """Ask all looks of an item in one question, and once more what was bad."""
        checks = [self.tables.kb.checks[name] for name in item.good_when]
        costs = [minutes_for(check, self.standing, self.tables.kb.reasoning.costs) for check in checks]
        before = self.visit.minutes
        seen = {check.id: self._answer(check) for check in checks}
        self.visit.minutes = before + max(costs)

        def wrong(found: Evidence) -> bool:
            return found.outcomes != (item.good_when[found.check],)

        again = [name for name, found in seen.items() if wrong(found)]
        bad = [self._stays_bad(partial(self._answer, self.tables.kb.checks[name]), wrong, seen[name]) for name in again]
        return any(bad)

    def _stays_bad(
        self, take: Callable[[], Evidence], bad: Callable[[Evidence], bool], first: Evidence | None = None
    ) -> bool:
        """Take something that is bad until two takes agree that it is good, or how bad it is."""
        takes = [first or take()]
        if not bad(takes[0]):
            return False
        while True:
            takes.append(take())
            *before, last = takes
            if not bad(last) and any(not bad(one) for one in before):
                return False
            if bad(last) and (len(takes) >= MOST_TAKES or any(bad(one) and one.agrees(last) for one in before)):
                return True

    def _under_load(self, item: CloseOutItem) -> Evidence:
        """Return the capacitance from amps and volts, C = I / (2 pi f V), in microfarads."""
        amps, volts = (self._answer(self.tables.kb.checks[name]).value or 0.0 for name in item.reads)
        return Evidence(item.id, MICRO * amps / max(volts, 1.0))

    def _bad_under_load(self, item: CloseOutItem, found: Evidence) -> bool:
        marked, off = UNDER_LOAD[item.limit or ""]
        return abs((found.value or 0.0) / self.plate[marked] - 1.0) > off

    def _bad_reading(self, found: Evidence) -> bool:
        value = found.value or 0.0
        if found.check == "v_pole_1":
            return value > POLE_VOLTS
        rated = {"a_compressor": "rla", "a_fan": "fan_fla"}.get(found.check)
        if rated is not None:
            return not 0.25 * self.plate[rated] <= value <= AMPS_OVER * self.plate[rated]
        return abs(value / self.plate["rated_voltage"] - 1.0) > VOLTS_OFF

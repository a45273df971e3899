"""Check or repair: the rules that stand between a probability and a technician's time and money.

A repair is proposed when its probability has reached its floor, a check on the part itself read wrong as the fault
predicts, it does not hang on one single reading, and checking further would cost more than it saves.
"""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass
from functools import cached_property

from knowledge.models.check import Check
from knowledge.models.repair import Repair
from knowledge.models.safety import Stop

from .case import Case
from .choice import Standing, by_bits_per_minute, may_change, minutes_for, repair_minutes, saving
from .confirming import CLEARS, Confirmation, confirmation, confirming_power, main_faults
from .conflict import conflicts
from .evidence import Evidence, Unwell
from .explain import chain, decisive, exclusions, remaining, said, seen_good
from .gauges.derive import shut_gate
from .gauges.steps import usable
from .results import CannotTell, CheckNext, Decision, NoFault, Propose
from .retaking import Retaking
from .tables import HEALTHY, UNKNOWN

ALTERNATIVES = 2


@dataclass(frozen=True)
class Options:
    """What the technician can do now."""

    allowed: Callable[[Check], bool]
    skipped: Collection[str]
    tools_missing: Collection[str]
    standing: Standing


class Decider:
    """Decides one step of one case."""

    def __init__(self, case: Case, options: Options) -> None:
        self.case = case
        self.options = options
        self.tables = case.tables
        self.kb = case.tables.kb
        self.rules = self.kb.reasoning.deciding

    def decide(self) -> Decision:
        """Return the next step; the first rule that speaks wins."""
        return (
            self._stop_again()
            or self._settle_conflict()
            or self._third_take()
            or self._no_fault()
            or self._repair()
            or self._prove_again(self.case.settled)
            or self._inform()
            or self._verify()
            or self._again()
            or self._prove_again(self.case.exhausted)
            or self._last_resort()
            or self._well_as_far_as_seen()
            or CannotTell(exclusions(self.case), remaining(self.case))
        )

    def possible(self, name: str) -> bool:
        """Return True where a check may be asked at all."""
        check = self.tables.checks[name]
        missing = set(check.tools) & set(self.options.tools_missing)
        barred = self._restarted_for(name) and self._maybe_grounded
        if name in self.options.skipped or missing or barred or not self.options.allowed(check):
            return False
        return usable(self.kb, name, self.case.gauges, self.case.latest, self.case.device, self._can_be_read)

    def _can_be_read(self, name: str) -> bool:
        check = self.kb.checks[name]
        missing = set(check.tools) & set(self.options.tools_missing)
        return name not in self.options.skipped and not missing and self.options.allowed(check)

    def _restarted_for(self, name: str) -> bool:
        """Return True where the unit is started for the measurement."""
        starts = {s.id for s in self.tables.unit.situations if s.call and not s.settled}
        return getattr(self.tables.checks[name].measure, "at", None) in starts

    @cached_property
    def _maybe_grounded(self) -> bool:
        chance = self.case.fault_probability
        grounded = [f.id for f in self.kb.faults.values() if any(change.mode == "ground" for change in f.sets)]
        return sum(chance[name] for name in grounded) >= self.rules.restart_ground_below

    def minutes(self, name: str) -> float:
        return minutes_for(self.tables.checks[name], self.options.standing, self.kb.reasoning.costs)

    @cached_property
    def bits(self) -> dict[str, float]:
        return self.case.bits

    def _check(self, name: str, because: str = "", *, retake: bool = False) -> CheckNext:
        others = [other for other in self._ranked if other != name][:ALTERNATIVES]
        why = because or self.tables.checks[name].why
        return CheckNext(name, self.bits.get(name, 0.0), self.minutes(name), why, retake, tuple(others))

    @cached_property
    def _ranked(self) -> list[str]:
        """Checks worth their time, best first."""
        closed = set(self.case.answered) - self.case.half_said
        open_checks = {
            name: bits for name, bits in self.bits.items()
            if bits >= self.rules.least_bits and name not in closed and self.possible(name)
        }  # fmt: skip
        return by_bits_per_minute(open_checks, self.minutes)

    # -- the rules, in order ---------------------------------------------------------------------------------------

    def _stop_again(self) -> CheckNext | None:
        """A reading that stops the work is taken again first, on the dead unit: much hangs on it."""
        say = self.kb.reasoning.sentences["because_stop"]
        for name, evidence in self.case.answered.items():
            hit = self._stopped_by(evidence)
            if hit and name not in self.case.settled and self.possible(name):
                return self._check(name, say.format(name=hit.name), retake=True)
        return None

    def _stopped_by(self, evidence: Evidence) -> Stop | None:
        """Return the stop that a reading raises."""
        stops = self.kb.stops.values()
        return next((stop for stop in stops if stop.check == evidence.check and _reads(stop, evidence)), None)

    def _settle_conflict(self) -> CheckNext | None:
        for conflict in conflicts(self.case):
            again = conflict.again.check
            if again not in self.case.settled and self.possible(again):
                return self._check(again, said(self.case, conflict), retake=True)
        return None

    def _third_take(self) -> CheckNext | None:
        """Two takes that disagree are settled by a third, at once, where it is open which of them is right."""
        for evidence, fit in self.case.fits:
            if evidence.check not in self.case.disputed or not self.possible(evidence.check):
                continue
            if self.case.doubt(fit) >= self.rules.third_from:
                return self._check(evidence.check, self.kb.reasoning.sentences["because_third"], retake=True)
        return None

    def _no_fault(self) -> CheckNext | NoFault | None:
        if self.case.unwell is not Unwell.NO or self.case.probability[HEALTHY] < self.rules.no_fault:
            return None
        return NoFault(seen_good(self.case)) if self._seen_running else self._see_running()

    @property
    def _seen_running(self) -> bool:
        answered, needs = self.case.answered, self.rules.no_fault_needs
        return all(name in answered and set(answered[name].outcomes) <= set(good) for name, good in needs.items())

    def _see_running(self) -> CheckNext | None:
        """Return the first look at the running unit that is still open."""
        missing = [n for n in self.rules.no_fault_needs if n not in self.case.answered and self.possible(n)]
        if not missing:
            return None
        name = min(missing, key=self.minutes)
        because = self.kb.reasoning.sentences["because_no_fault"].format(why=self.tables.checks[name].why)
        return self._check(name, because)

    def _well_as_far_as_seen(self) -> CheckNext | NoFault | None:
        """Nothing tells more and the unit does all it should: no fault found, and what was not ruled out is named."""
        if self.case.probability[HEALTHY] < self.rules.no_fault_at_last:
            return None
        if not self._seen_running:
            return self._see_running()
        left = self.kb.reasoning.sentences["not_ruled_out"].format(names=", ".join(remaining(self.case)))
        return NoFault((*seen_good(self.case), left))

    def _repair(self) -> CheckNext | Propose | None:
        """Propose the likeliest repair, or ask what it still lacks; None below its floor or where it is blocked."""
        by_chance = sorted(self.case.repair_probability.items(), key=lambda item: -item[1])
        for name, chance in by_chance:
            repair = self.kb.repairs[name]
            if chance < min(repair.floor, self.rules.stopped_floor) or name in self.case.repairs_done:
                continue  # what was done once and did not cure is not a diagnosis the second time
            faults = main_faults(self.tables, self.case.probability, name)
            state = confirmation(self.case, name, faults)
            if any(e.check in self.case.settled and self._stopped_by(e) for e in state.confirmed):
                return self._propose(repair, faults)
            if chance < repair.floor:
                continue
            if not state.confirmed:
                step = self._confirm(repair, faults, state)
                if step:
                    return step
                continue
            return (
                self._second_opinion(repair, state)
                or self._measured_too(repair, faults, state)
                or self._taken_again(repair, state)
                or self._check_first(repair)
                or self._propose(repair, faults)
            )
        return None

    def _confirm(self, repair: Repair, faults: tuple[str, ...], state: Confirmation) -> CheckNext | None:
        say = self.kb.reasoning.sentences
        fault = self.kb.faults[faults[0]].name
        for name in state.unproved:
            if self.possible(name):
                return self._check(name, say["because_unproved"], retake=True)
        needed = [name for name in state.wanting if self.possible(name)]
        if needed:
            name = min(needed, key=self.minutes)
            return self._check(name, say["because_given"].format(why=self.tables.checks[name].why, fault=fault))
        done = set(self.case.answered) | set(state.against) | set(state.vague)
        fresh = [name for name in repair.confirm if name not in done and self.possible(name)]
        power = {name: confirming_power(self.tables, name, faults) for name in fresh}
        able = [name for name in fresh if power[name] > 0]
        if able:
            name = max(able, key=lambda c: power[c] / self.minutes(c))
            because = say["because_confirm"].format(why=self.tables.checks[name].why, fault=fault)
            return self._check(name, because)
        again = [name for name in state.vague if name in repair.confirm_as and name not in self.case.settled]
        for name in again:
            if self.possible(name):
                because = say["because_given"].format(why=self.tables.checks[name].why, fault=fault)
                return self._check(name, because, retake=True)
        for name in (*state.against, *state.unfit):
            if name not in self.case.settled and self.possible(name):
                return self._check(name, say["because_against"].format(fault=fault), retake=True)
        return None

    def _second_opinion(self, repair: Repair, state: Confirmation) -> CheckNext | None:
        """Before the dearest repairs, ask for a second reading on the part: another one, or the same again."""
        dear = repair.price in self.rules.second_opinion_prices and repair.part is not None
        if not dear or len(state.confirmed) > 1 or any(e.check in self.case.settled for e in state.confirmed):
            return None
        others = [name for name in repair.confirm if name not in self.case.answered]
        again = [e.check for e in state.confirmed if not self._restarted_for(e.check)]
        able = [name for name in (*others, *again) if self.possible(name)]
        if not able:
            return None
        name = max(able, key=lambda c: self.bits[c] / self.minutes(c))
        because = self.kb.reasoning.sentences["because_second"].format(why=self.tables.checks[name].why)
        return self._check(name, because, retake=name in again)

    def _measured_too(self, repair: Repair, faults: tuple[str, ...], state: Confirmation) -> CheckNext | None:
        """A part that was only looked at is measured too, where its repair needs the unit in that state anyhow."""
        checks, costs = self.tables.checks, self.kb.reasoning.costs
        if any(not self.case.is_look(e.check) for e in state.confirmed):
            return None
        worth = self.rules.in_vain * self.kb.reasoning.errors.sense * repair_minutes(repair, costs)

        def is_worth_it(check: Check) -> bool:
            there = Standing(repair.needs, check.setup)
            meter = not self.case.is_look(check.id) and check.needs is repair.needs
            return meter and check.id not in self.case.answered and minutes_for(check, there, costs) <= worth

        able = [name for name in repair.confirm if name in checks and is_worth_it(checks[name]) and self.possible(name)]
        able = [name for name in able if confirming_power(self.tables, name, faults) >= CLEARS]
        if not able:
            return None
        because = self.kb.reasoning.sentences["because_confirm"]
        why, fault = checks[able[0]].why, self.kb.faults[faults[0]].name
        return self._check(able[0], because.format(why=why, fault=fault))

    def _taken_again(self, repair: Repair, state: Confirmation) -> CheckNext | None:
        """Take again the reading that a repair hangs on, where that is worth its minutes."""
        retaking = Retaking(self.case, self.possible, self.minutes, self._restarted_for)
        name = retaking.due(repair, state)
        return self._check(name, self.kb.reasoning.sentences["because_pivotal"], retake=True) if name else None

    def _check_first(self, repair: Repair) -> CheckNext | None:
        """Return the best check where doing it first is expected to be cheaper than repairing now."""
        needed = self.tables.needing(repair.id)
        belief, least = self.case.probability, self.rules.check_first_chance
        telling = [c for c in self._ranked if may_change(self.tables, belief, c, needed, repair.floor, least)]
        if not telling:
            return None
        name = telling[0]
        gain = saving(self.tables, belief, name, self.minutes(name))
        return self._check(name) if gain > self.rules.check_first_gain else None

    def _propose(self, repair: Repair, faults: tuple[str, ...]) -> Propose:
        chance = self.case.repair_probability[repair.id]
        return Propose(repair.id, faults, chance, decisive(self.case, repair.id), chain(self.case, faults))

    def _inform(self) -> CheckNext | None:
        """Ask the check that tells most per minute; a telling one only where the fault is probably an unknown one."""
        lost = self.case.probability[UNKNOWN] >= self.rules.unknown_dominant
        least = self.rules.unknown_least_bits if lost else self.rules.least_bits
        worth = [name for name in self._ranked if self.bits[name] >= least]
        return self._check(worth[0]) if worth else None

    def _verify(self) -> CheckNext | None:
        """Nothing tells the known faults apart: see on the part of the likeliest one that it is not something else."""
        needed = self.tables.needs_repair @ self.case.known
        name = self.tables.repair_ids[int(needed.argmax())]
        if needed.max() < self.rules.verify_from or name in self.case.repairs_done:
            return None
        repair = self.kb.repairs[name]
        faults = main_faults(self.tables, self.case.known, name)
        able = {
            check: confirming_power(self.tables, check, faults) for check in repair.confirm
            if check in self.tables.checks and check not in self.case.settled and self.possible(check)
        }  # fmt: skip
        worth = [check for check, power in able.items() if power > 0]
        if not worth:
            return None
        check = max(worth, key=lambda c: able[c] / self.minutes(c))
        because = self.kb.reasoning.sentences["because_confirm"].format(
            why=self.tables.checks[check].why, fault=self.kb.faults[faults[0]].name
        )
        return self._check(check, because, retake=check in self.case.answered)

    def _prove_again(self, closed: Collection[str]) -> CheckNext | None:
        """A proof by looks fails: take its bad look again, before a long search and, though two agree, after one."""
        if self.case.unwell is not Unwell.LOOKS:
            return None
        wanted = {name: good for item in self.kb.close_out.values() for name, good in item.good_when.items()}
        for name, evidence in self.case.answered.items():
            bad = name in wanted and wanted[name] not in evidence.outcomes
            if bad and name not in closed and self.possible(name):
                return self._check(name, self.kb.reasoning.sentences["because_again"], retake=True)
        return None

    def _last_resort(self) -> Propose | None:
        """Nothing tells more: a repair whose part read wrong is worth trying though it is only likely."""
        floors = self.rules.last_resort
        for name, chance in sorted(self.case.repair_probability.items(), key=lambda item: -item[1]):
            repair = self.kb.repairs[name]
            if chance < floors.get(repair.price, 1.0) or name in self.case.repairs_done:
                continue
            faults = main_faults(self.tables, self.case.probability, name)
            if confirmation(self.case, name, faults).confirmed:
                return self._propose(repair, faults)
        return None

    def _shutting(self) -> str | None:
        """Return the look, seen once, that keeps a telling gauge reading from counting."""
        seen, settled = self.case.latest, self.case.settled
        for name in sorted(self.bits, key=lambda c: -self.bits[c]):
            if self.bits[name] < self.rules.least_bits or name in self.case.answered:
                continue
            shut = shut_gate(self.kb, name, seen)
            if shut is not None and shut.check in seen and shut.check not in settled and self._can_be_read(shut.check):
                return shut.check
        return None

    def _again(self) -> CheckNext | None:
        """Nothing new tells anything: take again what would tell most if it was wrong."""
        gate = self._shutting()
        if gate:
            return self._check(gate, self.kb.reasoning.sentences["because_again"], retake=True)
        once = [
            name for name, bits in self.bits.items()
            if bits >= self.rules.again_least_bits and name in self.case.answered
            and name not in self.case.settled and self.possible(name)
        ]  # fmt: skip
        if not once:
            return None
        name = max(once, key=lambda c: self.bits[c] / self.minutes(c))
        return self._check(name, self.kb.reasoning.sentences["because_again"], retake=True)


def _reads(stop: Stop, evidence: Evidence) -> bool:
    """Return True where a reading is one that raises the stop."""
    if evidence.value is None or evidence.over_limit:
        return False
    high = evidence.value if evidence.high is None else evidence.high
    too_low = stop.below is not None and evidence.value < stop.below
    return too_low or (stop.at_least is not None and high >= stop.at_least)

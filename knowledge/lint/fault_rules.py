"""Rules about faults and repairs: visible, provable, repairable, priced."""

from __future__ import annotations

from collections.abc import Iterator
from math import isclose

from knowledge.base import KnowledgeBase
from knowledge.generated import alone, left_out, possible
from knowledge.models.check import Residual, Sense
from knowledge.models.entry import PowerNeed
from knowledge.models.fault import Fault
from knowledge.unit_parts import every_element

from .rule import Finding, Rule, Severity

PRICES = ("none", "low", "medium", "high")
LEAST_FLOOR = 0.5


class FaultVisible(Rule):
    """A fault changes at least one check: through the circuit, a fact, or what is seen."""

    name = "fault-visible"
    severity = Severity.HIGH

    def check(self, kb: KnowledgeBase) -> Iterator[Finding]:
        """Yield faults that no check can notice."""
        for fault in kb.faults.values():
            if not (fault.sets or fault.shows or fault.facts or fault.signature):
                yield self.at(kb, "fault", fault.id, "changes no check: needs sets, facts, shows or a signature")


class FaultProvable(Rule):
    """At least one confirming check of the fault's repair can read wrong because of the fault."""

    name = "fault-provable"
    severity = Severity.HIGH

    def check(self, kb: KnowledgeBase) -> Iterator[Finding]:
        """Yield faults whose repair can never be proposed."""
        for fault in kb.faults.values():
            confirm = kb.repairs[fault.repair].confirm
            if not any(_can_show(kb, fault, check) for check in confirm):
                message = f"no confirming check of {fault.repair!r} can show it"
                yield self.at(kb, "fault", fault.id, message, "repair")


def _can_show(kb: KnowledgeBase, fault: Fault, check_id: str) -> bool:
    measure = kb.checks[check_id].measure
    if check_id in fault.shows:
        return True
    if isinstance(measure, Residual):
        return _shifts(kb, fault, measure.of)
    if isinstance(measure, Sense):
        return bool(measure.fact and (fault.sets or measure.fact in fault.facts))
    return bool(fault.sets)


def _shifts(kb: KnowledgeBase, fault: Fault, feature: str) -> bool:
    devices = kb.signatures.shifts.get(fault.signature or "", {})
    return any(any(shifts.get(feature, ())) for shifts in devices.values())


class FaultShares(Rule):
    """``shows`` gives shares that sum to 1 over outcomes of the check, and the prior is above zero."""

    name = "fault-shares"
    severity = Severity.HIGH

    def check(self, kb: KnowledgeBase) -> Iterator[Finding]:
        """Yield faults whose numbers are no probabilities."""
        for fault in kb.faults.values():
            if fault.prior <= 0:
                yield self.at(kb, "fault", fault.id, "prior must be above zero", "prior")
            for check, shares in fault.shows.items():
                if min(shares.values()) < 0 or not isclose(sum(shares.values()), 1):
                    yield self.at(kb, "fault", fault.id, f"shares of {check!r} must sum to 1", "shows", check)
                if not isinstance(kb.checks[check].measure, Sense):
                    yield self.at(kb, "fault", fault.id, f"{check!r} is measured, not seen", "shows", check)
        for complaint in kb.complaints.values():
            if not 0 < complaint.trust <= 1:
                yield self.at(kb, "complaint", complaint.id, "trust must be above 0 and at most 1", "trust")


class ElementFails(Rule):
    """Every way in which a part or conductor fails is written, made of it, or left out with a reason; once."""

    name = "element-fails"
    severity = Severity.HIGH

    def check(self, kb: KnowledgeBase) -> Iterator[Finding]:
        """Yield what was left out by oversight, and what is both made and left out."""
        made: set[tuple[str, str]] = set()
        for nth, group in enumerate(kb.generated.groups):
            for name in group.elements:
                if any(name == element for element, _ in made):
                    yield self.at(kb, "generated", "", f"{name!r} stands in two groups", "groups", nth)
                made |= {(name, mode) for mode in group.faults}
        left, written = left_out(kb.generated), alone(kb.faults.values())
        for name, mode in sorted(left & made):
            yield self.at(kb, "generated", "", f"{mode} of {name!r} is made and left out", "not_made")
        for unit in kb.units.values():
            for element in every_element(unit):
                for mode in possible(element, kb.generated):
                    if (element.id, mode) not in left | made | written:
                        message = f"{mode} of {element.id!r} in {unit.id!r} is neither written, made nor left out"
                        yield self.at(kb, "generated", "", message, "groups")


class RepairUsed(Rule):
    """Every repair mends some fault."""

    name = "repair-used"
    severity = Severity.MEDIUM

    def check(self, kb: KnowledgeBase) -> Iterator[Finding]:
        """Yield repairs that no fault asks for."""
        wanted = {fault.repair for fault in kb.faults.values()}
        wanted |= {made.repair for group in kb.generated.groups for made in group.faults.values()}
        for repair in kb.repairs.values():
            if repair.id not in wanted:
                yield self.at(kb, "repair", repair.id, "mends no fault")


class RepairConfirmed(Rule):
    """No part is condemned without a check on that part: every repair names one."""

    name = "repair-confirmed"
    severity = Severity.HIGH

    def check(self, kb: KnowledgeBase) -> Iterator[Finding]:
        """Yield repairs without a confirming check."""
        for repair in kb.repairs.values():
            if not repair.confirm:
                yield self.at(kb, "repair", repair.id, "has no confirming check", "confirm")


class RepairPower(Rule):
    """Nothing is repaired live; a part is fitted dead, unless the work is referred."""

    name = "repair-power"
    severity = Severity.HIGH

    def check(self, kb: KnowledgeBase) -> Iterator[Finding]:
        """Yield repairs that ask for too little safety."""
        for repair in kb.repairs.values():
            if repair.needs is PowerNeed.LIVE:
                yield self.at(kb, "repair", repair.id, "no repair is done live", "needs")
            if repair.part and repair.needs is PowerNeed.ANY and not repair.refer:
                message = "fits a part and must need dead or discharged"
                yield self.at(kb, "repair", repair.id, message, "needs")


class RepairFloor(Rule):
    """Floors lie between 0.5 and 1; no repair is proposed on less than the least of a cheaper price class."""

    name = "repair-floor"
    severity = Severity.HIGH

    def check(self, kb: KnowledgeBase) -> Iterator[Finding]:
        """Yield floors outside the range or falling with the price."""
        cheaper = 0.0
        for price in PRICES:
            group = [repair for repair in kb.repairs.values() if repair.price == price]
            for repair in group:
                if not LEAST_FLOOR <= repair.floor < 1:
                    message = f"floor {repair.floor} is not between {LEAST_FLOOR} and 1"
                    yield self.at(kb, "repair", repair.id, message, "floor")
                elif repair.floor < cheaper:
                    message = f"floor {repair.floor} is below {cheaper}, the least of a cheaper price class"
                    yield self.at(kb, "repair", repair.id, message, "floor")
            cheaper = max(cheaper, min((repair.floor for repair in group), default=0.0))


class MinutesPositive(Rule):
    """Everything takes time: minutes are above zero."""

    name = "minutes-positive"
    severity = Severity.HIGH

    def check(self, kb: KnowledgeBase) -> Iterator[Finding]:
        """Yield checks, repairs and waits that take no time."""
        for kind, entries in (("check", kb.checks), ("repair", kb.repairs), ("wait", kb.waits)):
            for entry_id, entry in entries.items():
                if entry.minutes <= 0:
                    yield self.at(kb, kind, entry_id, "minutes must be above zero", "minutes")


RULES: tuple[Rule, ...] = (
    FaultVisible(),
    FaultProvable(),
    FaultShares(),
    ElementFails(),
    RepairUsed(),
    RepairConfirmed(),
    RepairPower(),
    RepairFloor(),
    MinutesPositive(),
)

"""Rules about checks: answerable, guarded, judged, used."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from math import isclose

from knowledge.base import KnowledgeBase
from knowledge.models.check import Amps, Check, Gauge, Microfarad, Ohms, Residual, Sense, Volts
from knowledge.models.entry import PowerNeed
from knowledge.models.unit import UnitKind

from .rule import Finding, Rule, Severity

DEAD = (PowerNeed.DEAD, PowerNeed.DISCHARGED)
PREFIXES = {"volts": "v_", "amps": "a_", "ohms": "r_", "microfarad": "uf_", "residual": "x_"}


class CheckAnswered(Rule):
    """A look has two or more distinct outcomes, only words listed so mean two; a measurement has a quantity."""

    name = "check-answered"
    severity = Severity.HIGH

    def check(self, kb: KnowledgeBase) -> Iterator[Finding]:
        """Yield checks whose answers do not tell outcomes apart."""
        for check in kb.checks.values():
            if not isinstance(check.measure, Sense):
                if check.quantity is None:
                    yield self.at(kb, "check", check.id, "measures, but names no quantity")
                continue
            outcomes = [answer.outcome for answer in check.answers]
            if len(outcomes) < 2 or len(set(outcomes)) < len(outcomes):
                yield self.at(kb, "check", check.id, "needs two or more distinct outcomes", "answers")
            words = Counter(state for answer in check.answers for state in answer.states)
            for word in (word for word, count in words.items() if count > 1 and word not in check.either):
                yield self.at(kb, "check", check.id, f"{word!r} means two outcomes", "answers")
            for word in (word for word in check.either if words[word] < 2):
                yield self.at(kb, "check", check.id, f"{word!r} does not mean two outcomes", "either")
            if set(check.yes) & set(check.no) or bool(check.yes) != bool(check.no):
                yield self.at(kb, "check", check.id, "yes and no must both leave outcomes, and different ones", "yes")


class CheckShares(Rule):
    """Without a computed fact, ``normally`` gives every outcome a share, and the shares sum to 1."""

    name = "check-shares"
    severity = Severity.HIGH

    def check(self, kb: KnowledgeBase) -> Iterator[Finding]:
        """Yield looks whose usual outcomes do not add up."""
        for check in kb.checks.values():
            if not isinstance(check.measure, Sense):
                continue
            usual = check.measure.normally
            if check.measure.fact:
                if usual:
                    message = "has a computed fact, so 'normally' is never used"
                    yield self.at(kb, "check", check.id, message, "measure", "normally")
                continue
            outcomes = {answer.outcome for answer in check.answers}
            if set(usual) != outcomes or not isclose(sum(usual.values()), 1):
                message = "'normally' must give every outcome a share, together 1"
                yield self.at(kb, "check", check.id, message, "measure", "normally")


class LiveGuarded(Rule):
    """A live check says that covers are off or has a live set-up, and names its tool when it measures."""

    name = "live-guarded"
    severity = Severity.HIGH

    def check(self, kb: KnowledgeBase) -> Iterator[Finding]:
        """Yield live checks that do not look live."""
        for check in kb.checks.values():
            if check.needs is not PowerNeed.LIVE:
                continue
            if not check.covers_off and not check.setup.startswith("live_"):
                message = "is live, but has neither covers_off nor a live set-up"
                yield self.at(kb, "check", check.id, message, "needs")
            if not isinstance(check.measure, Sense) and not check.tools:
                yield self.at(kb, "check", check.id, "is measured live without a tool", "needs")


class SetupFits(Rule):
    """The set-up says the same as the power need: live_ with live, dead_ with dead or discharged."""

    name = "setup-fits"
    severity = Severity.HIGH

    def check(self, kb: KnowledgeBase) -> Iterator[Finding]:
        """Yield checks whose set-up contradicts the power state they ask for."""
        for check in kb.checks.values():
            live, dead = check.setup.startswith("live_"), check.setup.startswith("dead_")
            if live != (check.needs is PowerNeed.LIVE) or dead != (check.needs in DEAD):
                message = f"set-up {check.setup!r} does not fit needs: {check.needs}"
                yield self.at(kb, "check", check.id, message, "setup")
            if check.covers_off and check.needs is PowerNeed.ANY:
                yield self.at(kb, "check", check.id, "covers off must be live, dead or discharged", "needs")


class OhmsDead(Rule):
    """Resistance and capacitance are measured dead; where the hands come to a capacitor, discharged."""

    name = "ohms-dead"
    severity = Severity.HIGH

    def check(self, kb: KnowledgeBase) -> Iterator[Finding]:
        """Yield off-line measurements that ask for less than their power state."""
        for check in kb.checks.values():
            if not isinstance(check.measure, Ohms | Microfarad):
                continue
            charged = any(_at_capacitor(check, unit) for unit in kb.units.values())
            if charged and check.needs is not PowerNeed.DISCHARGED:
                message = "touches a capacitor's circuit and must need discharged"
                yield self.at(kb, "check", check.id, message, "needs")
            elif check.needs not in DEAD:
                yield self.at(kb, "check", check.id, "must need dead or discharged", "needs")


def _at_capacitor(check: Check, unit: UnitKind) -> bool:
    measure = check.measure
    if isinstance(measure, Microfarad):
        return True
    if not isinstance(measure, Ohms):
        return False
    charged = {end for part in unit.elements if part.kind == "capacitor" for end in (part.a, part.b)}
    lifted = {end for part in unit.elements if part.id in measure.leads_off for end in (part.a, part.b)}
    return bool(charged & {*measure.between, *lifted})


class NumericJudged(Rule):
    """A measured number has a limit that says what is right."""

    name = "numeric-judged"
    severity = Severity.MEDIUM

    def check(self, kb: KnowledgeBase) -> Iterator[Finding]:
        """Yield measurements that nothing judges."""
        for check in kb.checks.values():
            judged = isinstance(check.measure, Sense | Gauge | Residual)  # gauges are judged together, by residuals
            if check.quantity and not judged and check.limit is None:
                yield self.at(kb, "check", check.id, "is a number without a limit")


class LimitQuantity(Rule):
    """A check or proof and its limit are about the same quantity, and the check's subject can have it."""

    name = "limit-quantity"
    severity = Severity.HIGH

    def check(self, kb: KnowledgeBase) -> Iterator[Finding]:
        """Yield limits of another quantity, and subjects that do not list the quantity measured on them."""
        for check in kb.checks.values():
            if check.limit and kb.limits[check.limit].quantity != check.quantity:
                yield self.at(kb, "check", check.id, f"limit {check.limit!r} is of another quantity", "limit")
            for subject in (check.about, *check.also_about):
                if check.quantity and check.quantity not in kb.subjects[subject].quantities:
                    message = f"{subject!r} does not list {check.quantity!r} among its quantities"
                    yield self.at(kb, "check", check.id, message, "about")
        for proof in kb.close_out.values():
            if proof.limit and not proof.reads and kb.limits[proof.limit].quantity != proof.quantity:
                message = f"limit {proof.limit!r} is of another quantity"
                yield self.at(kb, "close_out", proof.id, message, "limit")


class CheckUsed(Rule):
    """A check is measured, computed, or named by a fault, repair, stop or proof; else it tells nothing."""

    name = "check-used"
    severity = Severity.MEDIUM

    def check(self, kb: KnowledgeBase) -> Iterator[Finding]:
        """Yield checks whose answer changes nothing."""
        named = {check for fault in kb.faults.values() for check in fault.shows}
        named |= {check for repair in kb.repairs.values() for check in repair.confirm}
        named |= {proof.check for proof in kb.close_out.values() if proof.check}
        named |= {check for stop in kb.stops.values() for check in (stop.check, *stop.retests) if check}
        for check in kb.checks.values():
            if isinstance(check.measure, Residual):
                how = check.measure
                named |= {*how.inputs, *how.orifice_inputs, *how.instead, *how.sharper, *how.from_chart.values()}
        named |= {gate.check for gates in kb.signatures.gates.values() for gate in gates}
        named.add(kb.signatures.device_check)
        for check in kb.checks.values():
            computed = isinstance(check.measure, Volts | Amps | Ohms | Microfarad | Residual)
            fact = isinstance(check.measure, Sense) and check.measure.fact
            if not computed and not fact and check.id not in named:
                yield self.at(kb, "check", check.id, "is used by no fault, repair, stop or proof")


class CheckId(Rule):
    """The id of a measurement starts with what it measures: v_, a_, r_, uf_; x_ where it is worked out."""

    name = "check-id"
    severity = Severity.LOW

    def check(self, kb: KnowledgeBase) -> Iterator[Finding]:
        """Yield measurements named unlike their kind."""
        for check in kb.checks.values():
            prefix = PREFIXES.get(check.measure.kind, "")
            if not check.id.startswith(prefix):
                yield self.at(kb, "check", check.id, f"should be called {prefix}...", "id")


RULES: tuple[Rule, ...] = (
    CheckAnswered(),
    CheckShares(),
    LiveGuarded(),
    SetupFits(),
    OhmsDead(),
    NumericJudged(),
    LimitQuantity(),
    CheckUsed(),
    CheckId(),
)

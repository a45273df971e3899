"""Rules about safety: stops can be cleared and not by themselves, cautions reach what they are for."""

from __future__ import annotations

from collections.abc import Iterator

from knowledge.base import KnowledgeBase
from knowledge.models.check import Check
from knowledge.models.repair import Repair
from knowledge.models.safety import Stop
from knowledge.models.visit import Phase

from .rule import Finding, Rule, Severity


class StopTriggered(Rule):
    """A stop has exactly one trigger: a reading beyond a value, a finding, or a repair wanted twice."""

    name = "stop-triggered"
    severity = Severity.HIGH

    def check(self, kb: KnowledgeBase) -> Iterator[Finding]:
        """Yield stops that nothing or too much raises."""
        for stop in kb.stops.values():
            values = [value for value in (stop.below, stop.at_least) if value is not None]
            begun = [bool(stop.check or values), bool(stop.about or stop.states), bool(stop.repeats_repair)]
            reading, finding = bool(stop.check and len(values) == 1), bool(stop.about and stop.states)
            if begun.count(True) != 1 or begun != [reading, finding, bool(stop.repeats_repair)]:
                yield self.at(kb, "stop", stop.id, "needs exactly one whole trigger")
            if not stop.forbids:
                yield self.at(kb, "stop", stop.id, "forbids nothing", "forbids")


class StopClearable(Rule):
    """The re-test of a stop can be done while the stop stands, can pass, and does not raise it again."""

    name = "stop-clearable"
    severity = Severity.HIGH

    def check(self, kb: KnowledgeBase) -> Iterator[Finding]:
        """Yield stops that never clear, or clear on what raised them."""
        for stop in kb.stops.values():
            for retest in stop.retests:
                for message in _no_way_out(stop, kb.checks[retest]):
                    yield self.at(kb, "stop", stop.id, message, "retest")


def _no_way_out(stop: Stop, retest: Check) -> Iterator[str]:
    if retest.needs in stop.forbids:
        yield f"re-test {retest.id!r} needs {retest.needs}, which the stop forbids"
    passes = [stop.retest_at_least is not None or stop.retest_below is not None, bool(stop.retest_outcomes)]
    if passes.count(True) != 1:
        yield "needs either a number or outcomes that pass the re-test"
    if passes[0] and retest.quantity is None:
        yield f"re-test {retest.id!r} gives no number"
    if stop.check == retest.id:
        low, high = stop.retest_at_least, stop.retest_below
        if stop.below is not None and (low is None or low < stop.below):
            yield "a re-test that passes would raise it again"
        if stop.at_least is not None and (high is None or high > stop.at_least):
            yield "a re-test that passes would raise it again"
    passing = [answer.states for answer in retest.answers if answer.outcome in stop.retest_outcomes]
    if any(set(stop.states) & set(states) for states in passing):
        yield "a re-test that passes would raise it again"


class CautionListed(Rule):
    """A caution that a check or repair names lists it in its ``when``, so that list is complete."""

    name = "caution-listed"
    severity = Severity.MEDIUM

    def check(self, kb: KnowledgeBase) -> Iterator[Finding]:
        """Yield cautions whose list misses an entry that names them, or has no place at all."""
        named: list[tuple[str, Check | Repair]] = [("check", entry) for entry in kb.checks.values()]
        named += [("repair", entry) for entry in kb.repairs.values()]
        for kind, entry in named:
            for caution in entry.cautions:
                if not {f"{kind}:{entry.id}", f"needs:{entry.needs}"} & set(kb.cautions[caution].when):
                    message = f"when lacks {kind}:{entry.id}, which names it"
                    yield self.at(kb, "caution", caution, message, "when")
        for lonely in (caution for caution in kb.cautions.values() if not caution.when):
            yield self.at(kb, "caution", lonely.id, "is shown nowhere", "when")


class StepOrder(Rule):
    """Steps have different places in the order, and one with a reading says of what and up to what value."""

    name = "step-order"
    severity = Severity.HIGH

    def check(self, kb: KnowledgeBase) -> Iterator[Finding]:
        """Yield steps that cannot be put in order or judged."""
        taken: dict[int, str] = {}
        for step in kb.steps.values():
            if step.order in taken:
                yield self.at(kb, "step", step.id, f"has the same place as {taken[step.order]!r}", "order")
            taken[step.order] = step.id
            dead = (step.reading is not None, step.at_most is not None)
            live = (step.live_reading is not None, step.at_least is not None)
            told = any(dead) + any(live)
            if len({*dead}) > 1 or len({*live}) > 1 or told > 1 or bool(told) != (step.about is not None):
                said = "reading, about and at_most (or live_reading, about and at_least) belong together"
                yield self.at(kb, "step", step.id, said, "reading")


class PhasesComplete(Rule):
    """Every phase of a visit has its text, once."""

    name = "phases-complete"
    severity = Severity.HIGH

    def check(self, kb: KnowledgeBase) -> Iterator[Finding]:
        """Yield phases without a text or with two."""
        for phase in Phase:
            count = [text.phase for text in kb.phases].count(phase)
            if count != 1:
                yield self.at(kb, "phases", "", f"{phase} has {count} texts")


RULES: tuple[Rule, ...] = (StopTriggered(), StopClearable(), CautionListed(), StepOrder(), PhasesComplete())

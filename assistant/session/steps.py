"""Which safety steps count, which are still missing, and why a step does not count yet.

Order: 29 CFR 1910.147(d) (lockout), NFPA 70E 120.5 (tester proved, tested, proved again), 29 CFR
1910.333(b)(2) (re-energising); each step in the knowledge cites its own source.
"""

from __future__ import annotations

from math import isfinite

from knowledge import KnowledgeBase
from knowledge.models.entry import Fitted, PowerNeed
from knowledge.models.safety import SafetyStep
from knowledge.models.visit import CloseOutItem
from knowledge.variants import Configuration

from .state import HELD_DEAD, Power, VisitState

CHAIN = ("isolate", "prove_dead", "remove_charge")
"""Groups of steps from fed to safe; each needs all of those before it."""


def refusal(state: VisitState, step_id: str, kb: KnowledgeBase, value: float | None = None) -> str | None:
    """Return why a step does not count now, naming the missing step, or None where it counts.

    A zero reading above the step's limit is never refused: it counts, as danger.
    """
    step = kb.steps.get(step_id)
    if step is None:
        return f"This version knows no safety step {step_id!r}."
    if step.at_most is not None and (value is None or not isfinite(value)):
        return f"{_capital(step.name)} counts only with its reading. {step.say}"
    if step.group == "prove_dead" and too_high(step, value):
        return None
    missing = _missing_before(state, step, kb)
    if missing is None:
        return None
    return f"{_capital(step.name)} does not count yet. First: {missing.name}."


def missing_steps(state: VisitState, need: PowerNeed, kb: KnowledgeBase) -> tuple[SafetyStep, ...]:
    """Return the steps still to be done, in order, before work that needs this power state.

    An unknown power state counts as live.
    """
    match need:
        case PowerNeed.LIVE:
            if state.power in HELD_DEAD:  # the new epoch asks for the precautions again
                return (*_not_done(state, kb, ("restore",)), *group_of(state, kb, "live_work"))
            return _not_done(state, kb, ("live_work",))
        case PowerNeed.DEAD:
            return _not_done(state, kb, CHAIN[:2])
        case PowerNeed.DISCHARGED:
            return _not_done(state, kb, CHAIN)
        case PowerNeed.ANY:
            return ()


def steps_to_restart(state: VisitState, kb: KnowledgeBase) -> tuple[SafetyStep, ...]:
    """Return what is open before the unit counts as put back on: clear of tools, clear of people, power on.

    The clearing steps count where they were confirmed in this epoch or before the power came back.
    """
    *clearing, power_on = group_of(state, kb, "restore")
    still_open = [step for step in clearing if step.id not in done_ids(state) | state.restore_checked]
    return (*still_open, *(() if state.power is Power.LIVE else (power_on,)))


def group_of(state: VisitState, kb: KnowledgeBase, group: str) -> tuple[SafetyStep, ...]:
    """Return the steps of one group in their order, as they are for the unit of the visit."""
    listed = (step for step in kb.steps.values() if step.group == group and is_for(step, state, kb))
    return tuple(sorted(listed, key=lambda step: step.order))


def is_for(entry: Fitted, state: VisitState, kb: KnowledgeBase) -> bool:
    """Return True for what every unit has, and for what this one has, as told or as is usual: a step, a proof."""
    if not entry.only_with and not entry.not_with:
        return True
    unit = kb.units.get(state.unit_kind)
    if unit is None:
        return not entry.only_with
    return Configuration.of(unit, state.built).as_usual(unit).allows(entry, unit)


def is_to_prove(item: CloseOutItem, state: VisitState, kb: KnowledgeBase) -> bool:
    """Return True for a close-out item of this unit, and of this visit's complaints where it belongs to one."""
    complained = {reported.complaint for reported in state.complaints}
    return is_for(item, state, kb) and item.is_for(complained)


def done_ids(state: VisitState) -> frozenset[str]:
    """Return the ids of the steps that count in the current epoch."""
    return frozenset(confirmed.step for confirmed in state.steps_done)


def switched_off(state: VisitState, kb: KnowledgeBase) -> bool:
    """Return True where the disconnect is reported open, locked and proved or not: nothing outside should be fed."""
    if state.power in HELD_DEAD:
        return True
    return bool(done_ids(state) & {step.id for step in group_of(state, kb, "isolate")})


def too_high(step: SafetyStep, value: float | None) -> bool:
    """Return True where a reading is above what still counts as dead; the size counts, whatever its sign."""
    return step.at_most is not None and value is not None and not abs(value) <= step.at_most


def _not_done(state: VisitState, kb: KnowledgeBase, groups: tuple[str, ...]) -> tuple[SafetyStep, ...]:
    done = done_ids(state)
    return tuple(step for group in groups for step in group_of(state, kb, group) if step.id not in done)


def _missing_before(state: VisitState, step: SafetyStep, kb: KnowledgeBase) -> SafetyStep | None:
    done = done_ids(state)
    earlier = CHAIN[: CHAIN.index(step.group)] if step.group in CHAIN else ()
    before = [other for group in earlier for other in group_of(state, kb, group)]
    before += [other for other in group_of(state, kb, step.group) if _waits_for(kb, step, other)]
    return next((other for other in before if other.id not in done), None)


def _waits_for(kb: KnowledgeBase, step: SafetyStep, other: SafetyStep) -> bool:
    independent = any(step.id in names and other.id in names for names in kb.power_rules.any_order)
    return other.order < step.order and not independent


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]

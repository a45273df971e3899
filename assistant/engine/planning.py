"""What comes next: a question, a step of making safe, a check, a repair, a proof - always one."""

from __future__ import annotations

from dataclasses import dataclass

from assistant.dialogue.sentences import sentence
from assistant.reasoning.diagnosis import CannotTell, CheckNext, Diagnosis, NoFault, Propose
from assistant.reasoning.safety import gate, open_retests
from assistant.session import events as e
from assistant.session.state import HELD_DEAD, Power
from assistant.session.state import Stop as StandingStop
from assistant.session.steps import CHAIN, steps_to_restart, switched_off
from knowledge.models.check import Check
from knowledge.models.entry import PowerNeed
from knowledge.models.repair import Repair
from knowledge.models.safety import SafetyStep
from knowledge.models.unit import Option
from knowledge.models.visit import CloseOutItem

from .building import open_question
from .draft import Draft
from .history import diagnosis_of
from .phase_moves import move
from .proving import (
    bad_once,
    fails,
    is_contested,
    open_items,
    pass_over_unmeasurable,
    settling_check,
    unexplained,
)
from .stopping import raise_stops
from .waiting import tell_ends_first

_HANDS_IN = frozenset({PowerNeed.DEAD, PowerNeed.DISCHARGED})


@dataclass(frozen=True, slots=True)
class Plan:
    """One next thing and what must be done before it."""

    check: Check | None = None
    repair: Repair | None = None
    proof: CloseOutItem | None = None
    need: PowerNeed = PowerNeed.ANY
    missing: tuple[SafetyStep, ...] = ()
    decision: CheckNext | Propose | CannotTell | NoFault | None = None
    intake: bool = False
    option: Option | None = None
    """How the unit is built, which is asked before the check that hangs on it."""
    restore: bool = False
    """True where the next thing is to put power back."""


def plan_next(draft: Draft, diagnosis: Diagnosis | None) -> Plan:
    """Decide the next thing for the phase the visit is in, and log what is asked."""
    if draft.halted:
        return Plan()
    plan = _plan(draft, diagnosis)
    if draft.unclear is None and draft.awaited is None:
        _log_asked(draft, plan)
    return plan


def _plan(draft: Draft, diagnosis: Diagnosis | None) -> Plan:
    phase = draft.state.phase
    if phase == "intake":
        return Plan(intake=True)
    if phase == "repair" and draft.state.proposed is not None:
        return _repair_plan(draft, draft.state.proposed.repair, None)
    if phase == "restart":
        return _restart(draft)
    if phase in {"proving", "securing"}:
        return _close_out(draft, diagnosis)
    if phase == "closed" or diagnosis is None:
        return Plan()
    return _search(draft, diagnosis)


def _search(draft: Draft, diagnosis: Diagnosis) -> Plan:
    kb = draft.kb
    retest = _retest_of_unproved(draft)
    if retest is not None:
        return Plan(check=retest, need=retest.needs, missing=steps_before(draft, retest))
    settling = settling_check(draft.state, kb)
    if settling is not None:
        return Plan(check=settling, need=settling.needs, missing=steps_before(draft, settling))
    decision = _decide(draft, diagnosis, stay_dead=True)
    if isinstance(decision, CannotTell):
        decision = _decide(draft, diagnosis, stay_dead=False)
    failing = unexplained(draft.state, kb)
    if isinstance(decision, NoFault) and failing:  # proving once more would go round for ever
        names = ", ".join(item.name for item in failing)
        decision = CannotTell(decision.because, (sentence(kb, "whatever_fails", names=names).screen,))
    missing = steps_before(draft, kb.checks[decision.check]) if isinstance(decision, CheckNext) else ()
    option = None if missing else open_question(draft, decision)
    if option is not None:
        return Plan(option=option, decision=None if isinstance(decision, CannotTell) else decision)
    if isinstance(decision, CheckNext):
        check = kb.checks[decision.check]
        return Plan(check=check, need=check.needs, missing=missing, decision=decision)
    if isinstance(decision, Propose):
        _log_proposal(draft, decision)
        return _repair_plan(draft, decision.repair, decision)
    if isinstance(decision, NoFault):
        _log_verdict(draft, "no fault found", decision.because)
        move(draft, "no_fault", quiet=True)
        return _close_out(draft, diagnosis)
    _log_verdict(draft, "cannot tell", decision.excluded)
    return Plan(decision=decision)


def _retest_of_unproved(draft: Draft) -> Check | None:
    """The re-test of a stop that was seen, or read where it should not have been: it goes before anything else."""
    for standing in draft.state.stops:
        stop = draft.kb.stops[standing.stop]
        if stop.about is not None:
            measured = _first_measured(draft, standing)
            if measured is not None:
                return measured
            continue
        taken = draft.state.latest.get(stop.check or "")
        if taken is None or taken.proved or stop.check not in stop.retests or stop.check in draft.state.skipped:
            continue
        check = draft.kb.checks[stop.check]
        if not draft.state.tools_missing.intersection(check.tools):
            return check
    return None


def _first_measured(draft: Draft, standing: StandingStop) -> Check | None:
    """Return the re-test with a meter that was not read since a stop was raised by a look.

    A re-test that is a look comes after the repair: what is burnt now will be burnt when looked at again.
    """
    for name in open_retests(draft.kb, draft.state, standing):
        check, read = draft.kb.checks[name], draft.state.latest.get(name)
        possible = name not in draft.state.skipped and not draft.state.tools_missing.intersection(check.tools)
        if possible and check.quantity is not None and (read is None or read.at <= standing.at):
            return check
    return None


def _decide(draft: Draft, diagnosis: Diagnosis, *, stay_dead: bool) -> CheckNext | Propose | CannotTell | NoFault:
    """Ask the diagnosis for the next step; with ``stay_dead`` not for what throws the work of making safe away."""
    state = draft.state
    making_safe, unfed = _making_safe(draft), _found_unfed(draft)

    def allowed(check: Check) -> bool:
        if _barred(draft, check) or (check.as_found and switched_off(state, draft.kb)):
            return False
        fed = check.needs is PowerNeed.LIVE or check.energised
        if unfed and fed and check.setup not in draft.kb.power_rules.indoor_setups:
            return False
        if not stay_dead:
            return True
        if making_safe:
            return check.needs in _HANDS_IN
        return not (fed and state.power in HELD_DEAD and check.id in state.latest)

    return diagnosis.decide(
        allowed=allowed,
        skipped=tuple(state.skipped),
        tools_missing=state.tools_missing,
        power=_power_need(state.power),
        setup=_last_setup(draft),
    )


def _found_unfed(draft: Draft) -> bool:
    """Return True where a tripped breaker or a pulled disconnect was found, and not put back since."""
    state, kb = draft.state, draft.kb
    last_repair = state.repairs[-1].seq if state.repairs else 0
    if state.power is Power.LIVE:
        return False
    for name, seen in state.latest.items():
        if not isinstance(seen, e.FindingMade) or seen.seq < last_repair or name not in kb.checks:
            continue
        without_feed = {answer.outcome for answer in kb.checks[name].answers if answer.unfed}
        if seen.outcomes and set(seen.outcomes) <= without_feed:
            return True
    return False


def _making_safe(draft: Draft) -> bool:
    """The technician has begun to isolate or prove dead: hands are to go in, so the chain is finished first."""
    if draft.making_safe or draft.state.power is Power.ISOLATED or _just_made_safe(draft):
        return True
    return draft.state.power not in HELD_DEAD and switched_off(draft.state, draft.kb)


def _just_made_safe(draft: Draft) -> bool:
    """The last thing done was a step of making safe, and only words and questions came after it."""
    talk = (e.NoteHeard, e.ReplyGiven, e.Asked)
    last = next((event for event in reversed(draft.visit.events) if not isinstance(event, talk)), None)
    step = draft.kb.steps.get(last.step) if isinstance(last, e.StepConfirmed) else None
    return step is not None and step.group in CHAIN


def steps_before(draft: Draft, check: Check) -> tuple[SafetyStep, ...]:
    """Return the safety steps still missing before a check, in order."""
    state, kb = draft.state, draft.kb
    if check.needs is PowerNeed.DEAD and _discharging(draft):
        return gate(state, PowerNeed.DISCHARGED, kb).missing
    if check.needs is PowerNeed.ANY and check.energised and state.power in HELD_DEAD:
        return tuple(step for step in gate(state, PowerNeed.LIVE, kb).missing if step.group == "restore")
    return gate(state, check.needs, kb).missing


def _discharging(draft: Draft) -> bool:
    """The capacitor was discharged but not measured yet: that is finished before anything else."""
    state = draft.state
    return state.power is Power.PROVED_DEAD and any(
        draft.kb.steps[done.step].group == "remove_charge" for done in state.steps_done
    )


def _barred(draft: Draft, check: Check) -> bool:
    """A standing stop forbids the power state this check would need."""
    need = PowerNeed.LIVE if check.energised else check.needs
    return bool(gate(draft.state, need, draft.kb).barred)


def _repair_plan(draft: Draft, repair_id: str, decision: Propose | None) -> Plan:
    repair = draft.kb.repairs[repair_id]
    missing = gate(draft.state, repair.needs, draft.kb).missing
    return Plan(repair=repair, need=repair.needs, missing=missing, decision=decision)


def _restart(draft: Draft) -> Plan:
    """Clear, warn, power on; a stop that stands sends back to its re-test instead."""
    state, kb = draft.state, draft.kb
    barred = gate(state, PowerNeed.LIVE, kb).barred
    if barred:
        retest = kb.checks[open_retests(kb, state, barred[0])[0]]
        return Plan(check=retest, need=retest.needs, missing=steps_before(draft, retest))
    missing = steps_to_restart(state, kb)
    if not missing and move(draft, "power_restored"):
        return _close_out(draft, None)
    if _passed_over(draft, missing) and move(draft, "running_already"):
        draft.remark("running_unconfirmed", signal="warning", names=", ".join(step.name for step in missing))
        return _close_out(draft, None)
    if _restart_is_news(draft, missing):
        tell_ends_first(draft)
    return Plan(missing=missing, need=PowerNeed.LIVE, restore=True)


def _restart_is_news(draft: Draft, missing: tuple[SafetyStep, ...]) -> bool:
    """True on entering the restart and before the last step of it, so that it is not said with every note."""
    entered = any(isinstance(event, e.PhaseEntered) for event in draft.events)
    asked = draft.state.asked
    return entered or (len(missing) == 1 and (asked is None or asked.id != missing[0].id))


def _passed_over(draft: Draft, missing: tuple[SafetyStep, ...]) -> bool:
    """The unit runs already, and the technician who was asked what comes before that tells how it runs."""
    asked = draft.state.asked
    if draft.state.power is not Power.LIVE or asked is None or asked.id not in {step.id for step in missing}:
        return False
    return any(isinstance(event, e.ReadingTaken | e.FindingMade | e.PowerChanged) for event in draft.events)


def _close_out(draft: Draft, diagnosis: Diagnosis | None) -> Plan:
    """The next proof that is open; when all are recorded the visit moves on by itself."""
    if _came_out_bad(draft) and move(draft, "still_faulty", quiet=True):
        fresh = diagnosis_of(draft.state, draft.kb, diagnosis.tables) if diagnosis is not None else None
        return _search(draft, fresh) if fresh is not None else Plan()
    pass_over_unmeasurable(draft)
    left = open_items(draft.state, draft.kb)
    if not left:
        trigger = "proofs_complete" if draft.state.phase == "proving" else "secured"
        if not move(draft, trigger):
            return Plan()
        if draft.state.phase == "closed":
            draft.emit(e.VisitClosed, outcome=_outcome(draft))
            draft.action = "write_note"
            return Plan()
        left = open_items(draft.state, draft.kb)
    proof = left[0]
    check = draft.kb.checks[proof.check] if proof.check else None
    need = check.needs if check else PowerNeed.ANY
    missing = steps_before(draft, check) if check else ()
    return Plan(proof=proof, check=check, need=need, missing=missing)


def _came_out_bad(draft: Draft) -> bool:
    """Say what came out bad just now; True where a proof of performance fails for good, and the search goes on."""
    bad = [
        draft.kb.close_out[p.item] for p in draft.state.proofs.values() if p.verdict == "bad" and p.note == draft.note
    ]
    failed = [item for item in bad if fails(draft.state, item)]
    for item in bad:
        word = "proof_fails" if item in failed else "proof_bad_once" if bad_once(draft.state, item) else "proof_bad"
        draft.remark(word, signal="warning", name=item.name)
    good = [
        draft.kb.close_out[p.item] for p in draft.state.proofs.values() if p.verdict == "good" and p.note == draft.note
    ]
    for item in good:
        if is_contested(draft.state, item):
            draft.remark("proof_contested", name=item.name)
    return draft.state.phase == "proving" and bool(failed)


def _outcome(draft: Draft) -> str:
    state = draft.state
    if state.repairs:
        known = draft.kb.repairs
        handed_on = all(done.repair in known and known[done.repair].refer for done in state.repairs)
        return "referred" if handed_on else "repaired"
    return state.verdict.verdict if state.verdict else "broken off"


def _log_proposal(draft: Draft, decision: Propose) -> None:
    before = draft.state.proposed
    if before is not None and before.repair == decision.repair and before.cause == decision.faults:
        return
    draft.emit(
        e.RepairProposed,
        repair=decision.repair,
        cause=decision.faults,
        probability=round(decision.probability, 4),
        evidence=decision.evidence,
        consequences=decision.consequences,
    )
    raise_stops(draft, draft.events[-1])


def _log_verdict(draft: Draft, verdict: str, because: tuple[str, ...]) -> None:
    before = draft.state.verdict
    if before is None or before.verdict != verdict or before.because != because:
        draft.emit(e.VerdictReached, verdict=verdict, because=because)


def _log_asked(draft: Draft, plan: Plan) -> None:
    kind, asked_id = "none", ""
    if plan.missing:
        kind, asked_id = "step", plan.missing[0].id
    elif plan.proof is not None:
        kind, asked_id = "close_out", plan.proof.id
    elif plan.repair is not None:
        kind, asked_id = "repair", plan.repair.id
    elif plan.check is not None:
        kind, asked_id = "check", plan.check.id
    elif plan.option is not None:
        kind, asked_id = "built", plan.option.id
        draft.emit(e.BuiltAsked, option=plan.option.id)
    elif plan.intake:
        kind, asked_id = "intake", "complaint"
    before = draft.state.asked
    if before is None or (before.kind, before.id) != (kind, asked_id):
        draft.emit(e.Asked, kind=kind, id=asked_id)


def _power_need(power: Power) -> PowerNeed:
    return {
        Power.UNKNOWN: PowerNeed.ANY,
        Power.LIVE: PowerNeed.LIVE,
        Power.ISOLATED: PowerNeed.DEAD,
        Power.PROVED_DEAD: PowerNeed.DEAD,
        Power.DISCHARGED: PowerNeed.DISCHARGED,
    }[power]


def _last_setup(draft: Draft) -> str | None:
    seen: list[e.ReadingTaken | e.FindingMade] = [*draft.state.readings[-1:], *draft.state.findings[-1:]]
    last = max(seen, key=lambda one: one.seq, default=None)
    return draft.kb.checks[last.check].setup if last is not None and last.check else None

"""Steps of making safe, and news about the power, as the technician reports them."""

from __future__ import annotations

from assistant.dialogue.sentences import Said
from assistant.language.models import Doubt, Heard, Kind
from assistant.reasoning.safety import gate
from assistant.session import events as e
from assistant.session.state import HELD_DEAD, Power
from assistant.session.steps import CHAIN, done_ids, refusal, too_high
from knowledge.models.entry import PowerNeed
from knowledge.models.safety import SafetyStep

from .draft import Draft
from .heard_data import as_data
from .matching import subject_chain
from .proving import proves_by_step


def step_for_reading(draft: Draft, item: Heard) -> SafetyStep | None:
    """Return the safety step a reading proves, where the visit is at making safe; None where it is plain evidence.

    Each pair of points proves itself alone: one leg to ground is never taken for leg to leg.
    """
    kb = draft.kb
    if item.about is None or item.over_limit:
        return None
    held_dead = draft.state.power in HELD_DEAD
    if (tester := _tester_step(draft, item)) is not None:
        return tester
    for step in kb.steps.values():
        if step.about is None or step.reading is None or step.reading != item.quantity:
            continue
        if step.group == "remove_charge" and step.about in subject_chain(kb, item.about):
            return step
        if step.group == "prove_dead" and held_dead and item.about in {step.about, *step.also_about}:
            return step
    return None


def _tester_step(draft: Draft, item: Heard) -> SafetyStep | None:
    """Return the asked step where volts of the known source tell that the tester works: a bare "121".

    Told in one note behind the three zeros it is the second proof of the tester: "0, 0, 0, tester 120 again".
    """
    asked = draft.state.asked
    step = draft.kb.steps.get(asked.id) if asked is not None and asked.kind == "step" else None
    if step is not None and step.group == "prove_dead" and step.at_least is None and _zeros_done(draft):
        step = draft.kb.steps["tester_after"]
    if step is None or step.at_least is None or item.about != step.about or item.quantity != step.live_reading:
        return None
    return step if item.value is not None and abs(item.value) >= step.at_least else None


def says_tester_works(draft: Draft, item: Heard) -> bool:
    """Return True for a bare "still good" to the step that proves the tester."""
    asked = draft.state.asked
    step = draft.kb.steps.get(asked.id) if asked is not None and asked.kind == "step" else None
    if step is None or step.at_least is None or item.about != step.about:
        return False
    return item.state == "good" and not item.negated


def safety_reading(draft: Draft, step: SafetyStep, item: Heard) -> None:
    """Take a reading as a proof, or say why it is none."""
    value = draft.amount(item.quantity or "", item.value)
    draft.read_back(
        item,
        kind="safety",
        about=step.id,
        name=step.name,
        quantity=item.quantity,
        value=item.value,
        shown=f"{step.name}: {value}",
    )
    _confirm(draft, step, item, item.value)


def take_safety(draft: Draft, item: Heard) -> None:
    """Take a reported step: only a clear, unhedged report of something done counts."""
    kb = draft.kb
    step = kb.steps[item.about or ""]
    if step.id == "tester_before" and _zeros_done(draft):
        step = kb.steps["tester_after"]
    draft.read_back(
        item,
        kind="safety",
        about=step.id,
        name=step.name,
        value="not done" if item.negated else "done",
        shown=("not done: " if item.negated else "") + step.name,
    )
    if proves_by_step(draft, step.id, item):
        return
    if item.negated:
        _undone(draft, step, item)
        return
    if draft.spoken and Doubt.MISHEARD not in item.doubts:
        _ask_clear_yes(draft, step, item)
        return
    _confirm(draft, step, item, item.value)


def take_power(draft: Draft, item: Heard) -> None:
    """Power on or off as reported. On: reality wins, proofs are gone. Off alone isolates nothing."""
    switched_on = item.about == "power_on"
    draft.read_back(
        item,
        name="power on" if switched_on else "power off",
        value="not done" if item.negated else "on" if switched_on else "off",
        shown=("not: " if item.negated else "") + ("power on" if switched_on else "power off"),
    )
    if item.negated:
        return
    if switched_on:
        proves_by_step(draft, "power_on", item)
        power_on(draft, item)
    elif draft.state.power in {Power.LIVE, Power.UNKNOWN}:
        if draft.state.power is Power.LIVE:
            draft.emit(e.PowerChanged, to="unknown", because=f"{item.said}: switched off, not isolated")
        draft.remark("off_is_not_isolated", signal="warning")


def power_on(draft: Draft, item: Heard) -> None:
    """Power has come back: clear the proofs, warn where it should not have."""
    kb, state = draft.kb, draft.state
    barred = gate(state, PowerNeed.LIVE, kb).barred
    if barred:
        names = ", ".join(kb.stops[standing.stop].name for standing in barred)
        draft.remark("energised_against_stop", signal="danger", names=names)
    early = refusal(state, "power_on", kb, None) if state.power in HELD_DEAD else None
    if early is None and not barred and state.power in HELD_DEAD:
        draft.emit(e.StepConfirmed, step="power_on", said=item.said)
        return
    if early is not None:
        draft.remark("power_on_early", signal="warning", missing=early)
    draft.emit(e.PowerChanged, to="live", because=item.said)


def confirm_asked_step(draft: Draft, item: Heard) -> None:
    """A bare "done" or "yes" to the step that was asked."""
    asked = draft.state.asked
    if asked is None:
        return
    step = draft.kb.steps[asked.id]
    if step.reading is not None:
        draft.remark("step_needs_reading", signal="notice", name=step.name)
        return
    take_safety(draft, Heard(Kind.SAFETY, item.said, item.start, item.end, about=step.id, doubts=item.doubts))


def _confirm(draft: Draft, step: SafetyStep, item: Heard, value: float | None) -> None:
    kb = draft.kb
    draft.making_safe = draft.making_safe or step.group in CHAIN
    if item.high is not None:
        value = item.high
    dangerous = too_high(step, value)
    if not dangerous and {Doubt.UNSURE, Doubt.MISHEARD} & set(item.doubts):  # a doubtful danger is a danger
        draft.remark("step_unsure", signal="warning", name=step.name)
        return
    if step.id == "power_on":
        power_on(draft, item)
        return
    why_not = refusal(draft.state, step.id, kb, value)
    if why_not is not None and not dangerous:
        draft.remark("step_refused", signal="notice", because=why_not)
        return
    draft.emit(e.StepConfirmed, step=step.id, value=value, said=item.said)
    if dangerous and step.group == "prove_dead":
        draft.remark("not_dead", signal="danger", said=item.said)
    elif dangerous:
        draft.remark("still_charged", signal="danger", value=draft.amount(step.reading or "", value))


def _undone(draft: Draft, step: SafetyStep, item: Heard) -> None:
    """Not done, or no longer: a step that stood and is undone takes every proof with it."""
    if step.instead is not None:
        draft.remarks.append(Said(step.instead, step.instead_spoken or step.instead, "warning"))
    stood = step.id in done_ids(draft.state) or (step.group == "isolate" and draft.state.power in HELD_DEAD)
    restoring = draft.state.phase == "restart" and step.group == "isolate"
    if restoring:
        if stood:
            draft.emit(e.PowerChanged, to="unknown", because=f"{item.said}: {step.name} no longer holds")
    elif stood and step.group != "live_work":
        draft.emit(e.PowerChanged, to="unknown", because=f"{item.said}: {step.name} no longer holds")
        draft.remark("step_undone", signal="warning", name=step.name)
    else:
        draft.remark("step_not_done", signal="notice", name=step.name)


def _ask_clear_yes(draft: Draft, step: SafetyStep, item: Heard) -> None:
    """Spoken confirmations are read back and need a clear yes."""
    plain = Heard(Kind.SAFETY, item.said, item.start, item.end, about=step.id, value=item.value)
    draft.unclear = plain
    draft.emit(e.Asked, kind="clarify", id="clear_yes", options=(as_data(plain),))


def _zeros_done(draft: Draft) -> bool:
    done = {step.step for step in draft.state.steps_done}
    zeros = {step.id for step in draft.kb.steps.values() if step.group == "prove_dead" and step.reading}
    return zeros <= done

"""Unsafe moves: what the apprentice did that would have hurt, by the same gate that a visit asks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from assistant.dialogue.sentences import Said, sentence
from assistant.reasoning.safety import gate
from assistant.session import events as e
from assistant.session.power import fed_from_elsewhere
from assistant.session.state import HELD_DEAD, Power, VisitState
from assistant.session.steps import switched_off
from knowledge import KnowledgeBase
from knowledge.models.check import Check
from knowledge.models.entry import PowerNeed


@dataclass(frozen=True, slots=True)
class Move:
    """One unsafe move."""

    what: Said
    missing: tuple[str, ...] = ()
    """Names of the steps that should have been done before."""


def unsafe_check(state: VisitState, check: Check, kb: KnowledgeBase) -> Move | None:
    """Return what is unsafe about doing this check now; None where it may be done."""
    if reads_dead(state, check, kb):
        return None
    found = gate(state, check.needs, kb)
    if found.free:
        return None
    missing = tuple(step.name for step in found.missing)
    return Move(sentence(kb, _kind(state, check.needs, kb, barred=bool(found.barred)), name=check.name), missing)


def _kind(state: VisitState, need: PowerNeed, kb: KnowledgeBase, *, barred: bool) -> str:
    if barred:
        return "unsafe_stop"
    if need is PowerNeed.LIVE:
        return "unsafe_no_care"
    if not switched_off(state, kb):
        return "unsafe_live_circuit"
    return "unsafe_charged" if state.power is Power.PROVED_DEAD else "unsafe_not_proved"


def reads_dead(state: VisitState, check: Check, kb: KnowledgeBase) -> bool:
    """Return True where a check of the running unit says nothing, because its disconnect is open."""
    if not (check.needs is PowerNeed.LIVE or check.energised) or not switched_off(state, kb):
        return False
    return not fed_from_elsewhere(check.about, kb)


def unsafe_events(before: VisitState, events: Sequence[e.AnyEvent], kb: KnowledgeBase) -> list[Move]:
    """Return the unsafe moves in what was just reported: power put back too early, hands in a unit not made safe."""
    found = []
    for event in events:
        if isinstance(event, e.RepairDone) and not gate(before, kb.repairs[event.repair].needs, kb).free:
            found.append(Move(sentence(kb, "unsafe_repair", name=kb.repairs[event.repair].name)))
        if not _puts_power_on(event):
            continue
        if gate(before, PowerNeed.LIVE, kb).barred:
            found.append(Move(sentence(kb, "unsafe_stop", name="power on")))
        elif isinstance(event, e.PowerChanged) and before.power in HELD_DEAD:
            found.append(Move(sentence(kb, "unsafe_early")))
    return found


def _puts_power_on(event: e.AnyEvent) -> bool:
    if isinstance(event, e.PowerChanged):
        return event.to == "live"
    return isinstance(event, e.StepConfirmed) and event.step == "power_on"

"""What the conversation tells the language part before it reads the next note."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from assistant.dialogue.quantities import System
from assistant.language.models import Asked, Context, Heard
from assistant.reasoning.limits import LimitResult, limit_for_check, part_spec
from assistant.session import events as e
from assistant.session.state import HELD_DEAD, Power, VisitState
from knowledge import KnowledgeBase
from knowledge.models.repair import Repair

from .heard_data import from_data


def plate_values(state: VisitState) -> Mapping[str, float]:
    """Return the numeric plate values read so far, by plate item id, in canonical units."""
    return {item: read.value for item, read in state.plate.items() if read.value is not None}


def plate_words(state: VisitState) -> Mapping[str, str]:
    """Return the plate items that are text, by item id: the refrigerant."""
    return {item: read.text for item, read in state.plate.items() if read.text}


def specified(kb: KnowledgeBase, state: VisitState, repair: Repair) -> str:
    """Return the part that a repair takes in trade terms, as far as plate and old part were read."""
    return part_spec(kb, repair.specify, plate_values(state), plate_words(state))


def measured_values(state: VisitState) -> Mapping[str, float | None]:
    """Return the readings that count now by check id, in canonical units; None = over limit."""
    return {check: reading.value for check, reading in state.latest.items() if isinstance(reading, e.ReadingTaken)}


def limit_now(kb: KnowledgeBase, state: VisitState, check_id: str) -> LimitResult | None:
    """Return what a check should read here, from plate and readings so far; None where it has no limit."""
    return limit_for_check(kb, check_id, plate_values(state), measured_values(state))


def language_context(
    state: VisitState,
    events: Sequence[e.AnyEvent],
    kb: KnowledgeBase,
    *,
    spoken: bool,
    confidence: float | None = None,
    units: System = "us",
) -> Context:
    """Return the pending question, the plate, the last note's items, the technician's units, and how sure the
    recogniser is (0..1).
    """
    asked = _asked(state, events, kb)
    return Context(
        asked=asked,
        goal=_asked_goal(events, kb) if asked is not None and asked.kind == "clarify" else None,
        plate=plate_values(state),
        proposed=state.proposed.repair if state.proposed else None,
        watched=_watched(state, kb),
        found=tuple({*(one.about for one in state.findings), *(one.about for one in state.readings)}),
        last=_last_items(events, state),
        powered=True if state.power is Power.LIVE else False if state.power in HELD_DEAD else None,
        metric=units == "si",
        spoken=spoken,
        confidence=1.0 if confidence is None else confidence,
    )


def goal_of(events: Sequence[e.AnyEvent]) -> str | None:
    """Return the id of the check or proof that the last reply led to, also where a safety step came first."""
    return next((event.next for event in reversed(events) if isinstance(event, e.ReplyGiven)), None)


def _watched(state: VisitState, kb: KnowledgeBase) -> str | None:
    """Return the part whose temperature a running wait hangs on."""
    waits = (kb.waits[timer.wait] for timer in state.timers.values() if timer.wait in kb.waits)
    return next((wait.about for wait in waits if wait.watched), None)


def _asked_goal(events: Sequence[e.AnyEvent], kb: KnowledgeBase) -> Asked | None:
    goal = goal_of(events)
    if goal is not None and goal in kb.checks:
        return _asked_check(kb, goal)
    return _asked_proof(kb, goal) if goal is not None and goal in kb.close_out else None


def _asked(state: VisitState, events: Sequence[e.AnyEvent], kb: KnowledgeBase) -> Asked | None:
    asked = state.asked
    if asked is None or asked.kind == "none":
        return None
    if asked.kind == "check":
        return _asked_check(kb, asked.id)
    if asked.kind == "step":
        step = kb.steps[asked.id]
        if step.group == "live_work":  # who measures at once has answered what comes after it
            behind = _asked_goal(events, kb)
            if behind is not None:
                return replace(behind, kind="step", id=step.id)
        told = step.reading or step.live_reading
        unit = kb.quantities[told].unit if told else None
        return Asked("step", step.id, step.about, told, unit)
    if asked.kind == "close_out":
        return _asked_proof(kb, asked.id)
    if asked.kind == "plate":
        plate = kb.plate_items[asked.id]
        unit = kb.quantities[plate.quantity].unit if plate.quantity else None
        return Asked("plate", plate.id, plate.subject, plate.quantity, unit, plausible=plate.plausible)
    options = tuple(from_data(option) for option in asked.options)
    if asked.kind == "calculation":
        wanted = options[0].subject or ""
        return Asked("calculation", asked.id, wanted, kb.calculation_inputs[wanted].quantity, options=options)
    return Asked(asked.kind, asked.id, options=options)


def _asked_check(kb: KnowledgeBase, check_id: str) -> Asked:
    check = kb.checks[check_id]
    unit = kb.quantities[check.quantity].unit if check.quantity else None
    states = tuple(state_id for answer in check.answers for state_id in answer.states)
    return Asked("check", check.id, check.about, check.quantity, unit, states, check.plausible)


def _asked_proof(kb: KnowledgeBase, proof_id: str) -> Asked:
    item = kb.close_out[proof_id]
    unit = kb.quantities[item.quantity].unit if item.quantity else None
    about = None if item.reads else item.about  # two readings answer the others: each names its own place
    return Asked("close_out", item.id, about, item.quantity, unit)


def _last_items(events: Sequence[e.AnyEvent], state: VisitState) -> tuple[Heard, ...]:
    for event in reversed(events):
        if isinstance(event, e.NoteHeard) and event.note not in state.taken_back and event.heard:
            return tuple(from_data(item) for item in event.heard)
    return ()

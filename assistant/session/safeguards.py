"""The safety half of the fold: power, proofs, stops. It takes every event, also if taken back later."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from knowledge import KnowledgeBase
from knowledge.models.entry import PowerNeed

from . import events as e
from .power import Happening, confirmed, happened, rebuilt, worked_on
from .record import recorded
from .state import Stop, VisitState

NOT_UNDONE = (e.StepConfirmed, e.PowerChanged, e.StopCleared, e.BuiltTold, e.NoteTakenBack)
"""Events whose effect on the safety half is looked at when their note is taken back."""


def safeguarded(
    state: VisitState, event: e.AnyEvent, kb: KnowledgeBase, of_note: Iterable[e.AnyEvent] = ()
) -> VisitState:
    """Return the state with the safety half of one event.

    ``of_note``: for ``NoteTakenBack``, the events of the note it takes back.
    """
    match event:
        case e.StepConfirmed():
            state = confirmed(state, event, kb)
        case e.PowerChanged(to="live"):
            state = happened(state, Happening.FOUND_LIVE, event.because, kb)
        case e.PowerChanged():
            state = happened(state, Happening.LOST_TRACK, event.because, kb)
        case e.VisitResumed():
            state = happened(state, Happening.RESUMED, Happening.RESUMED.value, kb)
        case e.StopRaised():
            state = _with_stop(state, Stop(event.stop, event.because, event.at))
        case e.StopCleared():
            state = replace(state, stops=tuple(stop for stop in state.stops if stop.stop != event.stop))
        case e.ReadingTaken() | e.FindingMade() | e.RepairDone():
            state = worked_on(state, _need(event, kb), kb)
        case e.BuiltTold():
            state = rebuilt(state, recorded(state, event), kb)
        case e.NoteTakenBack():
            state = _taken_back(state, of_note, kb)
        case _:
            pass
    return state


def _taken_back(state: VisitState, of_note: Iterable[e.AnyEvent], kb: KnowledgeBase) -> VisitState:
    """Words are taken back, not what happened: stops stay, cleared ones stand again, power is unknown."""
    moved = False
    for event in of_note:
        if isinstance(event, e.StopCleared):
            because = f"the re-test that cleared it was taken back ({event.because})"
            state = _with_stop(state, Stop(event.stop, because, event.at))
        moved = moved or isinstance(event, e.StepConfirmed | e.PowerChanged) or _changes_steps(event, kb)
    return happened(state, Happening.TAKEN_BACK, Happening.TAKEN_BACK.value, kb) if moved else state


def _changes_steps(event: e.AnyEvent, kb: KnowledgeBase) -> bool:
    """True for a word on how the unit is built that safety steps hang on, and for one that may bring it back."""
    if not isinstance(event, e.BuiltTold):
        return isinstance(event, e.NoteTakenBack)
    named = (condition for step in kb.steps.values() for condition in (*step.only_with, *step.not_with))
    return event.option in {condition.partition(".")[0] for condition in named}


def _with_stop(state: VisitState, stop: Stop) -> VisitState:
    if any(standing.stop == stop.stop for standing in state.stops):
        return state
    return replace(state, stops=(*state.stops, stop))


def _need(event: e.ReadingTaken | e.FindingMade | e.RepairDone, kb: KnowledgeBase) -> PowerNeed:
    if isinstance(event, e.RepairDone):
        repair = kb.repairs.get(event.repair)
        return repair.needs if repair is not None else PowerNeed.ANY
    check = kb.checks.get(event.check or "")
    return check.needs if check is not None else PowerNeed.ANY

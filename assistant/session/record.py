"""The record half of the fold: what was said and found. It never reads the safety half."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any, TypeVar

from knowledge.models.visit import Phase
from knowledge.variants import KIND

from . import events as e
from .state import Skip, Timer, VisitState, timer_key

V = TypeVar("V")


TAKES = 5
"""Answers to one check that are kept apart."""
PROOFS_AGREE = 0.15
"""Two values of one proof agree when they lie within this share of the larger one."""


def recorded(state: VisitState, event: e.AnyEvent) -> VisitState:
    """Return the state with the record half of one event; unchanged by events that leave no trace in it."""
    handler = _HANDLERS.get(type(event))
    return state if handler is None else handler(state, event)


def void_notes(taken_back: tuple[e.NoteTakenBack, ...]) -> frozenset[int]:
    """Return the notes that do not count.

    A note can only take back an earlier one. Where the note that took back is taken back itself, the first
    counts again; that is why the latest is looked at first.
    """
    void: set[int] = set()
    for event in sorted(taken_back, key=lambda event: event.note, reverse=True):
        if 0 < event.taken_back < event.note and event.note not in void:
            void.add(event.taken_back)
    return frozenset(void)


def counts(event: e.AnyEvent, void: frozenset[int]) -> bool:
    """Return True where the event is part of the record. Opening and resuming are no technician's words."""
    return event.note not in void or isinstance(event, e.VisitOpened | e.VisitResumed)


def _opened(state: VisitState, event: e.VisitOpened) -> VisitState:
    return replace(state, visit=event.visit, unit_kind=event.unit_kind, opened=event.at)


def _complaint(state: VisitState, event: e.ComplaintReported) -> VisitState:
    return replace(state, complaints=(*state.complaints, event))


def _plate(state: VisitState, event: e.PlateRead) -> VisitState:
    return replace(state, plate={**state.plate, event.item: event})


def _built(state: VisitState, event: e.BuiltTold) -> VisitState:
    if event.option == KIND:
        return replace(state, unit_kind=event.choice)
    return replace(state, built={**state.built, event.option: event.choice})


def _built_asked(state: VisitState, event: e.BuiltAsked) -> VisitState:
    return replace(state, built_asked=state.built_asked | {event.option})


def _reading(state: VisitState, event: e.ReadingTaken) -> VisitState:
    return replace(_answered(state, event), readings=(*state.readings, event))


def _finding(state: VisitState, event: e.FindingMade) -> VisitState:
    return replace(_answered(state, event), findings=(*state.findings, event))


def _answered(state: VisitState, event: e.ReadingTaken | e.FindingMade) -> VisitState:
    """A repeat replaces what the check read before, and a check that was set aside is answered after all."""
    if event.check is None:
        return state
    skipped = state.skipped if event.check not in state.skipped else _without(state.skipped, event.check)
    times = {**state.times, event.check: state.times.get(event.check, 0) + 1}
    takes = {**state.takes, event.check: (*state.takes.get(event.check, ())[1 - TAKES :], event)}
    latest = {**state.latest, event.check: event}
    return replace(state, latest=latest, takes=takes, times=times, skipped=skipped)


def _skipped(state: VisitState, event: e.CheckSkipped) -> VisitState:
    return replace(state, skipped={**state.skipped, event.check: Skip(event.check, event.because)})


def _tool(state: VisitState, event: e.ToolMissing) -> VisitState:
    tools = state.tools_missing - {event.tool} if event.found else state.tools_missing | {event.tool}
    return replace(state, tools_missing=tools)


def _hazard(state: VisitState, event: e.HazardReported) -> VisitState:
    return replace(state, hazards=state.hazards | {event.hazard})


def _asked(state: VisitState, event: e.Asked) -> VisitState:
    return replace(state, asked=event)


def _proposed(state: VisitState, event: e.RepairProposed) -> VisitState:
    return replace(state, proposed=event)


def _repaired(state: VisitState, event: e.RepairDone) -> VisitState:
    """After work on the unit every proof of performance has to be taken afresh."""
    proposed = state.proposed
    if proposed is not None and proposed.repair == event.repair:
        proposed = None
    return replace(
        state,
        declined=_without(state.declined, event.repair),
        repairs=(*state.repairs, event),
        before_repairs=(*state.before_repairs, state.latest),
        takes={},
        times={},
        proposed=proposed,
        proofs={},
        bad_proofs={},
        contested=frozenset(),
    )


def _fitted(state: VisitState, event: e.PartFitted) -> VisitState:
    return replace(state, fitted=(*state.fitted, event))


def _declined(state: VisitState, event: e.RepairDeclined) -> VisitState:
    return replace(state, declined={**state.declined, event.repair: event})


def _phase(state: VisitState, event: e.PhaseEntered) -> VisitState:
    if event.phase not in _PHASES or event.phase == state.phase:
        return state
    closed = state.closed if event.phase == Phase.CLOSED else None
    if event.phase == Phase.FINDING:  # the search is on again: its verdict is history, and what was bad is open
        good = {} if state.phase != Phase.PROVING else state.proofs
        proofs = {name: proof for name, proof in good.items() if proof.verdict != "bad"}
        return replace(state, phase=event.phase, closed=closed, proofs=proofs, verdict=None)
    return replace(state, phase=event.phase, closed=closed)


def _timer_started(state: VisitState, event: e.TimerStarted) -> VisitState:
    timer = Timer(event.wait, event.at, event.minutes, event.because, event.nth)
    return replace(state, timers={**state.timers, timer.key: timer})


def _timer_ended(state: VisitState, event: e.TimerEnded) -> VisitState:
    return replace(state, timers=_without(state.timers, timer_key(event.wait, event.nth)))


def _proof(state: VisitState, event: e.ProofRecorded) -> VisitState:
    before = state.bad_proofs.get(event.item, 0)
    bad = _without(state.bad_proofs, event.item)
    contested = state.contested - {event.item}
    if event.verdict == "bad":
        bad[event.item] = max(before, 1) if _apart(state.proofs.get(event.item), event) else before + 1
    elif event.verdict == "good" and before == 1 and event.item not in state.contested:
        bad[event.item], contested = before, contested | {event.item}
    return replace(state, proofs={**state.proofs, event.item: event}, bad_proofs=bad, contested=contested)


def _apart(before: e.ProofRecorded | None, now: e.ProofRecorded) -> bool:
    """Return True where two bad values are so far apart that one of them was misread."""
    if before is None or before.verdict != "bad" or before.value is None or now.value is None:
        return False
    return abs(before.value - now.value) > PROOFS_AGREE * max(abs(before.value), abs(now.value))


def _free_note(state: VisitState, event: e.FreeNote) -> VisitState:
    return replace(state, notes=(*state.notes, event))


def _photo(state: VisitState, event: e.PhotoNamed) -> VisitState:
    return replace(state, photos=(*state.photos, event))


def _remembered(state: VisitState, event: e.UnitRemembered) -> VisitState:
    return replace(state, remembered=event)


def _verdict(state: VisitState, event: e.VerdictReached) -> VisitState:
    return replace(state, verdict=event)


def _closed(state: VisitState, event: e.VisitClosed) -> VisitState:
    return replace(state, closed=event.outcome, phase=Phase.CLOSED.value)


def _without(mapping: Mapping[str, V], key: str) -> dict[str, V]:
    return {other: value for other, value in mapping.items() if other != key}


_PHASES = frozenset(phase.value for phase in Phase)
_HANDLERS: dict[type[e.Event], Callable[[VisitState, Any], VisitState]] = {
    e.VisitOpened: _opened,
    e.ComplaintReported: _complaint,
    e.PlateRead: _plate,
    e.BuiltTold: _built,
    e.BuiltAsked: _built_asked,
    e.ReadingTaken: _reading,
    e.FindingMade: _finding,
    e.CheckSkipped: _skipped,
    e.ToolMissing: _tool,
    e.HazardReported: _hazard,
    e.Asked: _asked,
    e.RepairProposed: _proposed,
    e.RepairDone: _repaired,
    e.PartFitted: _fitted,
    e.RepairDeclined: _declined,
    e.PhaseEntered: _phase,
    e.TimerStarted: _timer_started,
    e.TimerEnded: _timer_ended,
    e.ProofRecorded: _proof,
    e.PhotoNamed: _photo,
    e.FreeNote: _free_note,
    e.UnitRemembered: _remembered,
    e.VerdictReached: _verdict,
    e.VisitClosed: _closed,
}

"""The phases of a visit: one table from (phase, trigger) to phase, with guards that say what is missing."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from knowledge import KnowledgeBase
from knowledge.models.entry import PowerNeed
from knowledge.models.visit import Phase

from .state import HELD_DEAD, Power, VisitState
from .steps import group_of, is_to_prove, steps_to_restart


class Trigger(StrEnum):
    """What can move a visit from one phase to another."""

    COMPLAINT_OR_FINDING = "complaint_or_finding"
    REPAIR_ACCEPTED = "repair_accepted"
    REPAIR_STARTED = "repair_started"
    REPAIR_DONE = "repair_done"
    POWER_RESTORED = "power_restored"
    RUNNING_ALREADY = "running_already"
    NO_FAULT = "no_fault"
    STILL_FAULTY = "still_faulty"
    PROOFS_COMPLETE = "proofs_complete"
    SECURED = "secured"
    LEAVE_UNREPAIRED = "leave_unrepaired"
    FINISH_EARLY = "finish_early"
    REOPEN = "reopen"


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why a transition is not taken."""

    sentence: str
    """For the technician; names what is missing."""
    guard: str = ""
    """Name of the guard that refused; empty where the phase has no such way out."""


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the table."""

    source: tuple[Phase, ...]
    on: Trigger
    target: Phase
    guards: tuple[str, ...] = ()
    """Names in ``GUARDS``, asked in this order."""


_OPEN = tuple(phase for phase in Phase if phase is not Phase.CLOSED)
_NOT_AT_REPAIR = (Phase.INTAKE, Phase.FINDING, Phase.RESTART, Phase.PROVING)
_AT_WORK = (Phase.INTAKE, Phase.FINDING, Phase.REPAIR, Phase.RESTART, Phase.PROVING)
TABLE = (
    Row((Phase.INTAKE,), Trigger.COMPLAINT_OR_FINDING, Phase.FINDING),
    Row(_NOT_AT_REPAIR, Trigger.REPAIR_ACCEPTED, Phase.REPAIR),
    Row(_NOT_AT_REPAIR, Trigger.REPAIR_STARTED, Phase.REPAIR),
    Row((*_AT_WORK, Phase.SECURING), Trigger.REPAIR_DONE, Phase.RESTART),
    Row((Phase.RESTART,), Trigger.POWER_RESTORED, Phase.PROVING, ("no stop stands", "clear and on")),
    Row((Phase.RESTART,), Trigger.RUNNING_ALREADY, Phase.PROVING, ("no stop stands", "power on")),
    Row((Phase.FINDING,), Trigger.NO_FAULT, Phase.PROVING, ("no stop stands",)),
    Row((Phase.RESTART, Phase.PROVING, Phase.SECURING), Trigger.STILL_FAULTY, Phase.FINDING),
    Row((Phase.PROVING,), Trigger.PROOFS_COMPLETE, Phase.SECURING, ("proofs recorded",)),
    Row((Phase.SECURING,), Trigger.SECURED, Phase.CLOSED, ("securing recorded", "left safe")),
    Row(_AT_WORK, Trigger.LEAVE_UNREPAIRED, Phase.SECURING),
    Row(_OPEN, Trigger.FINISH_EARLY, Phase.CLOSED, ("left safe",)),
    Row((Phase.CLOSED,), Trigger.REOPEN, Phase.FINDING),
)
_ROWS = {(source, row.on): row for row in TABLE for source in row.source}
_TARGETS = frozenset((row.target, row.on) for row in TABLE)


def next_phase(state: VisitState, trigger: str, kb: KnowledgeBase) -> Phase | Refusal:
    """Return the phase that a trigger leads to, or why not.

    A trigger that leads where the visit already is changes nothing. Raises ValueError for an unknown trigger.
    """
    on = Trigger(trigger)
    phase = Phase(state.phase)
    row = _ROWS.get((phase, on))
    if row is None:
        if (phase, on) in _TARGETS:
            return phase
        return Refusal(_no_way(phase, on, kb))
    for name in row.guards:
        sentence = GUARDS[name](state, kb)
        if sentence is not None:
            return Refusal(sentence, name)
    return row.target


def phase_table() -> str:
    """Return the phase table as Markdown, one line per row of ``TABLE``."""
    lines = ["| Phase | Trigger | Guards | Next phase |", "|---|---|---|---|"]
    for row in TABLE:
        source = "any but closed" if row.source == _OPEN else ", ".join(row.source)
        lines.append(f"| {source} | {row.on} | {', '.join(row.guards) or 'none'} | {row.target} |")
    return "\n".join(lines) + "\n"


def standing_against(state: VisitState, need: PowerNeed, kb: KnowledgeBase) -> tuple[str, ...]:
    """Return the ids of the standing stops that forbid work in this power state.

    A stop that this version of the knowledge does not know forbids energising.
    """
    return tuple(
        stop.stop
        for stop in state.stops
        if need in (kb.stops[stop.stop].forbids if stop.stop in kb.stops else (PowerNeed.LIVE,))
    )


def _no_stop_stands(state: VisitState, kb: KnowledgeBase) -> str | None:
    against = standing_against(state, PowerNeed.LIVE, kb)
    if not against:
        return None
    name, retest = _stop_name(against[0], kb), _retest(against[0], kb)
    return f"Do not energise: {name}. Only a re-test that passes clears it{retest}."


def _clear_and_on(state: VisitState, kb: KnowledgeBase) -> str | None:
    missing = steps_to_restart(state, kb)
    return f"Not back on yet. Missing: {missing[0].name}. {missing[0].say}" if missing else None


def _power_on(state: VisitState, kb: KnowledgeBase) -> str | None:
    on = group_of(state, kb, "restore")[-1]
    return None if state.power is Power.LIVE else f"Not back on yet. Missing: {on.name}. {on.say}"


def _proofs_recorded(state: VisitState, kb: KnowledgeBase) -> str | None:
    return _not_recorded(state, kb, Phase.PROVING)


def _securing_recorded(state: VisitState, kb: KnowledgeBase) -> str | None:
    return _not_recorded(state, kb, Phase.SECURING)


def _left_safe(state: VisitState, kb: KnowledgeBase) -> str | None:
    """A unit that must not be energised is left with the disconnect open, locked and tagged."""
    against = standing_against(state, PowerNeed.LIVE, kb)
    if not against or state.power in HELD_DEAD:
        return None
    return (
        f"Do not leave it like this: {_stop_name(against[0], kb)}, and the unit is not isolated. "
        "Open the disconnect, put lock and tag on, and tell me; then the visit can be closed."
    )


GUARDS: dict[str, Callable[[VisitState, KnowledgeBase], str | None]] = {
    "no stop stands": _no_stop_stands,
    "clear and on": _clear_and_on,
    "power on": _power_on,
    "proofs recorded": _proofs_recorded,
    "securing recorded": _securing_recorded,
    "left safe": _left_safe,
}
"""Name -> the sentence that says what is missing, or None where nothing is."""


def _not_recorded(state: VisitState, kb: KnowledgeBase, phase: Phase) -> str | None:
    missing = [
        item
        for item in kb.close_out.values()
        if item.phase is phase and item.id not in state.proofs and is_to_prove(item, state, kb)
    ]
    if not missing:
        return None
    names = ", ".join(item.name for item in missing)
    return f"Not recorded yet: {names}. Say good, bad, or not done and why."


def _no_way(phase: Phase, on: Trigger, kb: KnowledgeBase) -> str:
    names = {text.phase: text.name for text in kb.phases}
    froms = [source for row in TABLE if row.on is on for source in row.source]
    return f"Not in the phase {names.get(phase, phase)!s}; that belongs to {_listed(froms, names)}."


def _listed(phases: list[Phase], names: dict[Phase, str]) -> str:
    return " or ".join(dict.fromkeys(str(names.get(phase, phase)) for phase in phases))


def _stop_name(stop: str, kb: KnowledgeBase) -> str:
    return kb.stops[stop].name if stop in kb.stops else stop


def _retest(stop: str, kb: KnowledgeBase) -> str:
    retests = kb.stops[stop].retests if stop in kb.stops else ()
    return f": {' and '.join(kb.checks[check].name for check in retests)}" if retests else ""

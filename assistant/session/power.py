"""The power state: one table from (state, what happened) to state.

Proofs belong to an epoch. Everything that may have brought power back ends the epoch, and nothing but doing
the steps again brings a proof back. Which step counts when is decided in ``steps``.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, datetime
from enum import StrEnum

from knowledge import KnowledgeBase
from knowledge.models.entry import PowerNeed
from knowledge.models.safety import SafetyStep

from . import events as e
from .state import HELD_DEAD, Power, VisitState
from .steps import CHAIN, done_ids, group_of, missing_steps, refusal, steps_to_restart, too_high

__all__ = [
    "HELD_DEAD",
    "TABLE",
    "Happening",
    "Row",
    "confirmed",
    "fed_from_elsewhere",
    "happened",
    "missing_steps",
    "next_power",
    "power_table",
    "rebuilt",
    "refusal",
    "shows_live",
    "steps_to_restart",
    "worked_on",
]


class Happening(StrEnum):
    """What can move the power state."""

    ISOLATED = "last isolating step confirmed"
    PROVED = "last step of proving dead confirmed"
    CHARGE_REMOVED = "DC check at or below its limit"
    CHARGE_FOUND = "DC check above its limit"
    VOLTAGE_FOUND = "zero reading above its limit"
    POWER_ON = "power-on step confirmed"
    FOUND_LIVE = "power reported or measured on"
    MORE_TO_PROVE = "the unit is told to have other points to prove dead"
    MORE_CHARGE = "the unit is told to have other charged parts"
    LOST_TRACK = "power reported as no longer known"
    RESUMED = "visit resumed after an interruption"
    TAKEN_BACK = "note with a step or a power change taken back"


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the table: from any of ``source`` to ``target`` when ``on`` happens."""

    source: tuple[Power, ...]
    on: Happening
    target: Power
    guard: str
    """What must be true before, in words; ``steps.refusal`` is the code of it."""
    new_epoch: bool = False
    """True where all proofs are cleared."""
    keeps: str | None = None
    """Group of steps that still counts in the new epoch: who took the unit for live is not asked again to do so."""


_ANY = tuple(Power)
_NOT_UNKNOWN = tuple(power for power in Power if power is not Power.UNKNOWN)
TABLE = (
    Row(
        (Power.UNKNOWN, Power.LIVE),
        Happening.ISOLATED,
        Power.ISOLATED,
        "disconnect opened, then own lock and tag",
    ),
    Row(
        (Power.ISOLATED,),
        Happening.PROVED,
        Power.PROVED_DEAD,
        "tester proved, all zero readings, tester proved again",
    ),
    Row(
        (Power.PROVED_DEAD,),
        Happening.CHARGE_REMOVED,
        Power.DISCHARGED,
        "discharged through the resistor before",
    ),
    Row((Power.DISCHARGED, Power.PROVED_DEAD), Happening.CHARGE_FOUND, Power.PROVED_DEAD, "discharge again"),
    Row((Power.PROVED_DEAD, Power.DISCHARGED), Happening.MORE_TO_PROVE, Power.ISOLATED, "none: prove it dead anew"),
    Row((Power.DISCHARGED,), Happening.MORE_CHARGE, Power.PROVED_DEAD, "none: discharge anew"),
    Row(_ANY, Happening.VOLTAGE_FOUND, Power.LIVE, "none: danger", new_epoch=True),
    Row(_ANY, Happening.POWER_ON, Power.LIVE, "tools and people clear; on is on all the same", new_epoch=True),
    Row((Power.UNKNOWN,), Happening.FOUND_LIVE, Power.LIVE, "none: reality wins", new_epoch=True, keeps="live_work"),
    Row(_NOT_UNKNOWN, Happening.FOUND_LIVE, Power.LIVE, "none: reality wins", new_epoch=True),
    Row(_ANY, Happening.LOST_TRACK, Power.UNKNOWN, "none", new_epoch=True),
    Row(_ANY, Happening.RESUMED, Power.UNKNOWN, "none", new_epoch=True),
    Row(_ANY, Happening.TAKEN_BACK, Power.UNKNOWN, "none", new_epoch=True),
)
_ROWS = {(source, row.on): row for row in TABLE for source in row.source}
_COMPLETES = {
    "isolate": Happening.ISOLATED,
    "prove_dead": Happening.PROVED,
    "remove_charge": Happening.CHARGE_REMOVED,
}
_ANNOUNCED = frozenset({Happening.POWER_ON, Happening.FOUND_LIVE})


def power_table() -> str:
    """Return the power-state table as Markdown, one line per row of ``TABLE``."""
    lines = ["| From | What happens | Needs | To | Proofs |", "|---|---|---|---|---|"]
    for row in TABLE:
        source = "any" if row.source == _ANY else ", ".join(row.source)
        proofs = "all cleared (new epoch)" if row.new_epoch else "kept"
        if row.on in {Happening.CHARGE_FOUND, Happening.MORE_CHARGE}:
            proofs = "of the charge cleared"
        if row.on is Happening.MORE_TO_PROVE:
            proofs = "of dead and charge cleared"
        if row.keeps is not None:
            proofs += f", except of {row.keeps.replace('_', ' ')}"
        lines.append(f"| {source} | {row.on} | {row.guard} | {row.target} | {proofs} |")
    return "\n".join(lines) + "\n"


def happened(state: VisitState, happening: Happening, because: str, kb: KnowledgeBase) -> VisitState:
    """Return the state after a row of the table was taken; unchanged where the table has no such row."""
    row = _ROWS.get((state.power, happening))
    if row is None:
        return state
    if not row.new_epoch:
        return replace(state, power=row.target, power_because=because)
    checked = done_ids(state) if happening in _ANNOUNCED else frozenset()
    if happening in _ANNOUNCED and state.power is Power.LIVE:  # said twice: nobody had hands inside in between
        checked |= state.restore_checked
    kept = {step.id for step in group_of(state, kb, row.keeps)} if row.keeps is not None else set()
    return replace(
        state,
        power=row.target,
        power_because=because,
        epoch=state.epoch + 1,
        steps_done=tuple(done for done in state.steps_done if done.step in kept),
        restore_checked=checked,
    )


def confirmed(state: VisitState, event: e.StepConfirmed, kb: KnowledgeBase) -> VisitState:
    """Return the state after a step was reported as done.

    A step out of order changes nothing. Two reports always count, because reality wins: a zero reading above
    its limit, and power on.
    """
    step = kb.steps.get(event.step)
    if step is None:
        return state
    happening = _happening(state, step, event.value, kb)
    if happening in {Happening.VOLTAGE_FOUND, Happening.POWER_ON}:
        return happened(state, happening, event.said, kb)
    if refusal(state, step.id, kb, event.value) is not None:
        return state
    if happening is Happening.CHARGE_FOUND:
        return happened(_without(state, step.group, kb), happening, event.said, kb)
    state = replace(state, steps_done=_with(state.steps_done, event))
    return state if happening is None else happened(state, happening, event.said, kb)


def rebuilt(state: VisitState, other: VisitState, kb: KnowledgeBase) -> VisitState:
    """Return ``state`` without the proofs that do not hold for the unit as ``other`` has it built.

    From the first group of steps on that differs, each has to be done anew.
    """
    moved = {"prove_dead": Happening.MORE_TO_PROVE, "remove_charge": Happening.MORE_CHARGE}
    for place, group in enumerate(CHAIN):
        if group_of(state, kb, group) != group_of(other, kb, group):
            gone = {step.id for later in CHAIN[place:] for step in group_of(state, kb, later)}
            state = replace(state, steps_done=tuple(done for done in state.steps_done if done.step not in gone))
            return happened(state, moved[group], moved[group].value, kb) if group in moved else state
    return state


def next_power(state: VisitState, step_id: str, value: float | None, kb: KnowledgeBase) -> Power:
    """Return the power state that confirming this step would lead to."""
    trial = e.StepConfirmed(at=datetime.min.replace(tzinfo=UTC), step=step_id, value=value, said="")
    return confirmed(state, trial, kb).power


def worked_on(state: VisitState, need: PowerNeed, kb: KnowledgeBase) -> VisitState:
    """Return the state after hands-on work: what was clear of tools and people has to be looked at again."""
    if need not in {PowerNeed.DEAD, PowerNeed.DISCHARGED}:
        return state
    if not (done_ids(state) | state.restore_checked) & {step.id for step in group_of(state, kb, "restore")}:
        return state
    return replace(_without(state, "restore", kb), restore_checked=frozenset())


def shows_live(about: str | None, quantity_or_state: str, value: float | None, kb: KnowledgeBase) -> bool:
    """Return True where a reading (volts, amperes) or a finding shows that the outdoor unit is fed.

    A reading is given as quantity id and value, a finding as state id and None. Negated findings show nothing:
    do not pass them.

    Points that the outdoor disconnect does not make dead, upstream of it or fed from indoors, show nothing.
    Limits: ``knowledge/data/safety/power.yaml``.
    """
    rules = kb.power_rules
    if about is not None and fed_from_elsewhere(about, kb):
        return False
    if value is None:
        return about in rules.running_subjects and quantity_or_state in rules.running_states
    if quantity_or_state == "voltage":
        return abs(value) >= rules.hazardous_v
    return quantity_or_state == "current" and abs(value) > rules.running_a


def _happening(state: VisitState, step: SafetyStep, value: float | None, kb: KnowledgeBase) -> Happening | None:
    if too_high(step, value):
        return Happening.VOLTAGE_FOUND if step.group == "prove_dead" else Happening.CHARGE_FOUND
    group = group_of(state, kb, step.group)
    if step.group == "restore":
        return Happening.POWER_ON if step == group[-1] else None
    if step.group in _COMPLETES and {other.id for other in group} <= done_ids(state) | {step.id}:
        return _COMPLETES[step.group]
    return None


def _without(state: VisitState, group: str, kb: KnowledgeBase) -> VisitState:
    gone = {step.id for step in group_of(state, kb, group)}
    return replace(state, steps_done=tuple(done for done in state.steps_done if done.step not in gone))


def _with(done: tuple[e.StepConfirmed, ...], event: e.StepConfirmed) -> tuple[e.StepConfirmed, ...]:
    if all(before.step != event.step for before in done):
        return (*done, event)
    return tuple(event if before.step == event.step else before for before in done)


def fed_from_elsewhere(about: str, kb: KnowledgeBase) -> bool:
    """Return True for points that the outdoor disconnect does not make dead."""
    subject = kb.subjects.get(about)
    return about in kb.power_rules.fed_from_indoors or (subject is not None and subject.upstream)

"""Repairs: proposed, accepted, declined, reported as done."""

from __future__ import annotations

from assistant.language.models import Heard
from assistant.language.planned_work import PLANNED
from assistant.reasoning.safety import gate
from assistant.session import events as e
from knowledge.models.repair import Repair

from .context import specified
from .draft import Draft
from .phase_moves import move
from .stopping import raise_stops


def accept_repair(draft: Draft, repair_id: str) -> None:
    move(draft, "repair_accepted")
    draft.remark("repair_accepted", name=draft.kb.repairs[repair_id].name)


def decline_repair(draft: Draft, repair_id: str, words: str) -> None:
    """The technician or the customer does not want it: the visit can still be secured and written up."""
    draft.emit(e.RepairDeclined, repair=repair_id, said=words)
    draft.remark("repair_declined", name=draft.kb.repairs[repair_id].name)
    move(draft, "leave_unrepaired")


def take_repair(draft: Draft, item: Heard) -> None:
    """A repair reported in the technician's own words, asked for or not."""
    repair = draft.kb.repairs[item.about or ""]
    if item.state == PLANNED:
        _plan_repair(draft, item, repair)
        return
    draft.read_back(
        item,
        about=repair.id,
        name=repair.name,
        value="not done" if item.negated else "done",
        shown=("not done: " if item.negated else "done: ") + repair.name,
    )
    if not item.negated:
        report_repair(draft, repair.id, item.said)


def _plan_repair(draft: Draft, item: Heard, repair: Repair) -> None:
    """Work that is only announced: gone ahead with where it is proposed, else what it takes and what would prove it."""
    draft.read_back(item, about=repair.id, name=repair.name, value="planned", shown=f"planned: {repair.name}")
    proposed = draft.state.proposed
    if proposed is not None and proposed.repair == repair.id:
        if draft.state.phase == "finding":
            accept_repair(draft, repair.id)
        return
    checks = [draft.kb.checks[check].name for check in repair.confirm if check in draft.kb.checks]
    draft.remark(
        "repair_planned",
        signal="notice",
        name=repair.name,
        checks=" / ".join(checks),
        specify=specified(draft.kb, draft.state, repair),
    )


def report_repair(draft: Draft, repair_id: str, words: str) -> None:
    """Log a repair as done; work on a unit that was not made safe is logged with a warning."""
    kb, state = draft.kb, draft.state
    repair = kb.repairs[repair_id]
    if not repair.refer and not gate(state, repair.needs, kb).free:
        draft.remark("repair_unsafe", signal="warning", name=repair.name)
    proposed = state.proposed is not None and state.proposed.repair == repair_id
    draft.emit(e.RepairDone, repair=repair_id, said=words, proposed=proposed)
    if not proposed:
        draft.remark("repair_unasked", name=repair.name)
    raise_stops(draft, draft.events[-1])
    if repair.refer:
        draft.emit(e.VerdictReached, verdict="referred", because=(repair.name,))
        move(draft, "leave_unrepaired")
    else:
        move(draft, "repair_done")

"""A unit that was worked before: recognised by what is told of it, its past readings shown beside today's."""

from __future__ import annotations

from collections.abc import Callable

from assistant.dialogue.numbers import moved
from assistant.session import events as e
from assistant.session.earlier import Earlier

from .draft import Draft

Recall = Callable[[str, str, str], Earlier | None]
"""(this visit, plate item, its words) -> the last visit to the same unit."""


def remember(draft: Draft, recall: Recall | None) -> None:
    """Recognise the unit by what was just told of it, and show past readings beside those just taken."""
    if recall is not None and draft.state.remembered is None:
        for event in tuple(draft.events):
            if isinstance(event, e.PlateRead) and event.text and draft.kb.plate_items[event.item].identifies:
                _recognise(draft, event.item, recall(draft.state.visit, event.item, event.text))
    _beside(draft)


def _recognise(draft: Draft, item: str, found: Earlier | None) -> None:
    if found is None or draft.state.remembered is not None:
        return
    draft.emit(
        e.UnitRemembered, visit=found.visit, opened=found.opened, by=item, readings=found.readings,
        repairs=found.repairs, proved=found.proved,
    )  # fmt: skip
    kb = draft.kb
    done = [kb.repairs[name].done for name in found.repairs if name in kb.repairs]
    read = [f"{kb.checks[name].name} {_amount(draft, name, value)}" for name, value in found.readings.items()
            if name in kb.checks]  # fmt: skip
    read += [f"{kb.close_out[name].name} {draft.amount(_of_proof(draft, name), value)}"
             for name, value in found.proved.items() if name in kb.close_out]  # fmt: skip
    draft.remark(
        "unit_remembered", date=f"{found.opened:%Y-%m-%d}", visit=found.visit,
        done=", ".join(done) or "no repair", readings="; ".join(read) or "none kept",
    )  # fmt: skip


def _beside(draft: Draft) -> None:
    """Say what was read last time beside what was just read, and how far it has moved."""
    past, kb = draft.state.remembered, draft.kb
    if past is None:
        return
    date = f"{past.opened:%Y-%m-%d}"
    now = {event.check: event.value for event in draft.events if isinstance(event, e.ReadingTaken) and event.check}
    for check_id, value in now.items():
        if check_id in past.readings:
            check = kb.checks[check_id]
            _tell_then(draft, date, check.name, check.quantity or "", past.readings[check_id], value)
    proved = {event.item: event.value for event in draft.events if isinstance(event, e.ProofRecorded)}
    for item, value in proved.items():
        if item in past.proved:
            _tell_then(draft, date, kb.close_out[item].name, _of_proof(draft, item), past.proved[item], value)


def _tell_then(draft: Draft, date: str, name: str, quantity: str, then: float | None, now: float | None) -> None:
    value = draft.amount(quantity, then)
    if then is None or now is None or then == now:
        draft.remark("reading_then", name=name, value=value, date=date)
    else:
        change = moved(draft.kb, quantity, then, now, draft.units)
        draft.remark("reading_moved", name=name, value=value, date=date, change=change)


def _of_proof(draft: Draft, item: str) -> str:
    found = draft.kb.close_out[item]
    return found.quantity or found.result or ""


def _amount(draft: Draft, check: str, value: float | None) -> str:
    return draft.amount(draft.kb.checks[check].quantity or "", value)

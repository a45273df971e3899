"""A unit that was worked before: recognised by what is told of it, its past readings shown beside today's."""

from __future__ import annotations

from collections.abc import Callable

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
        repairs=found.repairs,
    )  # fmt: skip
    kb = draft.kb
    done = [kb.repairs[name].done for name in found.repairs if name in kb.repairs]
    read = [f"{kb.checks[name].name} {_amount(draft, name, value)}" for name, value in found.readings.items()
            if name in kb.checks]  # fmt: skip
    draft.remark(
        "unit_remembered", date=f"{found.opened:%Y-%m-%d}", visit=found.visit,
        done=", ".join(done) or "no repair", readings="; ".join(read) or "none kept",
    )  # fmt: skip


def _beside(draft: Draft) -> None:
    past = draft.state.remembered
    if past is None:
        return
    for event in tuple(draft.events):
        if isinstance(event, e.ReadingTaken) and event.check in past.readings:
            check = draft.kb.checks[event.check]
            value = _amount(draft, check.id, past.readings[check.id])
            draft.remark("reading_then", name=check.name, value=value, date=f"{past.opened:%Y-%m-%d}")


def _amount(draft: Draft, check: str, value: float | None) -> str:
    return draft.amount(draft.kb.checks[check].quantity or "", value)

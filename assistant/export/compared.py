"""The unit as it was left last time beside what was read today."""

from __future__ import annotations

from assistant.dialogue.numbers import moved
from assistant.session import events as e

from .record import Record
from .sections import Compared, ComparedLine
from .wording import named

NOT_READ = "not read"


def compared(record: Record) -> Compared | None:
    """Return the comparison with the last visit to the unit; None where it was not met before."""
    past = record.state.remembered
    if past is None:
        return None
    kb = record.kb
    return Compared(
        visit=past.visit,
        opened=record.local(past.opened),
        known_by=kb.plate_items[past.by].name if past.by in kb.plate_items else past.by,
        repairs=tuple(kb.repairs[name].done if name in kb.repairs else name for name in past.repairs),
        lines=(
            *(_line(record, check, value) for check, value in past.readings.items()),
            *(_proved(record, item, value) for item, value in past.proved.items() if item in kb.close_out),
        ),
    )


def _line(record: Record, check_id: str, value: float | None) -> ComparedLine:
    check = record.kb.checks.get(check_id)
    quantity = check.quantity if check else None
    today = [one for one in record.answers.get(check_id, ()) if isinstance(one, e.ReadingTaken)]
    now = record.amount(quantity, today[-1].value, over_limit=today[-1].over_limit) if today else NOT_READ
    then = record.amount(quantity, value, over_limit=value is None)
    change = "" if not today else _change(record, quantity, value, today[-1].value)
    return ComparedLine(check=check_id, name=named(record.kb.checks, check_id), then=then, now=now, change=change)


def _proved(record: Record, item_id: str, value: float) -> ComparedLine:
    item, today = record.kb.close_out[item_id], record.state.proofs.get(item_id)
    quantity = item.quantity or item.result
    measured = today.value if today is not None else None
    now = record.amount(quantity, measured) if measured is not None else NOT_READ
    then, change = record.amount(quantity, value), _change(record, quantity, value, measured)
    return ComparedLine(check=item_id, name=item.name, then=then, now=now, change=change)


def _change(record: Record, quantity: str | None, then: float | None, now: float | None) -> str:
    if quantity is None or then is None or now is None or then == now:
        return ""
    return moved(record.kb, quantity, then, now, record.units)

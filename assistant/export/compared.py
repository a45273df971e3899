"""The unit as it was left last time beside what was read today."""

from __future__ import annotations

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
        lines=tuple(_line(record, check, value) for check, value in past.readings.items()),
    )


def _line(record: Record, check_id: str, value: float | None) -> ComparedLine:
    check = record.kb.checks.get(check_id)
    quantity = check.quantity if check else None
    today = [one for one in record.answers.get(check_id, ()) if isinstance(one, e.ReadingTaken)]
    now = record.amount(quantity, today[-1].value, over_limit=today[-1].over_limit) if today else NOT_READ
    then = record.amount(quantity, value, over_limit=value is None)
    return ComparedLine(check=check_id, name=named(record.kb.checks, check_id), then=then, now=now)

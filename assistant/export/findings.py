"""Everything measured and looked at, in the order of the visit, with what no longer counts marked as such."""

from __future__ import annotations

from assistant.session import events as e

from .judging import judged_look, judged_reading
from .record import Answer, Record
from .sections import FindingLine, Standing
from .wording import named

UNPROVED = "power state not proved"


def findings(record: Record) -> tuple[FindingLine, ...]:
    """Return one line per reading and look, oldest first, those taken back included."""
    return tuple(
        _reading_line(record, event) if isinstance(event, e.ReadingTaken) else _look_line(record, event)
        for event in record.events
        if isinstance(event, e.ReadingTaken | e.FindingMade)
    )


def _reading_line(record: Record, event: e.ReadingTaken) -> FindingLine:
    return FindingLine(
        at=record.local(event.at),
        note=event.note,
        kind="reading",
        check=event.check,
        about=event.about,
        quantity=event.quantity,
        name=_name(record, event),
        value=event.value,
        high_value=event.high,
        over_limit=event.over_limit,
        unit=event.unit,
        shown=record.amount(event.quantity, event.value, event.high, over_limit=event.over_limit),
        said=event.said,
        judged=judged_reading(record, event),
        doubts=_doubts(event),
        power=event.power,
        proved=event.proved,
        standing=_standing(record, event),
    )


def _look_line(record: Record, event: e.FindingMade) -> FindingLine:
    state = named(record.kb.states, event.state)
    return FindingLine(
        at=record.local(event.at),
        note=event.note,
        kind="finding",
        check=event.check,
        about=event.about,
        name=named(record.kb.subjects, event.about),
        shown=f"not {state}" if event.negated else state,
        said=event.said,
        judged=judged_look(record, event),
        doubts=_doubts(event),
        power=event.power,
        proved=event.proved,
        standing=_standing(record, event),
    )


def _name(record: Record, reading: e.ReadingTaken) -> str:
    check = record.kb.checks.get(reading.check or "")
    if check:
        return check.name
    return f"{named(record.kb.subjects, reading.about)}, {named(record.kb.quantities, reading.quantity)}"


def _doubts(event: Answer) -> tuple[str, ...]:
    return event.doubts if event.proved else (*event.doubts, UNPROVED)


def _standing(record: Record, event: Answer) -> Standing:
    """A later answer to the same check replaces this one; with a repair in between both count."""
    if not record.stands(event):
        return "corrected" if record.voided[event.note] == "correction" else "taken back"
    later = [other.seq for other in record.answers.get(event.check or "", ()) if other.seq > event.seq]
    if not later:
        return "counts"
    repaired_between = any(event.seq < repair.seq < later[0] for repair in record.repairs)
    return "before repair" if repaired_between else "read again"

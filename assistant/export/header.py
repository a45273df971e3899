"""Which visit, which unit, what the customer said."""

from __future__ import annotations

from assistant.session import events as e
from knowledge.models.visit import HazardKind

from .record import Record
from .sections import ComplaintLine, Header, PlateLine
from .wording import named

PLACE, MODEL, REFRIGERANT = "place", "model", "refrigerant"
"""Plate items that have a line of their own at the head of the note."""


def header(record: Record) -> Header:
    state, kb = record.state, record.kb
    opened = next(record.all_of(e.VisitOpened), None)
    closed = record.standing(e.VisitClosed)[-1:]
    versions = [event for event in record.events if isinstance(event, e.VisitOpened | e.VisitResumed)]
    phase = next((text.name for text in kb.phases if text.phase.value == state.phase), state.phase)
    return Header(
        visit=state.visit,
        place=_text(record, PLACE),
        model=_text(record, MODEL),
        refrigerant=_text(record, REFRIGERANT),
        unit_kind=_built(record),
        opened=record.local(opened.at) if opened else None,
        closed=record.local(closed[0].at) if closed else None,
        closed_as=closed[0].outcome if closed else "",
        phase=phase,
        conditions=tuple(named(kb.hazards, hazard) for hazard in sorted(state.hazards) if _of_place(record, hazard)),
        program=versions[-1].program if versions else "",
        knowledge=versions[-1].knowledge if versions else kb.version,
    )


def _of_place(record: Record, hazard: str) -> bool:
    known = record.kb.hazards.get(hazard)
    return known is None or known.kind is HazardKind.PLACE


def _built(record: Record) -> str:
    """Return the kind of unit, and what was told of how it is built."""
    unit = record.kb.units.get(record.state.unit_kind)
    if unit is None:
        return record.state.unit_kind
    told = record.state.built
    choices = [choice.name for option in unit.options for choice in option.choices if told.get(option.id) == choice.id]
    return ": ".join(filter(None, (unit.name, ", ".join(choices))))


def plate(record: Record) -> tuple[PlateLine, ...]:
    """Return every value read off the unit and its parts, in the order of the knowledge."""
    order = {item: place for place, item in enumerate(record.kb.plate_items)}
    read = sorted(record.state.plate.items(), key=lambda pair: (order.get(pair[0], len(order)), pair[0]))
    return tuple(_plate_line(record, item, value) for item, value in read)


def complaint(record: Record) -> tuple[ComplaintLine, ...]:
    return tuple(
        ComplaintLine(at=record.local(one.at), name=named(record.kb.complaints, one.complaint), said=one.said)
        for one in record.state.complaints
    )


def _plate_line(record: Record, item: str, read: e.PlateRead) -> PlateLine:
    known = record.kb.plate_items.get(item)
    shown = read.text or ""
    if read.value is not None:
        shown = record.amount(known.quantity if known else None, read.value)
    return PlateLine(item=item, name=named(record.kb.plate_items, item), value=read.value, shown=shown, said=read.said)


def _text(record: Record, item: str) -> str:
    read = record.state.plate.get(item)
    return (read.text or read.said) if read else ""

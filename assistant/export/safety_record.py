"""What was done to make the unit safe, and when: steps, power, stops, resumed sessions, waits, hazards."""

from __future__ import annotations

from collections.abc import Iterator

from assistant.session import events as e

from .record import Record
from .sections import SafetyLine
from .wording import amount, listed, named

TAKEN_BACK = "power state unknown: a note about the power was taken back"
RESUMED = "program started again on this visit; power state unknown until proved again"
TO = {"live": "power on", "unknown": "power state no longer known"}


def safety_record(record: Record) -> tuple[SafetyLine, ...]:
    """Return the record in order of time; what was taken back stays in it, marked."""
    return tuple(line for event in record.events for line in _line(record, event))


def _line(record: Record, event: e.AnyEvent) -> Iterator[SafetyLine]:
    kb, at = record.kb, record.local(event.at)
    void = not record.stands(event)
    match event:
        case e.StepConfirmed():
            yield _step(record, event)
        case e.PowerChanged():
            yield SafetyLine(at=at, kind="power", text=TO[event.to], reason=event.because, taken_back=void)
        case e.StopRaised():
            name = named(kb.stops, event.stop)
            yield SafetyLine(at=at, kind="stop raised", text=name, reason=event.because, taken_back=void)
        case e.StopCleared():
            name = named(kb.stops, event.stop)
            yield SafetyLine(at=at, kind="stop cleared", text=name, reason=event.because, taken_back=void)
        case e.VisitResumed():
            yield SafetyLine(at=at, kind="resumed", text=RESUMED)
        case e.HazardReported():
            yield SafetyLine(at=at, kind="hazard", text=named(kb.hazards, event.hazard), taken_back=void)
        case e.TimerStarted():
            name = named(kb.waits, event.wait)
            shown = amount(event.minutes, "min")
            yield SafetyLine(at=at, kind="wait", text=name, shown=shown, reason=event.because, taken_back=void)
        case e.RepairDone() if event.seq in record.unproved:
            name, missing = named(kb.repairs, event.repair), listed(record.unproved[event.seq])
            yield SafetyLine(at=at, kind="unproved work", text=name, reason=f"missing: {missing}")
        case e.NoteTakenBack() if _touched_power(record, event.taken_back):
            yield SafetyLine(at=at, kind="power", text=TAKEN_BACK)


def _step(record: Record, event: e.StepConfirmed) -> SafetyLine:
    step = record.kb.steps.get(event.step)
    quantity = record.kb.quantities.get(step.reading) if step and step.reading else None
    unit = quantity.unit if quantity else ""
    allowed = step.at_most if step else None
    too_high = allowed is not None and event.value is not None and not abs(event.value) <= allowed
    return SafetyLine(
        at=record.local(event.at),
        kind="step",
        group=step.group if step else "",
        text=named(record.kb.steps, event.step),
        value=event.value,
        shown=amount(event.value, unit) if event.value is not None else "",
        reason=f"NOT SAFE: above {amount(allowed, unit)}" if too_high else "",
        said=event.said,
        taken_back=not record.stands(event),
    )


def _touched_power(record: Record, note: int) -> bool:
    kinds = (e.StepConfirmed, e.PowerChanged)
    return any(event.note == note for event in record.events if isinstance(event, kinds))

"""What is left open: what the next person must know, do or ask, gravest first."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import timedelta

from assistant.session import events as e
from knowledge.models.visit import HazardKind

from .record import Record
from .sections import OpenKind, OpenPoint, ProofLine
from .wording import Named, amount, listed, named


def left_open(record: Record, proof: Sequence[ProofLine]) -> tuple[OpenPoint, ...]:
    """Return the open points."""
    return (
        *_stops(record),
        *_referred(record),
        *_proofs(proof, "bad", "proof bad"),
        *_repair(record),
        *_proofs(proof, "not done", "proof not done"),
        *_skipped(record),
        *_questions(record),
        *_proofs(proof, "not recorded", "not recorded"),
    )


def _stops(record: Record) -> Iterator[OpenPoint]:
    for stop in record.state.stops:
        known = record.kb.stops.get(stop.stop)
        name, todo = named(record.kb.stops, stop.stop), known.text if known else ""
        yield OpenPoint(kind="stop", text=name, todo=todo, reason=stop.because)


def _referred(record: Record) -> Iterator[OpenPoint]:
    """What goes beyond this visit and was handed on, with what was said of it."""
    for hazard in sorted(record.state.hazards):
        known = record.kb.hazards.get(hazard)
        if known is not None and known.kind is HazardKind.REFER:
            said = " ".join(caution.text for caution in record.kb.cautions_of_hazard(hazard))
            yield OpenPoint(kind="referred", text=known.name, todo=said)


def _proofs(proof: Sequence[ProofLine], verdict: str, kind: OpenKind) -> Iterator[OpenPoint]:
    for line in proof:
        if line.verdict == verdict and not line.settled:
            yield OpenPoint(kind=kind, text=line.name, reason=line.words)


def _repair(record: Record) -> Iterator[OpenPoint]:
    proposed, declined = record.state.proposed, record.state.declined
    wanted = [*declined, *([proposed.repair] if proposed else [])]
    for repair in dict.fromkeys(wanted):
        if all(done.repair != repair for done in record.repairs):
            reason = declined[repair].said if repair in declined else ""
            yield OpenPoint(kind="repair", text=named(record.kb.repairs, repair), reason=reason)


def _skipped(record: Record) -> Iterator[OpenPoint]:
    state, kb = record.state, record.kb
    for skip in state.skipped.values():
        yield OpenPoint(kind="check skipped", text=named(kb.checks, skip.check), reason=skip.because)
    if state.tools_missing:
        yield OpenPoint(kind="tool", text=listed(named(kb.tools, tool) for tool in sorted(state.tools_missing)))
    for timer in state.timers.values():
        if timer.wait in kb.waits and kb.waits[timer.wait].running and state.closed:
            continue  # it ran while it was proved, and is behind by now
        if record.events[-1].at >= timer.started + timedelta(minutes=timer.minutes):
            continue
        text = f"{named(kb.waits, timer.wait)}, {amount(timer.minutes, 'min')}"
        yield OpenPoint(kind="wait", text=text, reason=timer.because)


def _questions(record: Record) -> Iterator[OpenPoint]:
    for asked in record.standing(e.Asked):
        if asked.kind == "clarify" and not _settled(record, asked):
            yield OpenPoint(kind="question", text=_clarify_words(record, asked))
    state, pending = record.state, record.state.asked
    if pending is None:
        return
    if pending.kind == "check" and pending.id not in {*record.answers, *state.skipped}:
        yield OpenPoint(kind="question", text=named(record.kb.checks, pending.id))
    if pending.kind == "plate" and pending.id not in state.plate:
        yield OpenPoint(kind="question", text=named(record.kb.plate_items, pending.id))


def _settled(record: Record, asked: e.Asked) -> bool:
    """True where something was logged later about one of the things the question offered."""
    offered = {option.get("about") for option in asked.options} | {asked.id}
    return any(event.seq > asked.seq and record.stands(event) and _about(event) in offered for event in record.events)


def _about(event: e.AnyEvent) -> str | None:
    match event:
        case e.ReadingTaken() | e.FindingMade():
            return event.about
        case e.StepConfirmed():
            return event.step
        case e.PlateRead() | e.ProofRecorded():
            return event.item
        case e.RepairDone():
            return event.repair
        case e.ComplaintReported():
            return event.complaint
    return None


def _clarify_words(record: Record, asked: e.Asked) -> str:
    said = next((str(option["said"]) for option in asked.options if option.get("said")), asked.id)
    choices = dict.fromkeys(_choice(record, option) for option in asked.options)
    return f'"{said}": {listed((choice for choice in choices if choice), "or")}?'


def _choice(record: Record, option: Mapping[str, object]) -> str:
    about, unit, value = option.get("about"), option.get("unit"), option.get("value")
    words = [_name(record, option)] if about else []
    if isinstance(value, int | float):
        words.append(amount(float(value), str(unit or "")))
    elif option.get("state"):
        words.append(named(record.kb.states, str(option["state"])))
    return " ".join(words)


def _name(record: Record, option: Mapping[str, object]) -> str:
    kb = record.kb
    index: Mapping[str, Named] = kb.subjects
    match option.get("kind"):
        case "plate":
            index = kb.plate_items
        case "safety":
            index = kb.steps
        case "repair":
            index = kb.repairs
        case "complaint":
            index = kb.complaints
    return named(index, str(option["about"]))

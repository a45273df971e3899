"""What the customer is told, which cautions belong to the job, and the fixed words at the end."""

from __future__ import annotations

from collections.abc import Iterator

from knowledge.models.safety import Caution

from .record import Record
from .sections import CautionLine, Outcome, OutcomeKind, ProofLine
from .wording import listed, named, once

FOOTER = ("note_footer_licence", "note_footer_codes", "note_footer_limits", "note_footer_priors")
BY_OUTCOME: dict[OutcomeKind, str] = {
    "no fault found": "note_advice_no_fault",
    "cannot tell": "note_advice_cannot_tell",
    "referred": "note_advice_referred",
    "found, not repaired": "note_advice_not_repaired",
    "visit broken off": "note_advice_broken_off",
}


def advice(record: Record, outcome: Outcome, proof: tuple[ProofLine, ...]) -> tuple[str, ...]:
    """Return the advice to the customer in plain words, most important first."""
    return once(_advice(record, outcome, proof))


def cautions(record: Record, outcome: Outcome) -> tuple[CautionLine, ...]:
    """Return the cautions of the place and of the repairs done or left to do."""
    wanted = {f"hazard:{hazard}" for hazard in record.state.hazards}
    wanted |= {f"repair:{cause.repair}" for cause in outcome.causes}
    named_by_repair = {
        caution
        for cause in outcome.causes
        if cause.repair in record.kb.repairs
        for caution in record.kb.repairs[cause.repair].cautions
    }
    found = [
        caution
        for caution in record.kb.cautions.values()
        if caution.id in named_by_repair or wanted.intersection(caution.when)
    ]
    found.sort(key=_grave)
    return tuple(CautionLine(signal=caution.signal.value, text=caution.text) for caution in found)


def footer(record: Record) -> tuple[str, ...]:
    return tuple(record.kb.sentences[sentence].screen for sentence in FOOTER)


def _advice(record: Record, outcome: Outcome, proof: tuple[ProofLine, ...]) -> Iterator[str]:
    sentences = record.kb.sentences
    if record.state.stops:
        names = listed(named(record.kb.stops, stop.stop) for stop in record.state.stops)
        yield sentences["note_advice_stop"].screen.format(names=names)
    if outcome.kind in BY_OUTCOME:
        yield sentences[BY_OUTCOME[outcome.kind]].screen
    for cause in outcome.causes:
        repair = record.kb.repairs.get(cause.repair)
        if repair:
            yield repair.advice
    proving = [line for line in proof if line.phase == "proving"]
    if outcome.kind == "repaired" and any(line.verdict == "bad" for line in proving):
        yield sentences["note_advice_proof_bad"].screen
    elif outcome.kind == "repaired" and not all(line.settled for line in proving):
        yield sentences["note_advice_not_proved"].screen


def _grave(caution: Caution) -> int:
    return ("danger", "warning", "caution", "notice").index(caution.signal.value)

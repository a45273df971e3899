"""Proof of performance: the fixed closing list, each item good, bad, not done (why), or not recorded."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from assistant.session import events as e
from assistant.session.steps import is_to_prove
from knowledge.models.visit import CloseOutItem, Phase

from .judging import window_of
from .record import Record
from .sections import BeforeAfter, FindingLine, ProofLine
from .wording import amount, counted, listed

NO_VALUE = "no value given"
"""For an item that asks for a number and was answered without one."""


def proof(record: Record) -> tuple[ProofLine, ...]:
    """Return one line per item of the closing list, in its order."""
    here = (item for item in record.kb.close_out.values() if is_to_prove(item, record.state, record.kb))
    return tuple(_line(record, item) for item in here)


def before_and_after(record: Record, lines: Sequence[FindingLine]) -> tuple[BeforeAfter, ...]:
    """Return what was read both before the first repair and after the last one."""
    if not record.repairs:
        return ()
    first, last = record.repairs[0].at, record.repairs[-1].at
    counting = [line for line in lines if line.counts and line.check]
    before = {line.check: line for line in counting if line.at < first}
    after = {line.check: (line.shown, line.judged.verdict) for line in counting if line.at > last}
    for item in record.kb.close_out.values():
        proved = record.state.proofs.get(item.id)
        if proved and item.check and item.check not in after and proved.value is not None:
            after[item.check] = (_shown(record, item, proved), proved.verdict)
    return tuple(
        BeforeAfter(
            name=line.name,
            before=line.shown,
            before_verdict=line.judged.verdict,
            after=after[check][0],
            after_verdict=after[check][1],
        )
        for check, line in before.items()
        if check in after
    )


def works(lines: Sequence[ProofLine], stops: int) -> str:
    """Return in one line whether the unit works, as far as that was proved."""
    proving = [line for line in lines if line.phase == "proving"]
    good = [line for line in proving if line.verdict == "good"]
    bad = [line for line in proving if line.verdict == "bad"]
    if stops:
        return "no, it must not be switched on: a hard stop stands"
    if bad:
        return f"no: {listed(f'{line.name} not good' for line in bad)}"
    if not good:
        return "not proved: no proof of performance was recorded"
    settled = [line for line in proving if line.settled]
    if len(settled) == len(proving):
        apart = [f"{line.name} not judged" for line in settled if line.verdict != "good"]
        return f"yes, {listed((f'{len(good)} proofs good', *apart))}" if apart else f"yes, all {len(good)} proofs good"
    missing = counted(len(proving) - len(settled), "is", "are")
    return f"as far as proved: {len(good)} of {len(proving)} proofs good, {missing} missing"


def _line(record: Record, item: CloseOutItem) -> ProofLine:
    phase: Literal["proving", "securing"] = "securing" if item.phase is Phase.SECURING else "proving"
    proved = record.state.proofs.get(item.id)
    if proved is None:
        return ProofLine(item=item.id, name=item.name, phase=phase, verdict="not recorded")
    shown = _shown(record, item, proved)
    return ProofLine(
        item=item.id,
        name=item.name,
        phase=phase,
        verdict=proved.verdict,
        settled=proved.verdict == "good" or (proved.verdict == "not done" and item.reason_enough),
        value=proved.value,
        shown=shown,
        should_be=window_of(record, item.limit),
        words=proved.words.removeprefix(f"{shown}: ") if shown else proved.words,
    )


def _shown(record: Record, item: CloseOutItem, proved: e.ProofRecorded) -> str:
    if proved.value is None:
        return NO_VALUE if item.quantity and proved.verdict != "not done" else ""
    return record.amount(item.quantity, proved.value) if item.quantity else amount(proved.value, proved.unit or "")

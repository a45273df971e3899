"""How the visit ended: what was wrong and what showed it, or why that is not known; what was done."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.reasoning.limits import part_spec
from assistant.session import events as e

from .findings import UNPROVED
from .record import Record
from .sections import Cause, FindingLine, Outcome, OutcomeKind, WorkLine
from .wording import listed, named, once, sentence

HEALTHY = "none"
"""Suspect id of the unit without a fault."""

ENDED: dict[str, OutcomeKind] = {
    "no fault found": "no fault found",
    "cannot tell": "cannot tell",
    "referred": "referred",
}


def outcome(record: Record, lines: Sequence[FindingLine]) -> Outcome:
    """Return the outcome; whatever was decided last, by repair or by verdict, counts."""
    verdict, proposal = record.state.verdict, record.state.proposed
    last_repair = record.repairs[-1] if record.repairs else None
    causes = tuple(_cause(record, done.repair, done.seq, lines) for done in _once(record.repairs))
    if last_repair and (verdict is None or verdict.seq < last_repair.seq):
        kind: OutcomeKind = "referred" if _is_referral(record, last_repair.repair) else "repaired"
        return Outcome(kind=kind, sentence=_done_words(record), causes=causes)
    open_cause = _proposed_cause(record, lines)
    if open_cause and (verdict is None or proposal is None or verdict.seq < proposal.seq):
        left = sentence(f"not done: {named(record.kb.repairs, open_cause[0].repair)}")
        return Outcome(kind="found, not repaired", sentence=left, causes=(*causes, *open_cause))
    if verdict is None:
        unfinished = "The search was not finished."
        return Outcome(
            kind="visit broken off",
            sentence=unfinished,
            out_of_order=_out_of_order(lines),
            in_order=_in_order(lines),
        )
    kind = ENDED[verdict.verdict]
    return Outcome(
        kind=kind,
        sentence=sentence(verdict.verdict),
        because=_because(record, verdict),
        causes=(*causes, *(open_cause if kind == "referred" else ())),
        out_of_order=_out_of_order(lines),
        in_order=() if kind == "no fault found" else _in_order(lines),
        still_possible=_still_possible(record, verdict) if kind == "cannot tell" else (),
    )


def work(record: Record) -> tuple[WorkLine, ...]:
    """Return the repairs done, in order, with the part in trade terms."""
    return tuple(_work_line(record, done) for done in record.repairs)


def _work_line(record: Record, done: e.RepairDone) -> WorkLine:
    repair = record.kb.repairs.get(done.repair)
    part = named(record.kb.subjects, repair.part) if repair and repair.part else ""
    return WorkLine(
        at=record.local(done.at),
        repair=done.repair,
        done=repair.done if repair else done.repair.replace("_", " "),
        part=part,
        specify=part_spec(record.kb, repair.specify, record.plate, record.plate_words) if repair and part else "",
        fitted="; ".join(
            _fitted(one) for one in record.standing(e.PartFitted) if one.note == done.note and one.repair == done.repair
        ),
        said=done.said,
        unasked=not done.proposed,
        unproved=record.unproved.get(done.seq, ()),
    )


def _fitted(fitted: e.PartFitted) -> str:
    source = " from the truck" if fitted.taken else ""
    substitute = f", a substitute: {fitted.instead.rstrip('.')}" if fitted.instead else ""
    problem = f"; NOT AS MARKED: {fitted.problem.rstrip('.')}" if fitted.problem else ""
    return f"fitted {fitted.marking}{source}{substitute}{problem}"


def _cause(record: Record, repair_id: str, before_seq: int, lines: Sequence[FindingLine]) -> Cause:
    proposals = [
        proposal
        for proposal in record.standing(e.RepairProposed)
        if proposal.repair == repair_id and proposal.seq < before_seq
    ]
    proposal = proposals[-1] if proposals else None
    faults = proposal.cause if proposal else ()
    known = [record.kb.faults[fault] for fault in faults if fault in record.kb.faults]
    return Cause(
        repair=repair_id,
        faults=tuple(named(record.kb.faults, fault) for fault in faults),
        probability=proposal.probability if proposal else None,
        why=once(fault.why for fault in known),
        evidence=proposal.evidence if proposal else (),
        consequences=proposal.consequences if proposal else (),
        measured=_measured(record, repair_id, lines),
    )


def _proposed_cause(record: Record, lines: Sequence[FindingLine]) -> tuple[Cause, ...]:
    proposal = record.state.proposed
    if proposal is None or any(done.repair == proposal.repair for done in record.repairs):
        return ()
    return (_cause(record, proposal.repair, proposal.seq + 1, lines),)


def _measured(record: Record, repair_id: str, lines: Sequence[FindingLine]) -> tuple[str, ...]:
    """Return the checks on the part itself that were out of order, each with value, verdict and limit."""
    repair = record.kb.repairs.get(repair_id)
    confirming = repair.confirm if repair else ()
    first_done = next((done.at for done in record.repairs if done.repair == repair_id), None)
    return once(
        _wrong(line)
        for line in lines
        if line.check in confirming
        and line.counts
        and line.judged.ok is False
        and (first_done is None or line.at <= record.local(first_done))
    )


def _wrong(line: FindingLine) -> str:
    unproved = "" if line.proved else f"; {UNPROVED}"
    if line.kind == "finding":
        return f"{line.name}: {line.judged.verdict}{unproved}"
    should = f"; should be {line.judged.should_be}" if line.judged.should_be else ""
    return f"{line.name}: {line.shown} ({line.judged.verdict}{should}{unproved})"


def _out_of_order(lines: Sequence[FindingLine]) -> tuple[str, ...]:
    return once(_wrong(line) for line in lines if line.standing == "counts" and line.judged.ok is False)


def _in_order(lines: Sequence[FindingLine]) -> tuple[str, ...]:
    return once(
        f"{line.name} ({line.shown if line.kind == 'reading' else line.judged.verdict})"
        for line in lines
        if line.standing == "counts" and line.judged.in_order
    )


def _because(record: Record, verdict: e.VerdictReached) -> tuple[str, ...]:
    """A verdict given again keeps what was ruled out the first time."""
    same = (one for one in record.standing(e.VerdictReached) if one.verdict == verdict.verdict)
    return once(words for one in same for words in one.because)


def _still_possible(record: Record, verdict: e.VerdictReached) -> tuple[str, ...]:
    """Return the suspects that led when the verdict was given, by name."""
    replies = [reply for reply in record.standing(e.ReplyGiven) if reply.note <= verdict.note and reply.top]
    suspects = replies[-1].top if replies else ()
    return tuple(
        listed(named(record.kb.faults, fault) for fault in suspect.split("+"))
        for suspect in suspects
        if suspect != HEALTHY
    )


def _done_words(record: Record) -> str:
    done = (record.kb.repairs[one.repair].done for one in record.repairs if one.repair in record.kb.repairs)
    return sentence(listed(once(done)))


def _is_referral(record: Record, repair_id: str) -> bool:
    repair = record.kb.repairs.get(repair_id)
    return repair is not None and repair.refer


def _once(repairs: Sequence[e.RepairDone]) -> list[e.RepairDone]:
    """The first time each repair was done: a second fuse has no second cause."""
    return list({done.repair: done for done in reversed(repairs)}.values())[::-1]

"""The first half page: what was wrong, what was done, whether it works, what is open."""

from __future__ import annotations

from collections.abc import Sequence

from .proof import works
from .record import Record
from .sections import OpenKind, OpenPoint, Outcome, ProofLine, Summary, WorkLine
from .wording import counted, listed, named, once, shortened

OPEN_WORDS: dict[OpenKind, str] = {
    "stop": "STOP",
    "referred": "referred",
    "proof bad": "not good",
    "repair": "to be done",
    "proof not done": "not done",
    "not recorded": "not recorded",
    "check skipped": "not checked",
    "question": "unanswered",
    "tool": "not at hand",
    "wait": "timer still running",
}
SHOWN_POINTS = 3
QUOTED = 120
"""Most characters of the customer's words here; all of them stand among the findings."""
NOTHING = "nothing"


def summary(
    record: Record,
    outcome: Outcome,
    work: Sequence[WorkLine],
    proof: Sequence[ProofLine],
    open_points: Sequence[OpenPoint],
) -> Summary:
    complaints = once(
        _complaint(named(record.kb.complaints, one.complaint), one.said) for one in record.state.complaints
    )
    return Summary(
        complaint=listed(complaints) or "none recorded",
        found=_found(outcome),
        because=_because(outcome),
        done=_done(outcome, work),
        works=works(proof, len(record.state.stops)),
        open=_open(open_points),
    )


def _complaint(name: str, said: str) -> str:
    return name if said.casefold() == name.casefold() else f'{name} ("{shortened(said, QUOTED)}")'


def _found(outcome: Outcome) -> str:
    faults = once(fault for cause in outcome.causes for fault in cause.faults)
    if outcome.kind == "cannot tell":
        possible = listed(outcome.still_possible, "or")
        return "the cause could not be told" + (f"; still possible: {possible}" if possible else "")
    if outcome.kind == "no fault found":
        return "no fault"
    if faults:
        return listed(faults, "or")
    if outcome.causes:
        return "no cause was established before the repair"
    return "not settled; the search was not finished"


def _because(outcome: Outcome) -> str:
    measured = once(words for cause in outcome.causes for words in cause.measured)
    evidence = once(words for cause in outcome.causes for words in cause.evidence)
    return "; ".join(measured or evidence[:1] or outcome.out_of_order[:SHOWN_POINTS])


def _done(outcome: Outcome, work: Sequence[WorkLine]) -> str:
    done = listed(once(line.done for line in work))
    if done:
        return f"{done} (unasked)" if all(line.unasked for line in work) else done
    left = outcome.sentence.rstrip(".")
    return f"{left[0].lower()}{left[1:]}" if outcome.kind == "found, not repaired" else "no repair"


def _open(points: Sequence[OpenPoint]) -> str:
    """Stops first by name; what was only not recorded is counted, not listed."""
    told = [point for point in points if point.kind != "not recorded"]
    silent = len(points) - len(told)
    words = [_point(point) for point in told[:SHOWN_POINTS]]
    if len(told) > SHOWN_POINTS:
        words.append(f"{len(told) - SHOWN_POINTS} more")
    if silent:
        words.append(counted(silent, "closing item not recorded", "closing items not recorded"))
    return "; ".join(words) or NOTHING


def _point(point: OpenPoint) -> str:
    return f"{OPEN_WORDS[point.kind]}: {point.text.rstrip('.')}"

"""The tables of the note."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import groupby
from string import ascii_lowercase

from .blocks import Column, Table
from .clock import Clock
from .sections import Compared, FindingLine, JobNote, ProofLine, SafetyLine, Unread, WorkLine
from .wording import listed, once

GROUPS = {
    "isolate": "Isolating",
    "prove_dead": "Proving dead",
    "remove_charge": "Removing stored charge",
    "live_work": "Live work",
    "restore": "Restoring power",
}
KINDS = {
    "power": "Power",
    "stop raised": "STOP raised",
    "stop cleared": "Stop cleared",
    "resumed": "Session resumed",
    "wait": "Wait",
    "hazard": "Place",
    "unproved work": "WORKED ON WITHOUT PROOF",
}
STANDING = {
    "counts": "",
    "before repair": "before the repair",
    "read again": "not counted: taken again later",
    "taken back": "not counted: taken back",
    "corrected": "not counted: corrected",
}


def basis_letters(note: JobNote) -> dict[str, str]:
    """Return a short mark for each thing that limits rest on, in the order of the readings."""
    bases = once(line.judged.basis for line in note.readings)
    return {basis: _letter(place) for place, basis in enumerate(bases)}


def _letter(place: int) -> str:
    """a, b ... z, aa, ab ..."""
    first, second = divmod(place, len(ascii_lowercase))
    return (ascii_lowercase[first - 1] if first else "") + ascii_lowercase[second]


def work_table(note: JobNote, clock: Clock) -> Table:
    columns = (
        Column("Time", ""),
        Column("Work", " "),
        Column("Part"),
        Column("Remark"),
        Column("Said", '; "', '"'),
    )
    return Table(
        columns,
        tuple(
            (
                clock(line.at),
                line.done,
                "; ".join(once((f"{line.part}: {line.specify}" if line.part else "", line.fitted))),
                _work_remark(line),
                line.said,
            )
            for line in note.work
        ),
    )


def proof_table(note: JobNote) -> Table:
    columns = (
        Column("Item", ""),
        Column("Result", ": "),
        Column("Value", ", "),
        Column("Should be", "; should be "),
        Column("Words or reason", '; "', '"'),
    )
    return Table(columns, tuple(_proof_row(line) for line in note.proof if line.verdict != "not recorded"))


def before_after_table(note: JobNote) -> Table:
    columns = (
        Column("Read again after the repair", ""),
        Column("Before", ": before "),
        Column("After", ", after "),
    )
    return Table(
        columns,
        tuple(
            (line.name, _with(line.before, line.before_verdict), _with(line.after, line.after_verdict))
            for line in note.before_after
        ),
    )


def compared_table(past: Compared) -> Table:
    columns = (Column("Reading", ""), Column("As left then", ": then "), Column("Today", ", today "), Column("Change"))
    return Table(columns, tuple((line.name, line.then, line.now, line.change) for line in past.lines))


def findings_table(note: JobNote, clock: Clock) -> Table:
    """The complaint and everything read and looked at, in the order of time: each fact once."""
    columns = (
        Column("Time", ""),
        Column("What", " "),
        Column("Found", ": "),
        Column("Should be", "; should be "),
        Column("Limit", " (", ")"),
        Column("Power then", "; power: "),
        Column("Said", '; "', '"'),
        Column("Remark"),
    )
    complaints = [(one.at, (clock(one.at), "complaint", one.name, "", "", "", one.said, "")) for one in note.complaint]
    letters = basis_letters(note)
    found = [(line.at, _finding_row(line, letters, clock)) for line in note.findings]
    return Table(columns, tuple(row for _, row in sorted((*complaints, *found), key=lambda dated: dated[0])))


def _finding_row(line: FindingLine, letters: Mapping[str, str], clock: Clock) -> tuple[str, ...]:
    measured = line.kind == "reading" and line.counts
    return (
        clock(line.at),
        line.name,
        _found(line),
        line.judged.should_be if measured else "",
        letters.get(line.judged.basis, "") if measured else "",
        line.power if measured else "",
        line.said,
        _remarks(line),
    )


def safety_table(note: JobNote, clock: Clock) -> Table:
    columns = (Column("Time", ""), Column("What", " "), Column("Record", ": "))
    return Table(columns, tuple(_safety_rows(note, clock)))


def unread_table(note: JobNote, clock: Clock) -> Table:
    columns = (
        Column("Time", ""),
        Column("Why", " "),
        Column("Note", ': "', '"'),
        Column("Words not understood", '; but not: "', '"'),
    )
    return Table(columns, tuple(_unread_row(one, clock) for one in note.unread))


def _unread_row(one: Unread, clock: Clock) -> tuple[str, ...]:
    """Words are named apart only where they are not the whole note."""
    phrases = " / ".join(one.phrases)
    in_part = one.why == "not understood" and phrases != one.whole.strip()
    words = "" if phrases == one.whole.strip() else phrases
    return clock(one.at), "understood in part" if in_part else one.why, one.whole, words


def _work_remark(line: WorkLine) -> str:
    unasked = "done unasked, not proposed by the assistant" if line.unasked else ""
    unproved = f"NOT PROVED SAFE for it, missing: {listed(line.unproved)}" if line.unproved else ""
    return "; ".join(once((unasked, unproved)))


def _proof_row(line: ProofLine) -> tuple[str, ...]:
    return line.name, line.verdict, line.shown, line.should_be, line.words


def _safety_rows(note: JobNote, clock: Clock) -> Iterator[tuple[str, ...]]:
    """Steps of one group that follow each other share a row."""
    for (kind, group), lines in groupby(note.safety, key=lambda line: (line.kind, line.group)):
        run = list(lines)
        if kind != "step":
            yield from ((clock(line.at), KINDS[kind], _safety_words(line)) for line in run)
            continue
        times = once(clock(line.at) for line in (run[0], run[-1]))
        steps = ", ".join(once(_safety_words(line) for line in run))
        yield " to ".join(times), GROUPS.get(group, "Step"), steps


def _safety_words(line: SafetyLine) -> str:
    words = f"{line.text} {line.shown}".strip()
    reason = f" ({line.reason})" if line.reason else ""
    return f"{words}{reason}{' [taken back]' if line.taken_back else ''}"


def _remarks(line: FindingLine) -> str:
    return "; ".join(once((STANDING[line.standing], ", ".join(line.doubts))))


def _found(line: FindingLine) -> str:
    """A look is told by its outcome, which says more than the bare state."""
    if line.kind == "finding":
        return line.judged.verdict or line.shown
    return _with(line.shown, line.judged.verdict)


def _with(shown: str, verdict: str) -> str:
    return f"{shown} ({verdict})" if verdict and verdict != shown else shown

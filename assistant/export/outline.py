"""From the note to blocks: what is shown, in which order, under which heading, for every readable format."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from .blocks import Block, Bullets, Fields, Heading, Paragraph
from .clock import Clock
from .record_tables import (
    basis_letters,
    before_after_table,
    compared_table,
    findings_table,
    proof_table,
    safety_table,
    unread_table,
    work_table,
)
from .sections import Cause, JobNote, OpenPoint
from .summary import OPEN_WORDS
from .wording import listed, once, percent, sentence

ASSUMED = "assumed"
ASSUMED_WORDS = (
    "Assumed: the unit or the measuring point was not said; it was taken from what had been asked or said before."
)
BECAUSE = {"no fault found": "Seen good:", "cannot tell": "Ruled out, or said at the end:"}


def outline(note: JobNote) -> tuple[Block, ...]:
    """Return the note as blocks; sections with nothing in them are left out."""
    return tuple(_outline(note))


def _outline(note: JobNote) -> Iterator[Block]:
    clock = Clock.of(note)
    yield Heading(f"Job note: {note.title}", 1)
    yield Paragraph(_when(note, clock))
    yield _in_short(note)
    yield from _list("Advice to the customer", note.advice)
    yield from _list("Left open", _open_points(note))
    yield Heading("Unit")
    yield _unit(note)
    yield Heading("Cause and evidence")
    yield from _cause(note)
    if note.work:
        yield Heading("Work done and parts")
        yield work_table(note, clock)
    yield Heading("Proof of performance")
    yield from _proof(note)
    yield from _compared(note)
    if note.findings or note.complaint:
        yield Heading("Findings and readings in order")
        yield findings_table(note, clock)
        if any(ASSUMED in line.doubts for line in note.findings):
            yield Paragraph(ASSUMED_WORDS)
        yield from _bases(note)
    if note.safety:
        yield Heading("Safety record")
        yield safety_table(note, clock)
    yield from _list("Cautions", (f"{one.signal.upper()}: {one.text}" for one in note.cautions))
    photos = (f"{clock(one.at)} {one.path}" + (f": {one.caption}" if one.caption else "") for one in note.photos)
    yield from _list("Photographs", photos)
    yield from _list("Further notes", (f"{clock(one.at)} {one.text}" for one in note.free_notes))
    if note.unread:
        yield Heading("Said, but not counted or not understood")
        yield unread_table(note, clock)
    yield Heading("About this note")
    yield Bullets((*note.footer, _made(note)))


def _when(note: JobNote, clock: Clock) -> str:
    head = note.header
    span = clock.dated(head.opened) if head.opened else "start not recorded"
    if head.opened and head.closed:
        minutes = round((head.closed - head.opened).total_seconds() / 60)
        span += f" to {clock(head.closed)}, {minutes} min"
    ended = f"closed as: {head.closed_as}" if head.closed else f"not closed, stands at: {head.phase}"
    return f"Visit {head.visit}, {span} ({note.zone}), {ended}."


def _in_short(note: JobNote) -> Fields:
    short = note.summary
    return Fields(
        _filled(
            ("Complaint", short.complaint),
            ("Found", short.found),
            ("Shown by" if note.outcome.causes else "Out of order", short.because),
            ("Done", short.done),
            ("Works now", short.works),
            ("Left open", short.open),
        )
    )


def _open_points(note: JobNote) -> Iterator[str]:
    for point in note.left_open:
        if point.kind != "not recorded":
            yield _open_point(point)
    silent = [point.text for point in note.left_open if point.kind == "not recorded"]
    if silent:
        yield f"Not recorded: {listed(silent)}"


def _open_point(point: OpenPoint) -> str:
    reason = f' (reason: "{point.reason}")' if point.reason else ""
    words = OPEN_WORDS[point.kind]
    todo = f". {point.todo}" if point.todo else ""
    return f"{words[0].upper()}{words[1:]}: {point.text}{reason}{todo}"


def _unit(note: JobNote) -> Fields:
    head = note.header
    numbers = [f"{line.name} {line.shown}" for line in note.plate if line.value is not None]
    return Fields(
        _filled(
            ("Place", head.place),
            ("Model", head.model),
            ("Refrigerant", head.refrigerant),
            ("Kind", head.unit_kind),
            ("Plate and markings", ", ".join(numbers)),
            ("As said", "; ".join(once(f'"{line.said}"' for line in note.plate if line.said))),
            ("Conditions", listed(head.conditions)),
        )
    )


def _cause(note: JobNote) -> Iterator[Block]:
    yield Paragraph(f"{sentence(note.outcome.kind)} {_unless_same(note)}".strip())
    for cause in note.outcome.causes:
        yield Fields(_filled(*_cause_rows(cause)))
        if cause.evidence:
            yield Paragraph("Evidence:")
            yield Bullets(tuple(sentence(words) for words in cause.evidence))
    ended = note.outcome
    rest = _filled(
        ("Still possible", "; ".join(ended.still_possible)),
        ("Found out of order", "; ".join(ended.out_of_order)),
        ("Found in order", "; ".join(ended.in_order)),
    )
    if rest:
        yield Fields(rest)
    if ended.because:
        yield Paragraph(BECAUSE.get(ended.kind, "On record:"))
        yield Bullets(tuple(sentence(words) for words in ended.because))


def _cause_rows(cause: Cause) -> Iterator[tuple[str, str]]:
    yield "Cause", listed(cause.faults, "or") or "none established: the repair was done unasked"
    yield "How it makes the complaint", " ".join(cause.why)
    yield "Measured on the part", "" if cause.evidence else "; ".join(cause.measured)
    yield "What followed from it", "; ".join(cause.consequences)
    if cause.probability is not None:
        yield "Probability when proposed", percent(cause.probability)


def _unless_same(note: JobNote) -> str:
    ended = note.outcome
    return "" if ended.sentence == sentence(ended.kind) else ended.sentence


def _proof(note: JobNote) -> Iterator[Block]:
    if any(line.verdict != "not recorded" for line in note.proof):
        yield proof_table(note)
    else:
        yield Paragraph("No item of the closing list was recorded.")
    if note.before_after:
        yield before_after_table(note)


def _compared(note: JobNote) -> Iterator[Block]:
    past = note.compared
    if past is None:
        return
    yield Heading(f"Beside the visit of {past.opened:%Y-%m-%d}")
    yield Paragraph(f"Visit {past.visit}, known by: {past.known_by}. Done then: {listed(past.repairs) or 'no repair'}.")
    if past.lines:
        yield compared_table(past)


def _bases(note: JobNote) -> Iterator[Block]:
    """What the limits rest on, once each."""
    letters = basis_letters(note)
    if letters:
        yield Paragraph("The limits rest on:")
        yield Bullets(tuple(f"({letter}) {basis}" for basis, letter in letters.items()))


def _list(title: str, items: Iterable[str]) -> Iterator[Block]:
    texts = tuple(items)
    if texts:
        yield Heading(title)
        yield Bullets(texts)


def _made(note: JobNote) -> str:
    head = note.header
    return f"Made {note.made_at:%Y-%m-%d %H:%M} ({note.zone}) by Padside {head.program}, knowledge {head.knowledge}."


def _filled(*rows: tuple[str, str]) -> tuple[tuple[str, str], ...]:
    return tuple((label, text) for label, text in rows if text)

"""The parts of a job note: plain facts with their readable form beside them, frozen.

``shown`` and ``name`` fields are ready to be read; the numbers beside them are in canonical units. What the
technician said stands in ``said`` exactly as it was; the renderers make it safe for their format.
"""

from __future__ import annotations

from datetime import datetime
from typing import Literal

from pydantic import BaseModel, ConfigDict

SCHEMA_VERSION = 1
"""Version of ``JobNote`` as written to JSON; grows when a field changes its meaning or goes."""

Standing = Literal["counts", "before repair", "read again", "taken back", "corrected"]
"""``read again`` = a later answer to the same check replaced it; only the first two count."""

OutcomeKind = Literal[
    "repaired", "no fault found", "cannot tell", "referred", "found, not repaired", "visit broken off"
]

OpenKind = Literal[
    "stop",
    "referred",
    "proof bad",
    "repair",
    "proof not done",
    "not recorded",
    "check skipped",
    "question",
    "tool",
    "wait",
]


class Section(BaseModel):
    """A frozen, closed part of the note."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class PlateLine(Section):
    item: str
    name: str
    value: float | None = None
    shown: str
    said: str


class Header(Section):
    visit: str
    place: str = ""
    model: str = ""
    refrigerant: str = ""
    unit_kind: str
    opened: datetime | None
    closed: datetime | None
    closed_as: str = ""
    phase: str
    """Where the visit stands, in words."""
    conditions: tuple[str, ...] = ()
    """Hazards of the place that were named: on a roof, hot day."""
    program: str = ""
    knowledge: str = ""
    """Version of the knowledge, so that limits and wording can be traced."""


class Summary(Section):
    """What an office reader wants to know first, one line each."""

    complaint: str
    found: str
    because: str
    """The reading or look that settled it; empty where nothing did."""
    done: str
    works: str
    open: str


class ComplaintLine(Section):
    at: datetime
    name: str
    said: str


class Judged(Section):
    """What a value should be, what it is called against that, and how the limit is known."""

    low: float | None = None
    high: float | None = None
    should_be: str = ""
    """``4.7 to 5.3 µF``; empty where there is no limit."""
    verdict: str = ""
    ok: bool | None = None
    """None where there is no limit to judge by."""
    in_order: bool = False
    """True where it reads as a good unit does, be it only against a typical plate value."""
    basis: str = ""
    """Formula or window as the trade writes it, and the pedigree."""


class FindingLine(Section):
    """One reading or look, in the order of the visit."""

    at: datetime
    note: int
    kind: Literal["reading", "finding"]
    check: str | None
    about: str
    quantity: str | None = None
    name: str
    value: float | None = None
    high_value: float | None = None
    """Upper end where a range was said."""
    over_limit: bool = False
    unit: str | None = None
    shown: str
    said: str
    judged: Judged
    doubts: tuple[str, ...] = ()
    power: str
    """Power state of the unit at the time."""
    proved: bool
    """False where the power state the check needs was not proved: it ranks but does not confirm."""
    standing: Standing

    @property
    def counts(self) -> bool:
        return self.standing in {"counts", "before repair"}


class SafetyLine(Section):
    """One event of the safety record."""

    at: datetime
    kind: Literal["step", "power", "stop raised", "stop cleared", "resumed", "wait", "hazard", "unproved work"]
    """``unproved work``: a repair was reported while the steps named in ``reason`` were missing."""
    group: str = ""
    """Group of the step: isolate, prove_dead, remove_charge, live_work, restore."""
    text: str
    value: float | None = None
    shown: str = ""
    reason: str = ""
    said: str = ""
    taken_back: bool = False


class Cause(Section):
    """What a repair was for, and what showed it."""

    repair: str
    faults: tuple[str, ...]
    """Names of the root faults, likeliest first; empty where the repair was done unasked."""
    probability: float | None
    why: tuple[str, ...]
    """How these faults make the complaint."""
    evidence: tuple[str, ...]
    consequences: tuple[str, ...]
    """What the faults brought about, in order of time."""
    measured: tuple[str, ...]
    """Readings on the part itself that were out of order."""


class Outcome(Section):
    kind: OutcomeKind
    sentence: str
    because: tuple[str, ...] = ()
    """What was given for the verdict: what was seen good, what is ruled out, or the technician's words."""
    causes: tuple[Cause, ...] = ()
    out_of_order: tuple[str, ...] = ()
    """Readings and looks that were wrong, for a search that ended without a cause."""
    in_order: tuple[str, ...] = ()
    """Checks that were found in order, for a search that ended without a repair."""
    still_possible: tuple[str, ...] = ()
    """Faults that led when the search ended without an answer."""


class WorkLine(Section):
    at: datetime
    repair: str
    done: str
    part: str
    """Subject of the part fitted; empty where nothing is fitted."""
    specify: str
    """The part in trade terms."""
    fitted: str = ""
    """Which one it was and where it came from, as far as that was told; a substitute is called one."""
    said: str
    unasked: bool
    unproved: tuple[str, ...] = ()
    """Safety steps that were missing when it was reported as done."""


class ProofLine(Section):
    item: str
    name: str
    phase: Literal["proving", "securing"]
    verdict: Literal["good", "bad", "not done", "not recorded"]
    value: float | None = None
    shown: str = ""
    should_be: str = ""
    words: str = ""
    """The technician's words, or the reason why it was not done."""
    settled: bool = False
    """Good, or not done for a reason that leaves nothing open."""


class BeforeAfter(Section):
    name: str
    before: str
    before_verdict: str
    after: str
    after_verdict: str


class OpenPoint(Section):
    kind: OpenKind
    text: str
    todo: str = ""
    """What to do about it, where the knowledge says so."""
    reason: str = ""


class CautionLine(Section):
    signal: str
    text: str


class ComparedLine(Section):
    """One reading of today beside that of the last visit to the same unit."""

    check: str
    name: str
    then: str
    now: str
    change: str = ""
    """``-2.3 µF (-5 %)``; empty where there is nothing to compare."""


class Compared(Section):
    """The last visit to the same unit."""

    visit: str
    opened: datetime
    known_by: str
    repairs: tuple[str, ...]
    lines: tuple[ComparedLine, ...]


class NamedPhoto(Section):
    at: datetime
    path: str
    caption: str


class TimedText(Section):
    at: datetime
    text: str


class Unread(Section):
    """Words of a note that meant nothing to the assistant, or no longer count: nothing said is lost."""

    at: datetime
    note: int
    phrases: tuple[str, ...]
    whole: str
    """The whole note as it was typed or heard."""
    why: Literal["not understood", "did not count", "taken back", "corrected"]
    """``did not count``: understood, but refused, such as a safety step out of order."""


class JobNote(Section):
    """The whole note. Everything a renderer shows comes from here."""

    schema_version: int = SCHEMA_VERSION
    made_at: datetime
    """In office time, as every time here."""
    zone: str
    """Offset of the office: ``UTC-05:00``."""
    title: str
    summary: Summary
    advice: tuple[str, ...]
    """For the customer, in plain words."""
    left_open: tuple[OpenPoint, ...]
    header: Header
    plate: tuple[PlateLine, ...]
    complaint: tuple[ComplaintLine, ...]
    outcome: Outcome
    work: tuple[WorkLine, ...]
    proof: tuple[ProofLine, ...]
    before_after: tuple[BeforeAfter, ...]
    compared: Compared | None
    """None where the unit was not met before."""
    readings: tuple[FindingLine, ...]
    """The readings that count, with their limits: a selection of ``findings``."""
    findings: tuple[FindingLine, ...]
    safety: tuple[SafetyLine, ...]
    cautions: tuple[CautionLine, ...]
    photos: tuple[NamedPhoto, ...] = ()
    """Photographs by their path, as the technician named them."""
    free_notes: tuple[TimedText, ...]
    unread: tuple[Unread, ...]
    footer: tuple[str, ...]

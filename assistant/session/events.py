"""Past-tense facts of a visit. Nothing is edited: a correction or undo is an event that voids earlier ones.

Every event carries the schema version, its sequence number, the time and the number of the causing note.
"""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, TypeAdapter

SCHEMA_VERSION = 1


class Event(BaseModel):
    """Head of every event."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    v: int = SCHEMA_VERSION
    seq: int = 0
    """1, 2, 3 ... within the visit; given by the engine."""
    at: datetime
    """When, timezone-aware UTC."""
    note: int = 0
    """Number of the technician's note that caused it; 0 before the first."""


class VisitOpened(Event):
    type: Literal["visit_opened"] = "visit_opened"
    visit: str
    unit_kind: str
    knowledge: str
    """Knowledge version, so that a replay can tell changed rules from changed code."""
    program: str


class VisitResumed(Event):
    """The program was started again on this visit: the power state is unknown from here."""

    type: Literal["visit_resumed"] = "visit_resumed"
    knowledge: str
    program: str


class NoteHeard(Event):
    """The technician's words as they were, with all that the language part made of them (for the record)."""

    type: Literal["note_heard"] = "note_heard"
    text: str
    source: Literal["typed", "spoken"]
    confidence: float | None = None
    confirmed: bool = False
    """Spoken, read back, and answered with a clear yes."""
    heard: tuple[dict[str, Any], ...] = ()
    not_understood: tuple[str, ...] = ()


class ComplaintReported(Event):
    type: Literal["complaint_reported"] = "complaint_reported"
    complaint: str
    said: str


class PlateRead(Event):
    type: Literal["plate_read"] = "plate_read"
    item: str
    value: float | None = None
    text: str | None = None
    said: str


class BuiltTold(Event):
    """The technician said how the unit is built."""

    type: Literal["built_told"] = "built_told"
    option: str
    """Option of the kind of unit, or ``kind``."""
    choice: str
    said: str


class BuiltAsked(Event):
    """How the unit is built was asked; it is not asked again."""

    type: Literal["built_asked"] = "built_asked"
    option: str


class ReadingTaken(Event):
    type: Literal["reading_taken"] = "reading_taken"
    about: str
    quantity: str
    value: float | None
    """Canonical unit; None = over limit (open)."""
    high: float | None = None
    unit: str
    over_limit: bool = False
    check: str | None = None
    """Check it answers; None where it is outside the curated ones."""
    said: str
    doubts: tuple[str, ...] = ()
    power: str
    """Power state at the time."""
    epoch: int
    proved: bool
    """True where the power state the check needs was met (otherwise it ranks but does not confirm)."""
    phase: str


class FindingMade(Event):
    type: Literal["finding_made"] = "finding_made"
    about: str
    state: str
    negated: bool = False
    check: str | None = None
    outcomes: tuple[str, ...] = ()
    """Outcomes of the check that the words leave possible."""
    said: str
    doubts: tuple[str, ...] = ()
    power: str
    epoch: int
    proved: bool
    phase: str


class StepConfirmed(Event):
    """A safety step was done, in the power epoch that was current."""

    type: Literal["step_confirmed"] = "step_confirmed"
    step: str
    value: float | None = None
    said: str


class PowerChanged(Event):
    """Power came, or is no longer known. Any change but towards safe clears all proofs (new epoch)."""

    type: Literal["power_changed"] = "power_changed"
    to: Literal["unknown", "live"]
    because: str


class StopRaised(Event):
    type: Literal["stop_raised"] = "stop_raised"
    stop: str
    because: str


class StopCleared(Event):
    type: Literal["stop_cleared"] = "stop_cleared"
    stop: str
    because: str


class Asked(Event):
    """What the assistant asked last; the next bare answer belongs to it."""

    type: Literal["asked"] = "asked"
    kind: Literal["check", "step", "clarify", "plate", "repair", "close_out", "intake", "calculation", "built", "none"]
    id: str
    options: tuple[dict[str, Any], ...] = ()
    """For clarify: the candidate items (language ``Heard`` as plain data); for calculation: the request so far."""


class CheckSkipped(Event):
    type: Literal["check_skipped"] = "check_skipped"
    check: str
    because: str


class ToolMissing(Event):
    type: Literal["tool_missing"] = "tool_missing"
    tool: str
    found: bool = False
    """True where it is at hand after all: told so, or used for a reading."""


class HazardReported(Event):
    type: Literal["hazard_reported"] = "hazard_reported"
    hazard: str


class RepairProposed(Event):
    type: Literal["repair_proposed"] = "repair_proposed"
    repair: str
    cause: tuple[str, ...]
    """Root faults it is for."""
    probability: float
    evidence: tuple[str, ...]
    """Sentences: got / good unit / this fault."""
    consequences: tuple[str, ...] = ()


class RepairDone(Event):
    type: Literal["repair_done"] = "repair_done"
    repair: str
    said: str
    proposed: bool
    """False where the technician did it unasked."""


class PartFitted(Event):
    """Which part a repair put in, as told or as taken from the truck."""

    type: Literal["part_fitted"] = "part_fitted"
    repair: str
    part: str
    marking: str
    taken: dict[str, int] = {}
    """What came off the truck, as its list shows it -> how many; empty where that is not known."""
    instead: str = ""
    """Where it is a substitute: how it stands for the marked part."""
    problem: str = ""
    """Why it may not stand for the marked part."""


class RepairDeclined(Event):
    """The technician or the customer does not want a proposed repair."""

    type: Literal["repair_declined"] = "repair_declined"
    repair: str
    said: str


class PhaseEntered(Event):
    type: Literal["phase_entered"] = "phase_entered"
    phase: str


class TimerStarted(Event):
    type: Literal["timer_started"] = "timer_started"
    wait: str
    minutes: float
    because: str
    nth: int = 1
    """Which of several timers of one kind."""


class TimerEnded(Event):
    type: Literal["timer_ended"] = "timer_ended"
    wait: str
    nth: int = 1


class ProofRecorded(Event):
    """One close-out item: done with a value or words, or not done with the reason."""

    type: Literal["proof_recorded"] = "proof_recorded"
    item: str
    verdict: Literal["good", "bad", "not done"]
    value: float | None = None
    unit: str | None = None
    words: str = ""


class PhotoNamed(Event):
    """A photograph that belongs to the visit; only its path is kept."""

    type: Literal["photo_named"] = "photo_named"
    path: str
    caption: str = ""


class FreeNote(Event):
    type: Literal["free_note"] = "free_note"
    text: str


class NoteTakenBack(Event):
    """Undo or correction: all events of that note no longer count (the words stay in the log)."""

    type: Literal["note_taken_back"] = "note_taken_back"
    taken_back: int
    """Number of the note."""
    because: Literal["undo", "correction"]


class UnitRemembered(Event):
    """The unit was worked before: what the last visit to it left behind, copied so that this log stands alone."""

    type: Literal["unit_remembered"] = "unit_remembered"
    visit: str
    """The earlier visit."""
    opened: datetime
    by: str
    """Plate item that it was known by."""
    readings: dict[str, float | None]
    """Check -> its last value of the unit as it was left, canonical unit; None = over limit."""
    repairs: tuple[str, ...] = ()
    proved: dict[str, float] = {}
    """Close-out item that no single check answers (the split) -> its value then, canonical unit."""


class VerdictReached(Event):
    """How the search ended when it did not end in a repair."""

    type: Literal["verdict_reached"] = "verdict_reached"
    verdict: Literal["no fault found", "cannot tell", "referred"]
    because: tuple[str, ...]


class ReplyGiven(Event):
    """What the assistant answered, short form, so that a replay can be compared."""

    type: Literal["reply_given"] = "reply_given"
    next: str | None = None
    repair: str | None = None
    top: tuple[str, ...] = ()
    stops: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    """Cautions that went with it; the next reply need not say them again."""


class VisitClosed(Event):
    type: Literal["visit_closed"] = "visit_closed"
    outcome: str


AnyEvent = Annotated[
    VisitOpened
    | VisitResumed
    | NoteHeard
    | ComplaintReported
    | PlateRead
    | BuiltTold
    | BuiltAsked
    | ReadingTaken
    | FindingMade
    | StepConfirmed
    | PowerChanged
    | StopRaised
    | StopCleared
    | Asked
    | CheckSkipped
    | ToolMissing
    | HazardReported
    | RepairProposed
    | RepairDone
    | PartFitted
    | RepairDeclined
    | PhaseEntered
    | TimerStarted
    | TimerEnded
    | ProofRecorded
    | PhotoNamed
    | FreeNote
    | NoteTakenBack
    | UnitRemembered
    | VerdictReached
    | ReplyGiven
    | VisitClosed,
    Field(discriminator="type"),
]

EVENT: TypeAdapter[AnyEvent] = TypeAdapter(AnyEvent)
"""Validates one event from plain data or JSON."""

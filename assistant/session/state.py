"""The state of a visit: a pure fold over its events."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum

from . import events as e


class Power(StrEnum):
    """Power state of the unit, as far as it is proved."""

    UNKNOWN = "unknown"
    LIVE = "live"
    ISOLATED = "isolated"
    PROVED_DEAD = "proved dead"
    DISCHARGED = "charge removed"


HELD_DEAD = frozenset({Power.ISOLATED, Power.PROVED_DEAD, Power.DISCHARGED})
"""States in which the unit must not turn out to be fed."""


def timer_key(wait: str, nth: int) -> str:
    """Return what the n-th running timer of a wait is kept under."""
    return wait if nth == 1 else f"{wait}#{nth}"


@dataclass(frozen=True, slots=True)
class Timer:
    """A running wait."""

    wait: str
    started: datetime
    minutes: float
    because: str
    nth: int = 1

    @property
    def key(self) -> str:
        """What it is kept under: its wait, from the second of a kind on with its number."""
        return timer_key(self.wait, self.nth)


@dataclass(frozen=True, slots=True)
class Stop:
    stop: str
    because: str
    at: datetime


@dataclass(frozen=True, slots=True)
class Skip:
    check: str
    because: str


@dataclass(frozen=True, slots=True)
class VisitState:
    """Everything known about the visit now. Collections hold the standing (not voided) events in order."""

    visit: str = ""
    unit_kind: str = ""
    opened: datetime | None = None
    note: int = 0
    """Number of the last note."""
    seq: int = 0
    phase: str = "intake"
    power: Power = Power.UNKNOWN
    epoch: int = 0
    """Counts up every time the proofs of dead are cleared."""
    steps_done: tuple[e.StepConfirmed, ...] = ()
    """Safety steps that count in the current epoch, in order; a repeated one keeps its place."""
    power_because: str = ""
    """What changed the power state last, in the technician's words or as a short reason."""
    restore_checked: frozenset[str] = frozenset()
    """Steps of the epoch that ended when power came back; empty where it came back unannounced."""
    complaints: tuple[e.ComplaintReported, ...] = ()
    plate: Mapping[str, e.PlateRead] = field(default_factory=dict)
    built: Mapping[str, str] = field(default_factory=dict)
    """Option of the unit -> choice, as told; an option of another kind of unit is kept, and means nothing here."""
    built_asked: frozenset[str] = frozenset()
    """Options that were asked about."""
    readings: tuple[e.ReadingTaken, ...] = ()
    findings: tuple[e.FindingMade, ...] = ()
    latest: Mapping[str, e.ReadingTaken | e.FindingMade] = field(default_factory=dict)
    """Check id -> the reading or finding that counts now (a repeat replaces, it does not multiply)."""
    before_repairs: tuple[Mapping[str, e.ReadingTaken | e.FindingMade], ...] = ()
    """What ``latest`` was when each repair was reported done."""
    takes: Mapping[str, tuple[e.ReadingTaken | e.FindingMade, ...]] = field(default_factory=dict)
    """The last few answers to each check since the last repair, the latest last."""
    times: Mapping[str, int] = field(default_factory=dict)
    """Check id -> how often it was answered since the last repair."""
    stops: tuple[Stop, ...] = ()
    skipped: Mapping[str, Skip] = field(default_factory=dict)
    tools_missing: frozenset[str] = frozenset()
    hazards: frozenset[str] = frozenset()
    asked: e.Asked | None = None
    proposed: e.RepairProposed | None = None
    declined: Mapping[str, e.RepairDeclined] = field(default_factory=dict)
    """Repair id -> the word that it is not wanted; gone once it is done all the same."""
    repairs: tuple[e.RepairDone, ...] = ()
    fitted: tuple[e.PartFitted, ...] = ()
    remembered: e.UnitRemembered | None = None
    proofs: Mapping[str, e.ProofRecorded] = field(default_factory=dict)
    bad_proofs: Mapping[str, int] = field(default_factory=dict)
    """Close-out item -> how often it came out bad since the last repair; gone once it is good for sure, kept while the
    search is on again."""
    contested: frozenset[str] = frozenset()
    """Close-out items that came out bad once and then good: a third take decides."""
    timers: Mapping[str, Timer] = field(default_factory=dict)
    notes: tuple[e.FreeNote, ...] = ()
    photos: tuple[e.PhotoNamed, ...] = ()
    verdict: e.VerdictReached | None = None
    closed: str | None = None
    taken_back: frozenset[int] = frozenset()

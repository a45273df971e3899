"""The visit as data: phases, plate items, close-out proofs, tools, hazards, waits."""

from __future__ import annotations

from collections.abc import Collection
from enum import StrEnum

from pydantic import Field

from .entry import Closed, Entry, Fitted, Id, Text


class Phase(StrEnum):
    """Where the visit is. The transition table with its guards is in ``assistant.session.phases``."""

    INTAKE = "intake"
    FINDING = "finding"
    REPAIR = "repair"
    RESTART = "restart"
    PROVING = "proving"
    SECURING = "securing"
    CLOSED = "closed"


class PhaseText(Closed):
    phase: Phase
    name: Text
    says: Text


class PlateItem(Entry):
    """A value printed on the unit or on a part."""

    name: Text
    quantity: Id | None = None
    phrases: tuple[str, ...]
    subject: Id | None = None
    """Part that carries the print; "rated 45" about it fills this item."""
    plausible: tuple[float, float] | None = None
    step: float | None = None
    """Prints come in whole multiples of this (canonical unit): 44.8 is read, not printed."""
    usual: tuple[float, ...] = ()
    """What is printed as a rule: such a number beside the item's name may be the print, or a reading by that name."""
    pair_within: float | None = None
    """Two values printed as one (208/230) are at most this factor apart; None where no such pair is printed."""
    printed_pairs: tuple[tuple[float, float], ...] = ()
    """Pairs that are print wherever they are told of a part: no motor has two voltages at once."""
    up_to: Id | None = None
    """Item that takes the upper end where this one is printed as the lower end of a range; neither is printed alone."""
    text: bool = False
    """True for refrigerant or model: kept as words."""
    plain_name: bool = False
    """True where unknown words without a figure behind its name fill it: customer Hill."""
    identifies: bool = False
    """True where the same words name the same unit on another day."""
    unnamed_from: dict[Text, float] = Field(default_factory=dict)
    """Symbol of a unit -> least number of it that fills this item with no name beside it: from 500 ft on it is the
    height of the place, no length of a run. 0: nothing else of the trade is counted in that unit."""
    ask: Text
    source: str


class CloseOutItem(Fitted):
    """One proof of performance; fixed list, never inferred away."""

    name: Text
    check: Id | None = None
    """Check whose fresh reading (after the repair) is the proof; None = yes/no question."""
    ask: Text
    spoken: Text
    complaints: tuple[Id, ...] = ()
    """Asked only where one of these was complained of; empty = always."""
    good_when: dict[Id, Id] = Field(default_factory=dict)
    """Look and listen checks with the outcome that counts as good; all of them together answer it."""
    or_when: dict[Id, Id] = Field(default_factory=dict)
    """Another set of looks that shows the same."""
    steps_done: tuple[Id, ...] = ()
    """Safety steps whose report is a yes to it: "covers are back on"."""
    steps_undone: tuple[Id, ...] = ()
    """Safety steps whose undoing is a yes to it: the own lock is off."""
    about: Id | None = None
    quantity: Id | None = None
    reads: tuple[Id, ...] = ()
    """Checks whose readings together answer it, in the order they are asked for."""
    result: Id | None = None
    """Quantity of the number that ``reads`` give together."""
    limit: Id | None = None
    """What its reading is held against; where it ``reads`` several, what is worked out of them."""
    settled_by: Id | None = None
    """Check that measures the same better, on the dead unit: asked at once where this one fails."""
    phase: Phase
    """proving or securing"""
    reason_enough: bool = False
    """True where "not done" with its reason leaves nothing open: gauges stay off a circuit that seems sound."""
    bad_reopens: bool = False
    """True where a bad result sends the visit back to finding the cause at once."""
    source: str

    def is_for(self, complaints: Collection[str]) -> bool:
        """Return True where these complaints ask for it: one of its own is among them, or it has none."""
        return not self.complaints or not set(self.complaints).isdisjoint(complaints)


class Tool(Entry):
    name: Text


class HazardKind(StrEnum):
    """What follows from it, besides its cautions."""

    PLACE = "place"
    """A condition of the place: roof, ladder, heat."""
    REFER = "refer"
    """Work or danger that goes beyond this visit: it is handed on, and the note says so."""
    NEVER = "never"
    """Something wished for that is advised against: a bypassed switch."""


class Hazard(Entry):
    """What brings cautions with it: a condition of the place, a limit of the job, a dangerous wish."""

    name: Text
    kind: HazardKind = HazardKind.PLACE
    lacks: tuple[Id, ...] = ()
    """Tools that are not used because of it: no certificate, no gauges."""
    halts: bool = False
    """True where nothing else is asked for in the same breath: gas, heat stroke."""


class Wait(Entry):
    """A kind of waiting with a timer."""

    name: Text
    minutes: float
    span: tuple[float, float] | None = None
    """Shortest and longest that is usual, in minutes."""
    about: Id
    starts_on: dict[Id, tuple[Id, ...]] = Field(default_factory=dict)
    """Check -> outcomes that start it by themselves; another outcome of the same check ends it."""
    starts: tuple[str, ...] = ()
    """Words with which a technician begins it: started thawing."""
    names: tuple[str, ...] = ()
    """What it is called where one asks how long it takes: the thaw."""
    watched: bool = False
    """True where a value of ``about`` is read again and again until it is over."""
    ends_first: Text | None = None
    """Why the unit is not put back to work before it is over; the technician may all the same."""
    running: bool = False
    """True where the unit runs meanwhile: only then may what needs it running be looked at."""
    text: Text
    source: str


class VisitFile(Closed):
    phases: tuple[PhaseText, ...]
    plate_items: tuple[PlateItem, ...]
    tools: tuple[Tool, ...]
    hazards: tuple[Hazard, ...]
    waits: tuple[Wait, ...]


class CloseOutFile(Closed):
    close_out: tuple[CloseOutItem, ...]

"""What a front end shows or says: one frozen model, the same for the terminal UI, the plain text and the JSON lines."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict


class Part(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class HeardItem(Part):
    """One thing heard, numbers in canonical unit, with the original words."""

    kind: str
    about: str | None = None
    name: str = ""
    """Readable name of ``about``."""
    quantity: str | None = None
    value: float | str | None = None
    """Number, state or word; "OL" for over limit."""
    unit: str | None = None
    said: str
    doubt: str | None = None
    """Doubts joined by ", "; null when certain."""
    shown: str = ""
    """Read-back as one phrase: ``fan side: 1.2 µF (low; should be 4.7 to 5.3)``."""


class LimitItem(Part):
    """What a quantity should read here."""

    quantity: str
    about: str | None = None
    low: float | None = None
    high: float | None = None
    unit: str
    window: str = ""
    """Low and high in words: ``42.3 to 47.7 µF``, ``at least 2 MΩ``."""
    source: str
    """Readable pedigree: ``printed tolerance, common practice``."""
    rests_on: str = ""
    """The first of the sources: what the screen shows."""
    formula: str = ""
    note: str = ""
    """Validity, or what plate value is missing."""


class StepItem(Part):
    id: str
    say: str
    spoken: str
    again: bool = False
    """True where the reply before asked for it in full: the short form does."""


class NextItem(Part):
    """The one next thing to do."""

    id: str
    say: str
    why: str
    minutes: float
    limits: tuple[LimitItem, ...] = ()
    needs: str = "any"
    """Power need: any, live, dead, discharged."""
    name: str = ""
    kind: str = "check"
    """check, question, plate, close_out, wait"""


class RepairItem(Part):
    id: str
    say: str
    why: tuple[str, ...]
    parts: str
    steps: tuple[str, ...]
    also: tuple[str, ...] = ()
    consequences: tuple[str, ...] = ()
    minutes: float
    refer: bool = False
    needs: str = "discharged"


class SuspectItem(Part):
    id: str
    name: str
    probability: float
    word: str
    """Rank word: ``almost certain``, ``likely``, ``possible``, ``unlikely``."""
    consequences: tuple[str, ...] = ()


class StopItem(Part):
    id: str
    signal: str
    say: str
    because: str


class CautionItem(Part):
    id: str
    signal: str
    say: str


class TimerItem(Part):
    id: str
    name: str
    ends: str
    """ISO time."""
    minutes: float


class ReadingItem(Part):
    """One reading or finding of the visit, for the list on the screen."""

    name: str
    shown: str
    """Value with unit, or the state in words."""
    verdict: str = ""
    """in range, low, high, open, borderline ...; empty where there is no limit."""
    doubt: str | None = None


class Reply(Part):
    """The answer to one note."""

    visit: str
    note: int
    heard: tuple[HeardItem, ...] = ()
    not_understood: tuple[str, ...] = ()
    power: str
    phase: str
    stops: tuple[StopItem, ...] = ()
    safety_steps: tuple[StepItem, ...] = ()
    """Steps still missing before ``next`` or ``repair``, in order; do the first, report it."""
    cautions: tuple[CautionItem, ...] = ()
    next: NextItem | None = None
    repair: RepairItem | None = None
    suspects: tuple[SuspectItem, ...] = ()
    limits: tuple[LimitItem, ...] = ()
    """Limits that were asked for, or that belong to what was heard."""
    question: str | None = None
    """Something to be cleared up first, in words."""
    timers: tuple[TimerItem, ...] = ()
    readings: tuple[ReadingItem, ...] = ()
    """Readings and findings that count now, newest first."""
    reply: str
    """The whole answer as text for the screen."""
    spoken: str
    """The short form for the ear."""
    closed: bool = False

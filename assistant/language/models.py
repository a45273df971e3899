"""What the language part returns: everything heard, everything not understood, and what must be asked back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum


class Kind(StrEnum):
    """Kinds of thing a note can contain."""

    READING = "reading"
    """A measured number (or "over limit") with its quantity."""
    FINDING = "finding"
    """A subject in a state: fan humming, lead burnt."""
    PLATE = "plate"
    """A value printed on the unit or a part."""
    BUILT = "built"
    """How the unit is built (``about`` = ``kind.`` and the kind of unit, or option, dot, choice)."""
    COMPLAINT = "complaint"
    SAFETY = "safety"
    """A safety step reported as done (``about`` = step id, ``value`` where it carries a reading)."""
    POWER = "power"
    """Power restored or removed without naming a safety step (``about`` = ``on`` / ``off``)."""
    REPAIR = "repair"
    """A repair reported as done (``about`` = repair id)."""
    ANSWER = "answer"
    """Answer to the pending question (``about`` = yes, no, done, cannot, same, unknown; or an option)."""
    REQUEST = "request"
    """Something the technician wants (``about`` = request id; ``subject`` where it names one)."""
    CORRECTION = "correction"
    """Marks that the other items of the note replace the last note's."""
    TOOL = "tool"
    """A tool that is missing (``about`` = tool id)."""
    HAZARD = "hazard"
    """A condition of the place (``about`` = hazard id)."""
    PHOTO = "photo"
    """A photograph named by its path (``text``)."""
    NOTE = "note"
    """Free text kept as it is."""


class Doubt(StrEnum):
    """Why an item is not certain. Shown to the technician; never dropped."""

    UNSURE = "unsure"
    """The technician hedged: I think, maybe."""
    AMBIGUOUS = "ambiguous"
    """Two readings of the words fit; asked back, not used until answered."""
    OUT_OF_RANGE = "out of range"
    """No meter reads that here; asked back, not used until answered."""
    SPELLING = "spelling"
    """A word was matched loosely; used, and shown as read."""
    ASSUMED = "assumed"
    """Subject, quantity or unit was not said but taken from the pending question or the usual one."""
    APPROXIMATE = "approximate"
    """A range or "about"."""
    MISHEARD = "misheard"
    """Spoken, and the recogniser was not confident."""


BLOCKING = frozenset({Doubt.AMBIGUOUS, Doubt.OUT_OF_RANGE})
"""Doubts that keep an item out of the evidence until they are answered."""


@dataclass(frozen=True, slots=True)
class Given:
    """One input of a calculation, as said in its question or as answer to one for it."""

    about: str
    """Id of the calculation input."""
    said: str
    value: float | None = None
    """In the canonical unit of the input's quantity; None for a refrigerant or a choice."""
    text: str | None = None
    """Refrigerant as on the plate, or id of the choice."""
    said_unit: str | None = None
    error: float | None = None
    """Half the width of a range, where one was said."""
    assumed: bool = False
    """True where neither name nor unit was said: taken by the order of the inputs."""


@dataclass(frozen=True, slots=True)
class Heard:
    """One thing heard in a note. ``said`` is the original text of its span."""

    kind: Kind
    said: str
    start: int
    """Offsets into the note as given: said == note[start:end]."""
    end: int
    about: str | None = None
    """Id: subject (reading, finding), plate item, complaint, step, repair, answer, request, tool, hazard."""
    quantity: str | None = None
    """Quantity id (reading, plate)."""
    value: float | None = None
    """In the quantity's canonical unit; None for "over limit" and findings."""
    high: float | None = None
    """Upper end where a range was said ("between 38 and 40"); value is the lower end."""
    unit: str | None = None
    """Canonical unit symbol."""
    said_unit: str | None = None
    """Unit as the technician meant it, for showing back."""
    over_limit: bool = False
    """True for OL / open / infinite on a resistance."""
    state: str | None = None
    """State id (finding)."""
    negated: bool = False
    """True for "not humming" where the state has no exact opposite."""
    text: str | None = None
    """Words of a plate text item or a free note."""
    subject: str | None = None
    """Subject, check or quantity that a request is about ("what should the fan cap read")."""
    inputs: tuple[Given, ...] = ()
    """What a request for a calculation (``about`` = its id) was given."""
    doubts: tuple[Doubt, ...] = ()
    options: tuple[Heard, ...] = ()
    """The candidate readings of an ambiguous or out-of-range item, most likely first."""

    @property
    def usable(self) -> bool:
        """True where nothing must be asked back first."""
        return not BLOCKING.intersection(self.doubts)


@dataclass(frozen=True, slots=True)
class Asked:
    """The question the assistant asked last; a bare answer belongs to it."""

    kind: str
    """check, step, clarify, plate, repair, close_out, intake, calculation, built (id: option of the unit)"""
    id: str
    about: str | None = None
    quantity: str | None = None
    unit: str | None = None
    states: tuple[str, ...] = ()
    """State ids that answer it."""
    plausible: tuple[float, float] | None = None
    options: tuple[Heard, ...] = ()
    """For a clarify question: what may be chosen; for a calculation: the request that waits for its input."""


@dataclass(frozen=True, slots=True)
class Context:
    """What the conversation knows when a note arrives. All optional: the parser works without."""

    asked: Asked | None = None
    plate: Mapping[str, float] = field(default_factory=dict)
    """Plate item id -> value in canonical unit."""
    last: tuple[Heard, ...] = ()
    """Items of the last note, for "no, thirteen"."""
    goal: Asked | None = None
    """What is asked next once a clarifying question is settled; who passes that question over answers this."""
    watched: str | None = None
    """The part whose value is watched while a wait runs: a bare "147" is the shell that cools."""
    found: tuple[str, ...] = ()
    """Parts that something was found or read of in this visit."""
    proposed: str | None = None
    """The repair that is proposed: "spliced it", "fixing it now" is about that one."""
    powered: bool | None = None
    """True where the unit is fed, False where it is held dead: a bare number is nothing that needs the other."""
    metric: bool = False
    """True for a technician who works in SI: bare numbers are taken in it."""
    spoken: bool = False
    """True where the note came from the recogniser: teens and tens get doubted."""
    confidence: float = 1.0
    """How sure the recogniser is of the whole note, 0..1; means nothing for a typed note."""
    word_confidence: tuple[float, ...] = ()
    """The same for each word of the note as spaces part it; left out of account where the counts differ."""


@dataclass(frozen=True, slots=True)
class Understood:
    """A note taken apart. Every character of meaning is either in ``heard`` or in ``not_understood``."""

    text: str
    """The note after cleaning (control characters dropped, length capped); spans refer to it."""
    heard: tuple[Heard, ...]
    not_understood: tuple[str, ...]
    """Runs of words that meant nothing to the vocabulary, fillers left out."""
    problem: str | None = None
    """Set when the note as a whole could not be taken (empty, too long, not text), in words for the technician."""

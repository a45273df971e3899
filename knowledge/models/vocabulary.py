"""Words of the trade: what can be talked about, how it can be, and what the technician may ask or answer."""

from __future__ import annotations

from .entry import Closed, Entry, Id, Text


class Subject(Entry):
    """A part, place or pair of test points that a reading or finding can be about."""

    name: Text
    phrases: tuple[str, ...]
    """Ways to name it, lower case. The first is the preferred one."""
    part_of: Id | None = None
    """Wider subject: a finding about ``herm side`` also names the capacitor."""
    upstream: bool = False
    """True where the point stays live with the disconnect open; voltage here does not undo "proved dead"."""
    quantities: tuple[Id, ...] = ()
    """Quantities that make sense here, most usual first; a bare number takes the first that fits."""


class SubjectFile(Closed):
    subjects: tuple[Subject, ...]


class State(Entry):
    """How a subject was found: humming, burnt, pulled in."""

    name: Text
    phrases: tuple[str, ...]
    opposite: Id | None = None
    """The state that "not" turns it into, where there is exactly one."""
    subjects: tuple[Id, ...] = ()
    """Subjects it is said of; empty = any."""


class StateFile(Closed):
    states: tuple[State, ...]


class Intent(Entry):
    """Something the technician asks, answers or announces, other than a reading or finding."""

    kind: Id
    """request, answer, correction, power, safety, repair_done, tool, hazard."""
    phrases: tuple[str, ...]
    whole_note: bool = False
    """True where the phrase only counts when it is the whole note (``no``, ``why``)."""
    about: Id | None = None
    """What is announced: a safety step, a repair, a tool, a power state."""
    example: str = ""


class IntentFile(Closed):
    intents: tuple[Intent, ...]


class Particles(Closed):
    """Small words the parser needs; each list lower case."""

    negation: tuple[str, ...]
    hedge: tuple[str, ...]
    plate: tuple[str, ...]
    """Words that mark a value as printed on the plate or part: rated, marked, plate says."""
    measured: tuple[str, ...]
    """Words that mark a value as measured: reads, got, measures."""
    correction: tuple[str, ...]
    """Openers that replace the last thing said: no, I meant, sorry, make that."""
    clause: tuple[str, ...]
    """Words that part two findings: and, but, then."""
    filler: tuple[str, ...]
    about_number: tuple[str, ...]
    """Approximation before a number: about, around."""
    zero: tuple[str, ...]
    """Words that mean a reading of zero: nothing, dead, none."""
    over_limit: tuple[str, ...]
    """Words that mean an open circuit on a resistance range: OL, open, infinite."""
    free_note: tuple[str, ...]
    """Openers of a dictated free note: note, for the record."""


class ParticleFile(Closed):
    particles: Particles


class NumberWords(Closed):
    units: dict[str, int]
    """one..nineteen"""
    tens: dict[str, int]
    scales: dict[str, int]
    """hundred, thousand"""
    point: tuple[str, ...]
    oh: tuple[str, ...]
    """Words for the digit nought inside a number: oh, o, zero."""
    halves: dict[str, float]
    """half, quarter"""
    minus: tuple[str, ...]


class NumberFile(Closed):
    number_words: NumberWords


class Respelling(Closed):
    """A mishearing or slang spelling replaced before anything else is tried."""

    heard: str
    means: str


class RespellingFile(Closed):
    respellings: tuple[Respelling, ...]

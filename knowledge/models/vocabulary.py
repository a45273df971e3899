"""Words of the trade: what can be talked about, how it can be, and what the technician may ask or answer."""

from __future__ import annotations

from pydantic import Field

from .entry import Closed, Entry, Fitted, Id, Text


class Subject(Fitted):
    """A part, place or pair of test points that a reading or finding can be about."""

    name: Text
    phrases: tuple[str, ...]
    """Ways to name it, lower case. The first is the preferred one."""
    part_of: Id | None = None
    """Wider subject: a finding about ``herm side`` also names the capacitor."""
    states: tuple[Id, ...] = ()
    """The only states that are said of it: the air outside is hot, never running. Empty = any."""
    upstream: bool = False
    """True where the point stays live with the disconnect open; voltage here does not undo "proved dead"."""
    quantities: tuple[Id, ...] = ()
    """Quantities that make sense here, most usual first; a bare number takes the first that fits."""
    one_of: tuple[Id, ...] = ()
    """Subjects that share this name; what is said of it tells which: a coil is dirty, or reads 24 volts."""
    stands_for: tuple[Id, ...] = ()
    """Subjects that this one names at once: "each leg" is both legs to ground, in this order."""
    two_values: tuple[Id, ...] = ()
    """Subjects that two values read on this one belong to, in this order: "gauges 118 over 340"."""
    apart: float | None = None
    """Two bare values, the second at least so many times the first, are read as these two."""
    whole_of: tuple[Id, ...] = ()
    """Parts that share the states of ``whole_states`` with it: of a dead unit fan and compressor are silent."""
    whole_states: tuple[Id, ...] = ()


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
    alone: Id | None = None
    """The subject it is said of where none is named: it smells burnt."""
    danger: bool = False
    """True where it is taken also from among words that nobody knows: doubtful danger is danger."""
    own_name: bool = False
    """True where it is read back by its own name, not by that of the answer it counts as."""
    helped: tuple[str, ...] = ()
    """Words of helping a part along that mean it together with one of ``then``: pushed the blade, and it ran."""
    then: tuple[str, ...] = ()
    warns: Text | None = None
    """What is said to who reports it, because coming by it can hurt; ``warns_spoken`` for the ear."""
    warns_spoken: Text | None = None


class StateFile(Closed):
    states: tuple[State, ...]


class Intent(Entry):
    """Something the technician asks, answers or announces, other than a reading or finding."""

    kind: Id
    """request, answer, correction, power, safety, repair_done, tool, hazard, note (kept in its own words)."""
    phrases: tuple[str, ...]
    whole_note: bool = False
    """True where the phrase only counts when it is the whole note (``no``, ``why``)."""
    about: Id | None = None
    """What is announced: a safety step, a repair, a tool; for another wording of a request or answer, its id."""
    of_something: bool = False
    """True for a request about a part or value named beside it: what should a 40 microfarad read."""
    acts: tuple[str, ...] = ()
    """Words of doing or being; with one of ``on`` in the same clause they say the same as a phrase."""
    on: tuple[Id, ...] = ()
    """Subjects that one of ``acts`` is done to: replaced + the capacitor."""
    never_of: tuple[Id, ...] = ()
    """Subjects beside which the phrases say something else: a compressor locked out by its pressure switch."""
    reading_about: Id | None = None
    """A reading of this subject announces it too, from ``at_least`` on: 105 outdoors is heat."""
    at_least: float | None = None
    """In the canonical unit of the subject's first quantity."""
    undone: bool = False
    """True where the words say that the step no longer holds: took the lock off."""
    asks: bool = False
    """True where the phrase opens a question, in whose clause nothing is a finding: how hot | can the shell be."""
    example: str = ""


class IntentFile(Closed):
    intents: tuple[Intent, ...]


class Weather(Closed):
    """ "It is 98 out": the temperature outdoors, said without naming the air."""

    words: tuple[str, ...]
    """One of these stands before the number."""
    out: str
    """What "out" behind the number is read as."""


class Beside(Closed):
    """Words before a number, or right behind it, that make something of it."""

    before: tuple[str, ...]
    behind: tuple[str, ...]


class Elapsed(Closed):
    """ "10 min later", "another 10 minutes": time that went by, not a reading."""

    units: tuple[str, ...]
    before: tuple[str, ...]
    behind: tuple[str, ...]
    read_as: str
    """The small word that all of it is read as."""


class Particles(Closed):
    """Small words the parser needs; each list lower case."""

    negation: tuple[str, ...]
    one: tuple[str, ...]
    """A number in words that is as often a pronoun: the inside one."""
    opinions: tuple[Id, ...]
    """States that are an opinion of the whole part, not a look at some piece of it."""
    new_one: tuple[str, ...]
    """What stands for the part behind a word of doing: put in a new one."""
    kinds_of_part: dict[Id, tuple[str, ...]]
    """Part -> words for its kind that name another part elsewhere: 30 amp time delay fuses."""
    reason_opens: tuple[str, ...]
    """Words behind "can't" that open the reason: can't, too cool out."""
    denial: tuple[str, ...]
    """Negations that put the last note right: no, thirteen."""
    none_of: tuple[str, ...]
    """Negations before a value with its unit that mean none of it: no 24 volts."""
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
    article: tuple[str, ...] = ()
    """Words that never change what a phrase means: the, my."""
    before_subject: tuple[str, ...] = ()
    """Words that tie what was read to the place named next: at, on, across."""
    range_open: tuple[str, ...] = ()
    """Openers of a range: between, from."""
    range_join: tuple[str, ...] = ()
    """Words between the ends of a range: to, or."""
    pair_join: tuple[str, ...] = ()
    """Words between two values printed or read together: over, slash."""
    point_join: tuple[str, ...] = ()
    """Words between two test points: t1 to compressor c."""
    point_open: tuple[str, ...] = ()
    """Words behind which two test points are named: between, across; there ``point_both`` joins them too."""
    point_both: tuple[str, ...] = ()
    both_sides: tuple[str, ...] = ()
    """Words for the same value before and behind a part: on both sides of."""
    people: tuple[str, ...]
    """Words that make what stands beside "customer" the name of one."""
    passing: dict[str, str] = Field(default_factory=dict)
    """"241 in 240 out": the word for each end as said -> the word that names of parts have for it."""
    in_what: tuple[str, ...]
    """Words behind "in" and "out" that make a place of them: 78 in here."""
    weather: Weather
    clock: Beside
    """Words that make an hour of a small number: before three, three o'clock."""
    deviation: Beside
    """Words that make of a percentage how far something is off: ten percent low, down ten percent."""
    said_of_many: tuple[str, ...]
    """States that many things can be in; what they are said of must be named or asked: low, high, held."""
    unfinished: tuple[str, ...]
    """Words that say of work, wherever they stand, that it is not done: pulled it half way."""
    amount_of: tuple[str, ...]
    """Words that tie an amount to what there is so much of: four inches of snow."""
    elapsed: Elapsed
    photo: tuple[str, ...] = ()
    """Words for a photograph before its file name."""
    photo_files: tuple[str, ...] = ()
    """Endings of file names that are photographs."""
    plan_acts: dict[str, tuple[str, ...]] = Field(default_factory=dict)
    """Word of work done, as repairs list it -> its forms that announce it: replaced -> replace, replacing."""
    plate_itself: tuple[str, ...] = ()
    """Words for the plate as a thing, not as the opener of a value: plate, label."""
    print_at: tuple[str, ...] = ()
    """Words before the plate that end what is printed there: subcool 10 on the plate."""
    unread: tuple[str, ...] = ()
    """Words that say a print is not there or not legible: can't read, faded."""
    wait_ended: tuple[str, ...] = ()
    """Words that end a wait in front of its name and one of ``wait_clock``: stop the thaw timer."""
    wait_clock: tuple[str, ...] = ()
    wait_told: tuple[str, ...] = ()
    """Words before the words of a wait that make it one of the past: I let it run."""
    likewise: tuple[str, ...] = ()
    """Words that give the next subject the state of the one before: so is."""
    not_done: tuple[str, ...] = ()
    """Words that make an announcement a plan, a wish or a condition: going to, should I, before I."""
    long_ago: tuple[str, ...] = ()
    """Words that put work before this visit, wherever they stand: last year, months ago."""
    question: tuple[str, ...] = ()
    """Words that open a question when a subject follows: is, did, can."""
    pronoun: tuple[str, ...] = ()
    """Words that start a sentence of its own behind a "no" that answers: no, it's out."""
    found: tuple[str, ...] = ()
    """Words that make a state something found, not something done: found, was, already."""
    first: tuple[str, ...] = ()
    """Ways to choose the first of two options; ``second`` and ``last`` likewise."""
    second: tuple[str, ...] = ()
    last: tuple[str, ...] = ()
    pointing: tuple[str, ...] = ()
    """Words behind which "one" is no number: that one, the new one."""
    street: tuple[str, ...] = ()
    """Words that end the name of a street behind a house number: lane, road."""
    flat: tuple[str, ...] = ()
    """Words before the number of a flat or door: unit, apartment."""
    prepared: tuple[str, ...] = ()
    """How a part was made ready for an ohm or microfarad reading: leads off."""
    takes_up: tuple[str, ...] = ()
    """Verbs that take up what was asked: the fan does."""
    judging: tuple[str, ...] = ()
    """Words that right behind a value judge that value, not the looks of the part: cap reads 37 on a 40, bad."""
    scenery: tuple[str, ...] = ()
    """Words that only paint in where or who, once the rest of the note is understood: inside, on the truck, for her."""
    plain: tuple[str, ...] = ()
    """Ordinary words that look like a word of the trade and must never be read as one: brown, unlocked."""


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
    """half, quarter, tenths"""
    article: tuple[str, ...] = ()
    """Words that count as one before a scale or a half: a hundred."""
    sounds: dict[str, tuple[str, ...]] = Field(default_factory=dict)
    """Number words that are also heard or typed for a small word: l1 2 ground."""
    joined: tuple[str, ...] = ()
    """Words inside a number: a hundred and five, nine and a half."""
    minus: tuple[str, ...]


class NumberFile(Closed):
    number_words: NumberWords


class Respelling(Closed):
    """A mishearing or slang spelling replaced before anything else is tried."""

    heard: str
    means: str


class RespellingFile(Closed):
    respellings: tuple[Respelling, ...]

"""Which calculations a run of words asks for, where the question begins, and what is only told."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from .asking_inputs import Read
from .asking_run import Run
from .asking_words import Phrase
from .numbers import Number
from .tokens import TokenKind


@dataclass(frozen=True, slots=True)
class Name:
    """A calculation that is named."""

    phrase: Phrase
    calculation: str
    way: str
    """How the phrase names it, see ``asking_words.WAYS``."""
    others: tuple[Name, ...] = ()
    """What else the same words can name."""


def is_firm(run: Run, phrase: Phrase) -> bool:
    """True for a name that may ask by itself; "suction" names a calculation only in what it should be."""
    ways = {called.way for called in phrase.called}
    at_times = {"should": "should", "judged": "verdict"}
    return bool(ways - {*at_times, "told"}) or any(way in ways and run.has(role) for way, role in at_times.items())


def _called(run: Run) -> list[Phrase]:
    """The phrases that name a calculation, those that do it by themselves before all others."""
    return [one for one in run.phrases if is_firm(run, one)] or [one for one in run.phrases if one.called]


def is_question(run: Run) -> bool:
    """True for opening words before the name, for what something should be, and for a question mark."""
    called = _called(run)
    last = called[-1].first if called else len(run.tokens)
    opened = any("openers" in phrase.roles and phrase.first < last for phrase in run.phrases)
    asking = any(run.tokens[phrase.first].word in run.kb.particles.question for phrase in called)  # "can i touch it"
    mark = any(token.kind is TokenKind.BREAK and token.word == "?" for token in run.tokens)
    return opened or asking or mark or run.has("should", "verdict")


def begins(run: Run) -> int:
    """Return the token where the question begins: behind what was said before it, or at its words behind a report."""
    behind = _behind_other_words(run)
    reports = [phrase.first for phrase in run.phrases if "measured" in phrase.roles]
    called = _called(run)[0].first
    openers = [p.first for p in run.phrases if p.roles & {"openers", "should"} and p.first <= called]
    if not reports or not openers or reports[0] >= openers[-1]:
        return behind
    numbers = any(token.kind is TokenKind.NUMBER for token in run.tokens[: openers[-1]])
    return openers[-1] if numbers else behind


def _behind_other_words(run: Run) -> int:
    """Return where the first clause begins that has a number or a word of the question: compressor hums, | ..."""
    called = [run.kb.calculations[one.calculation] for phrase in run.phrases for one in phrase.called]
    inputs = {name for calculation in called for name in (*calculation.needs, *calculation.may)}
    mine = {phrase.first for phrase in run.phrases if phrase.called or inputs & {one.input for one in phrase.named}}
    mine |= {gas.first for gas in run.gases}
    begin = 0
    for place, token in enumerate(run.tokens):
        if place in mine or token.kind is TokenKind.NUMBER:
            return begin
        if token.kind is TokenKind.BREAK:
            begin = place + 1
    return 0


def names_of(run: Run, *, question: bool) -> list[Name]:
    """Return the calculations named; one that is only an input of another is left out."""
    beside = bool(run.gases) and bool(run.numbers)
    ways = {"words": True, "asked": question, "beside": beside, "told": not question}
    ways |= {"should": run.has("should"), "judged": run.has("verdict")}
    words = run.kb.calculation_words
    found: list[Name] = []
    for phrase in run.phrases:
        able = [called for called in phrase.called if ways[called.way]]
        if not run.numbers:  # what should the suction be: nothing is given that it could be saturated at
            able = [called for called in able if called.way != "should" or not words[called.calculation].nameless]
        able.sort(key=lambda called: called.way != "should")  # stable: the more telling first
        names = [Name(phrase, called.calculation, called.way) for called in able]
        found += [replace(name, others=tuple(names[1:])) for name in names[:1]]
    saturated = [name for name in found if name.way == "should" and words[name.calculation].nameless]
    if saturated:  # what should the suction be at a 40 coil: the pressure of that temperature
        found = [name for name in found if name.way != "should" or name in saturated]
    firm = [name for name in found if name.way not in _WEAK] or found[:1]
    return [name for name in firm if not _is_input(run, name, firm)]


_WEAK = frozenset({"beside", "told"})


def _is_input(run: Run, name: Name, names: Sequence[Name]) -> bool:
    """True for "sat temp" in superheat with a sat temp of 40."""
    inputs = {one.input for one in name.phrase.named}
    others = (run.kb.calculations[other.calculation] for other in names if other.calculation != name.calculation)
    return any(inputs & {*other.needs, *other.may} for other in others)


def is_report(run: Run, names: Sequence[Name], read: Read, *, question: bool) -> bool:
    """True where the number beside the name is the result itself: superheat 12, an 18 degree split."""
    if any(number in read.left and number.first == name.phrase.last for name in names for number in run.numbers):
        return True  # "mocp 35" is what the plate says
    if question:
        firm = [name for name in names if name.way != "asked"]  # the others judge what is read
        if any(_is_result_before(run, one, read) for one in firm if one.way == "words" and not _asks_for(run, one)):
            return True
        beside = [number for number in run.numbers if any(_is_result(run, name, number) for name in firm)]
        return len(run.numbers) == 1 and bool(beside) and _reports_alone(run, firm, read)
    names = [name for name in names if not _asks_for(run, name) and not _is_given_at(run, name)]
    beside = [number for number in run.numbers if any(_touches(run, name, number) for name in names)]
    if any(number in read.left for number in beside) or any(_stands_between(run, name) for name in names):
        return True
    if len(beside) == len(run.numbers) > 1 and len(names) > 1 and not _by_name(names, read):
        return True  # superheat 12, subcooling 9
    return len(run.numbers) == 1 and bool(beside) and _reports_alone(run, names, read)


def _asks_for(run: Run, name: Name) -> bool:
    """True for "fuse for", which a number follows as what it is wanted for."""
    return run.tokens[name.phrase.last - 1].word in run.kb.particles.before_subject


_READ = frozenset({"temperature", "temperature_difference"})
"""Results that an instrument shows: "superheat at 12" may be read."""


def _is_given_at(run: Run, name: Name) -> bool:
    """True for "watts in the resistor at 440": what stands behind "at" is no result, unless it can be read as such."""
    quantity = run.kb.calculations[name.calculation].quantity
    tied = run.tokens[name.phrase.last : name.phrase.last + 1]
    at = bool(tied) and tied[0].word in run.kb.particles.before_subject
    return at and quantity not in _READ


def _is_result_before(run: Run, name: Name, read: Read) -> bool:
    """True for "is 12 superheat ok": a number right before the name that no unit or name makes an input."""
    said = {one.said for one in read.given if one.assumed}
    before = [number for number in run.numbers if number.last == name.phrase.first]
    return any(" ".join(t.raw for t in run.tokens[one.first : one.last]) in said for one in before)


def _touches(run: Run, name: Name, number: Number) -> bool:
    """True for a number right before the name or behind it, also for that of "12 degrees of superheat"."""
    between = [token.word for token in run.tokens[number.last : name.phrase.first]]
    of = bool(number.units) and len(between) == 1 and between[0] in run.kb.particles.amount_of
    return of or number.first in {name.phrase.last, name.phrase.last + 1} or number.last == name.phrase.first


def _stands_between(run: Run, name: Name) -> bool:
    """True for 118 suction, superheat 12: a number before the name and one right behind it."""
    before = any(number.last <= name.phrase.first for number in run.numbers)
    return before and any(number.first == name.phrase.last for number in run.numbers)


def _by_name(names: Sequence[Name], read: Read) -> bool:
    """True where an input was named by other words than the calculation itself."""
    return any(phrase not in [name.phrase for name in names] for _, phrase in read.names)


def _reports_alone(run: Run, names: Sequence[Name], read: Read) -> bool:
    """True where the only number can be the result: no other name, no refrigerant, no unit of another quantity."""
    if run.gases or run.numbers[0].partner or _by_name(names, read):
        return False
    if read.names:
        return True  # standing pressure 145 psi: the name is that of the reading
    units = {meaning.quantity.id for meaning in run.numbers[0].units}
    results = {run.kb.calculations[name.calculation].quantity for name in names}
    return not units or bool(results & units) or ("temperature_difference" in results and "temperature" in units)


def _is_result(run: Run, name: Name, number: Number) -> bool:
    """Superheat 12, a superheat of 12."""
    between = run.tokens[name.phrase.last : number.first]
    return name.phrase.last <= number.first and all(token.word in run.kb.asking.result_of for token in between)

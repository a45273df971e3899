"""Questions for a calculation: superheat at 118 psi with a 52 degree line, R-410A.

Read before anything else of the note, because the numbers of a question are no readings. What is left of the
note is read as always.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from .asking_answers import read_without_name
from .asking_inputs import Read, read_inputs
from .asking_names import Name, begins, is_firm, is_question, is_report, names_of
from .asking_run import HARD, Run, run_of
from .asking_words import Phrase, asking_words_of
from .models import Context, Given, Heard, Kind
from .tokens import Token, TokenKind, tokenise
from .vocabulary import Vocabulary

LIMIT = "limit"
"""Text of a request for what is usual of a calculation, not for its result."""


@dataclass(frozen=True, slots=True)
class Questions:
    """The requests found, the note without them (same length), and their words that meant nothing."""

    items: tuple[Heard, ...]
    rest: str
    left: tuple[str, ...] = ()


def find_questions(text: str, vocabulary: Vocabulary, context: Context) -> Questions:
    """Return the questions for a calculation in a cleaned note, and the answer to one that waits for an input."""
    words = asking_words_of(vocabulary)
    tokens = words.spelt(tokenise(text))
    if not tokens:
        return Questions((), text)
    whole = run_of(words, text, tokens)
    if _tells_print(tokens, vocabulary) and not whole.has("openers", "should"):
        return Questions((), text)
    if not any(is_firm(whole, phrase) for phrase in whole.phrases):
        unnamed = read_without_name(whole, context)
        if unnamed or not any(phrase.called for phrase in whole.phrases):
            return Questions(unnamed, " " * len(text))
    found = _read(whole, whole=True)
    if found is not None:
        return Questions(found.items, " " * len(text), found.left)
    items: list[Heard] = []
    left: list[str] = []
    rest = text
    for part in _sentences(tokens):
        found = _read(run_of(words, text, part), whole=False)
        if found is not None:
            start, end = part[found.first].start, part[-1].end
            items += found.items
            left += found.left
            rest = rest[:start] + " " * (end - start) + rest[end:]
    if not items and (told := _told_before(whole)) is not None:
        end = tokens[told.first - 1].end
        return Questions(told.items, " " * end + text[end:])
    return Questions(tuple(items), rest, tuple(left))


def _told_before(run: Run) -> _Found | None:
    """Return what is told in front of the name of another reading: static supply .35 return .4, | filter drop .2.

    ``first`` of what is found is the token at which that name stands.
    """
    for phrase in run.phrases[1:]:
        if not phrase.called or any(one.way == "words" for one in phrase.called):
            continue
        head = run_of(run.words, run.text, run.tokens[: phrase.first])
        if not any(one.way == "told" for other in head.phrases for one in other.called):
            continue
        found = _read(head, whole=False)
        if found is not None and not found.left:
            return replace(found, first=phrase.first)
    return None


def _tells_print(tokens: Sequence[Token], vocabulary: Vocabulary) -> bool:
    """True for "r410a, txv, subcool 10 on the plate": it ends with where that is printed."""
    particles = vocabulary.kb.particles
    words = [token.word for token in tokens if token.word not in particles.article]
    return len(words) > 1 and words[-1] in particles.plate_itself and words[-2] in particles.print_at


@dataclass(frozen=True, slots=True)
class _Found:
    items: tuple[Heard, ...]
    left: tuple[str, ...]
    first: int
    """Token at which the question begins."""


def _sentences(tokens: Sequence[Token]) -> Iterator[tuple[Token, ...]]:
    begin = 0
    for place, token in enumerate(tokens):
        if token.kind is TokenKind.BREAK and token.word in HARD:
            if place > begin:
                yield tuple(tokens[begin : place + 1])
            begin = place + 1
    if begin < len(tokens):
        yield tuple(tokens[begin:])


def _read(run: Run, *, whole: bool) -> _Found | None:
    """Return the question that a run of words is; None where it is something else."""
    if not any(phrase.called for phrase in run.phrases):
        return None
    first = begins(run)
    measured = run.has("measured")
    if whole and (first or (measured and run.sentences > 1)):
        return None  # a report comes before the question
    run = run.from_token(first)
    question = is_question(run)
    names = _fitting(run, names_of(run, question=question))
    if not names:
        return None
    if all(name.way == "told" for name in names):
        return _told(run, names[0])
    return _asked(run, names, question=question, whole=whole)


def _fitting(run: Run, names: Sequence[Name]) -> list[Name]:
    """Return the names, each as the calculation that takes most of the numbers: unbalance of volts or of amps."""

    choices = {one.input for phrase in run.phrases for one in phrase.named if one.choice}

    def unfit(name: Name) -> tuple[int, int]:
        offered = run.offered([name.calculation], own=_own(run, [name]))
        read = read_inputs(run.words, offered)
        idle = choices - {*offered.needs, *offered.may}
        known = {one.about for one in run.given(offered, read)}
        if run.numbers:
            known |= {other for one in known for other in run.kb.calculation_inputs[one].instead_of}
            lacking = len(set(run.kb.calculations[name.calculation].needs) - known)
        else:
            lacking = run.has("normal") and not _has_limit(run, name.calculation)
        return len(read.left) + len(idle) + lacking, sum(given.assumed for given in read.given)

    return [min((name, *name.others), key=unfit) if name.others else name for name in names]


def _told(run: Run, name: Name) -> _Found | None:
    """Return what a statement of all inputs comes to; None where one is missing, or more is said."""
    offered = run.offered([name.calculation])
    read = read_inputs(run.words, offered)
    given = run.given(offered, read)
    if _tells_result(run, [name.calculation], read):
        return None
    known = {one.about for one in given if not one.assumed or _stands_at(run, one)}
    known |= {other for one in known for other in run.kb.calculation_inputs[one].instead_of}
    called = run.kb.calculation_words[name.calculation]
    needs = called.told_with or run.kb.calculations[name.calculation].needs
    if read.left or run.left(read) or not known.issuperset(needs):
        return None
    if called.told_with and any(run.names_another(phrase, offered) for phrase in run.phrases):
        return None  # the suction line was cold at 50, now 55
    difference = called.told_as
    values = {one.about: one.value for one in given}
    more, less = (values.get(difference.more), values.get(difference.less)) if difference else (None, None)
    if difference is None or more is None or less is None or more < less:
        return _Found((run.request(name.calculation, given),), (), run.first)
    quantity = run.kb.quantities[run.kb.calculations[name.calculation].quantity]
    told = run.heard(Kind.READING, difference.about)
    told = replace(told, quantity=quantity.id, value=more - less, unit=quantity.unit, said_unit=quantity.unit)
    return _Found((told,), (), run.first)


def _asked(run: Run, names: Sequence[Name], *, question: bool, whole: bool) -> _Found | None:
    """Return the requests for the calculations named; None where the words do not ask."""
    calculations = list(dict.fromkeys(name.calculation for name in names))
    offered = run.offered(calculations, own=_own(run, names))
    read = read_inputs(run.words, offered)
    result = _tells_result(run, calculations, read)
    report = not (question and result) and is_report(run, names, read, question=question)
    if report or (not question and (result or run.has("measured"))):
        return _judged(run, calculations)
    normal = question and run.has("normal", "should")
    for_limit = normal and not run.numbers and all(_has_limit(run, one) for one in calculations)
    if all(name.way == "asked" for name in names) and not read.given and not for_limit:
        return None
    given, left = _without_doubtful(run, run.given(offered, read), read), run.left(read)
    if not question and left and all(one.assumed for one in given):
        return None  # "3 ton split, RLA 16.7": a word that is also the name of a calculation, among other things
    if not given and (left or not _may_be_bare(run, names, question=question)):
        return None
    calculations = _with_something(run, names, given)
    if whole and left and run.sentences > 1:
        return None  # sentence by sentence then
    requests = tuple(run.request(name, given) for name in calculations)
    if for_limit:
        requests = tuple(replace(request, text=LIMIT) for request in requests)
    return _Found(requests, left, run.first)


def _with_something(run: Run, names: Sequence[Name], given: Sequence[Given]) -> list[str]:
    """Leave out what is only asked for and got nothing: "volts ok" beside a contact drop that took the volts."""
    about = {one.about for one in given}
    known = {name.calculation: run.kb.calculations[name.calculation] for name in names}
    filled = {one for one, calculation in known.items() if about & {*calculation.needs, *calculation.may}}
    kept = [name.calculation for name in names if name.way != "asked" or name.calculation in filled or not filled]
    return list(dict.fromkeys(kept))


def _stands_at(run: Run, given: Given) -> bool:
    """True for the 85 of "standing pressure 155 at 85": what is tied to a value is no other value of the same."""
    ties = run.kb.particles.before_subject
    tied = (n for n in run.numbers if n.first and run.tokens[n.first - 1].word in ties)
    return any(" ".join(token.raw for token in run.tokens[n.first : n.last]) == given.said for n in tied)


def _tells_result(run: Run, calculations: Sequence[str], read: Read) -> bool:
    """True for "static total .8, rated .5": what was read is the result itself, in place of all that it is made of."""
    kb = run.kb
    owns = {one: kb.calculation_words[one].own for one in calculations}
    results = {own for one, own in owns.items() if own and set(kb.calculations[one].needs) <= _replaced(run, own)}
    return any(given.about in results for given in read.given)


def _replaced(run: Run, name: str) -> set[str]:
    return set(run.kb.calculation_inputs[name].instead_of)


def _judged(run: Run, calculations: Sequence[str]) -> _Found | None:
    """Return the question for the limit where the result itself is told and asked about: tesp is .9, is that bad.

    A difference of temperatures is left to be a reading of the visit.
    """
    known = run.kb.calculations
    if not run.has("verdict") or any(known[one].quantity == _READ_AS_SUCH for one in calculations):
        return None
    if not all(_has_limit(run, one) for one in calculations):
        return None
    return _Found(tuple(replace(run.request(one, ()), text=LIMIT) for one in calculations), (), run.first)


_READ_AS_SUCH = "temperature_difference"


def _without_doubtful(run: Run, given: list[Given], read: Read) -> list[Given]:
    """Leave out what a number that is left over may be as well: of 9 VA and 20 VA neither is all of the load."""
    over = {meaning.quantity.id for number in read.left for meaning in number.units}
    first: set[str] = set()
    kept = []
    for one in given:
        quantity = run.kb.calculation_inputs[one.about].quantity or ""
        if quantity not in over or quantity not in first:
            kept.append(one)
        first.add(quantity)
    return kept


def _has_limit(run: Run, calculation: str) -> bool:
    known = run.kb.calculations[calculation]
    chosen = {one.choice for phrase in run.phrases for one in phrase.named}
    return known.limit is not None or bool(chosen & set(known.limit_by)) or len(known.limit_by) == 1


def _own(run: Run, names: Sequence[Name]) -> tuple[tuple[Phrase, str], ...]:
    words = run.kb.calculation_words
    return tuple((name.phrase, own) for name in names if (own := words[name.calculation].own) is not None)


def _may_be_bare(run: Run, names: Sequence[Name], *, question: bool) -> bool:
    words = run.kb.calculation_words
    return all(name.way != "beside" and (question or words[name.calculation].bare) for name in names)

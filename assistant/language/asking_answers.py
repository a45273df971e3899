"""What names no calculation: an answer to one that waits, a wanted list, saturation by two words, a print."""

from __future__ import annotations

from dataclasses import replace

from .asking_inputs import read_inputs
from .asking_marked import marked_values
from .asking_names import is_question
from .asking_run import Run
from .asking_verdict import unnamed_volts
from .asking_words import Phrase
from .models import Asked, Context, Heard, Kind
from .numbers import Number
from .tokens import TokenKind

CALCULATION = "calculation"
"""Kind of the pending question for a missing input."""
FACTS, CONVERT = "refrigerant_facts", "convert"
"""Requests: what a refrigerant (``text``) is; a value in the unit ``text``, or in that of the other system."""
LISTS = {"refrigerants": "refrigerants_known", "calculations": "calculations_known"}
"""Role of the words for a list -> request."""


def read_without_name(run: Run, context: Context) -> tuple[Heard, ...]:
    """Return what a whole note asks or answers without naming a calculation; nothing where it is something else."""
    for role, request in LISTS.items():
        if run.has(role):
            return (run.heard(Kind.REQUEST, request),)
    if run.gases and run.has("facts", "openers") and not run.numbers and not _strange(run):
        return (replace(run.heard(Kind.REQUEST, FACTS), text=run.gases[0].name),)
    converted = _converted(run)
    if converted is not None:
        return (converted,)
    asked = context.asked
    if asked is not None and asked.kind == CALCULATION:
        answer = _dropped(run, asked) or _answered(run, asked)
        if answer is not None:
            return (answer,)
    return tuple(marked_values(run) or unnamed_volts(run)) or _saturation(run)


def _strange(run: Run) -> bool:
    """True where the note says more than the question and the names of refrigerants."""
    spent = {place for phrase in run.phrases if phrase.roles for place in range(phrase.first, phrase.last)}
    spent |= {place for gas in run.gases for place in range(gas.first, gas.last)}
    return any(not run.is_small(token) for place, token in enumerate(run.tokens) if place not in spent)


def _converted(run: Run) -> Heard | None:
    """Return the request for one value in another unit: convert 35 celsius, what is 800 kpa in psi."""
    if len(run.numbers) != 1 or run.gases or not run.numbers[0].values:
        return None
    number, units = run.numbers[0], run.words.vocabulary.units
    spent = {place for phrase in run.phrases if phrase.roles for place in range(phrase.first, phrase.last)}
    spent |= set(range(number.first, number.last))
    rest = [t.word for place, t in enumerate(run.tokens) if place not in spent and t.kind is TokenKind.WORD]
    rest = [word for word in rest if word not in run.kb.asking.convert_to]
    wanted = [one for word in rest for one in units.get((word,), ())]
    strange = [word for word in rest if (word,) not in units and word not in run.words.small]
    said = next((one for one in number.units if not wanted or one.quantity.id in {w.quantity.id for w in wanted}), None)
    if said is None or strange or not (wanted or run.has("convert", "openers")):
        return None
    if not run.has("convert", "openers") and (len(rest) > 1 or not _is_between(run, number)):
        return None
    if not wanted and said.quantity.si is None:
        return None  # "whats 24 volts" asks for something else
    to = next((one.unit.symbol for one in wanted if one.quantity.id == said.quantity.id), None)
    return replace(
        run.heard(Kind.REQUEST, CONVERT), quantity=said.quantity.id, value=said.canonical(number.values[0]),
        unit=said.quantity.unit, said_unit=said.unit.symbol, text=to,
    )  # fmt: skip


def _named_otherwise(run: Run, calculation: str) -> bool:
    """True for "head pressure at 95 degrees": the number is of something that this calculation has not."""
    known = run.kb.calculations[calculation]
    inputs = {*known.needs, *known.may}
    others = (one for one in run.phrases if one.named and not any(c.calculation == calculation for c in one.called))
    return any(not inputs & {named.input for named in one.named} and not _small(run, one) for one in others)


def _small(run: Run, phrase: Phrase) -> bool:
    return all(run.is_small(token) for token in run.tokens[phrase.first : phrase.last])


def _is_between(run: Run, number: Number) -> bool:
    """True for "12 c in f": nothing but a value, a small word and another unit."""
    tokens = [token for token in run.tokens if token.kind is TokenKind.WORD and token.word in run.kb.asking.convert_to]
    return number.first == 0 and number.last < len(run.tokens) and run.tokens[number.last] in tokens


def _dropped(run: Run, waiting: Asked) -> Heard | None:
    """Return the word that lets a question for an input go: never mind."""
    drops = [phrase for phrase in run.phrases if "drop" in phrase.roles]
    chosen = any(one.input == waiting.about and one.choice for phrase in run.phrases for one in phrase.named)
    if not drops or run.gases or chosen:
        return None
    meant = {place for phrase in drops for place in range(phrase.first, phrase.last)}
    alone = all(place in meant or run.is_small(token) for place, token in enumerate(run.tokens))
    return run.heard(Kind.ANSWER, "skip") if alone else None


def _answered(run: Run, waiting: Asked) -> Heard | None:
    """Return the inputs that the note gives to the calculation that waits, where it says nothing else."""
    if any("measured" in phrase.roles and not phrase.named for phrase in run.phrases):
        return None
    offered = run.offered([waiting.id], awaited=waiting.about)
    read = read_inputs(run.words, offered)
    given = run.given(offered, read)
    return run.request(waiting.id, given) if given and not run.left(read) else None


def _saturation(run: Run) -> tuple[Heard, ...]:
    """What's 118 psi on 410a."""
    if not (run.gases or len(run.numbers) > 1) or not run.numbers or not run.numbers[0].units or not is_question(run):
        return ()
    for called in run.kb.calculation_words.values():
        if called.nameless and not _named_otherwise(run, called.id):
            offered = run.offered([called.id])
            read = read_inputs(run.words, offered)
            given = run.given(offered, read)
            named = any(one.about == "refrigerant" for one in given)
            if read.given and named and not run.left(read):
                return (run.request(called.id, given),)
    return ()

"""Is 190 volts too low, is 208 ok on a 240 unit: volts that nothing names, in a question for a verdict."""

from __future__ import annotations

from dataclasses import replace

from .asking_inputs import read_inputs
from .asking_run import Run
from .models import Heard
from .numbers import Number
from .tokens import find_words, words_of


def unnamed_volts(run: Run) -> list[Heard]:
    """Return the question whether a supply will do; nothing where the note says anything else."""
    unnamed, kb = run.kb.asking.unnamed_volts, run.kb
    said = [token.word for token in run.tokens]
    judged = [words for words in map(words_of, unnamed.judged) if find_words(said, words) is not None]
    opened = any("openers" in phrase.roles and phrase.first == 0 for phrase in run.phrases)
    if not (judged and opened) or not 1 <= len(run.numbers) <= 2 or not all(map(_is_one, run.numbers)):
        return []
    quantity = kb.calculation_inputs[unnamed.input].quantity
    units = [{meaning.quantity.id for meaning in number.units} for number in run.numbers]
    alone = len(units) == 1
    if (alone and quantity not in units[0]) or any(one and quantity not in one for one in units):
        return []
    offered = run.offered([unnamed.calculation])
    offered = replace(offered, numbers=[_nominal(number) for number in run.numbers])
    read = read_inputs(run.words, offered)
    given = {one.about: one.value for one in read.given}
    low, high = unnamed.span
    supply = given.get(unnamed.input)
    if supply is None or not low <= supply <= high or read.left:
        return []
    known = {word for words in judged for word in words} | set(unnamed.beside)
    if any(word not in known for left in run.left(read) for word in words_of(left)):
        return []
    others = (one for one in run.phrases if not {token.word for token in run.tokens[one.first : one.last]} <= known)
    if any(run.names_another(phrase, offered) for phrase in others):
        return []
    return [run.request(unnamed.calculation, read.given)]


def _is_one(number: Number) -> bool:
    return bool(number.values) and number.high is None


def _nominal(number: Number) -> Number:
    """Return 208/230 as its upper end, which is the nominal one."""
    return replace(number, values=(max(number.values[0], number.partner[0]),), partner=()) if number.partner else number

"""Calculations that the technician asks for: from what was said, the plate and fresh readings to an answer.

A calculation is a question: nothing said in it is logged as a reading, only what it had to ask for. An input that
is missing is asked for; that question stands before the visit's own until it is answered or dropped, then the
visit's is asked again.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import get_args

from assistant.dialogue.numbers import amount
from assistant.dialogue.prose import in_units, told_in
from assistant.dialogue.quantities import System
from assistant.dialogue.sentences import Said, sentence
from assistant.language.asking import LIMIT
from assistant.language.models import Given, Heard, Kind
from assistant.reasoning.calculations import Amount, Calculated, Missing, Refused, calculate
from assistant.reasoning.limits import Effort, SunKind, heat_advice
from assistant.session import events as e
from knowledge.models.calculation import CalculationInput, InputKind

from .calculated_words import answer_said, inputs_in_words, own_limit, system_of
from .draft import Draft
from .heard_data import as_data, from_data
from .looked_up import tell_usual
from .observing import limit_item, take_reading

CALCULATION = "calculation"
_DEW_OR_BUBBLE = "refrigerant"
_HEAT_INDEX = "heat_index"


@dataclass(frozen=True, slots=True)
class Known:
    """What a calculation may use, and where each input that was not said comes from."""

    values: Mapping[str, float | str | Amount]
    plate: Mapping[str, float | str]
    origins: Mapping[str, str]
    """Input id -> sentence id that says where it comes from."""


def take_calculation(draft: Draft, item: Heard) -> None:
    """Answer a calculation, or ask for what it still needs."""
    _log_answer(draft, item)
    request = _with_waiting(draft, item)
    known = _known(draft, request)
    if item.text == LIMIT:
        draft.read_back(item, name=draft.kb.calculations[item.about or ""].name, shown="")
        chosen = {name: value for name, value in known.values.items() if isinstance(value, str)}
        tell_usual(draft, item.about or "", {**known.plate, **chosen})
        return
    system = system_of(draft.kb, request.inputs, draft.units)
    kb = told_in(draft.kb, system)
    result = calculate(kb, request.about or "", known.values, known.plate)
    value = result.value if isinstance(result, Calculated) else None
    quantity = draft.kb.calculations[request.about or ""].quantity
    draft.read_back(item, name=result.name, shown="", quantity=quantity, value=value)
    governed = _tell_governing(draft, request)
    if governed and isinstance(result, Missing):
        return
    if isinstance(result, Calculated):
        held = limit_item(draft, result.limit, system) if result.limit is not None else own_limit(kb, result, system)
        draft.limits.append(held)
        draft.answer.append(answer_said(kb, result, request.inputs, known.origins, system))
        _advise(draft, result, system)
    elif isinstance(result, Missing):
        _await(draft, request, result.inputs[0], known)
    else:
        _refuse(draft, request, result, known)
        _ask_again(draft, request, result, known)


def _advise(draft: Draft, result: Calculated, system: System) -> None:
    """Say with the heat index how long to work, to rest and how much to drink."""
    if result.id != _HEAT_INDEX:
        return
    inputs = {used.input.id: used.value for used in result.used}
    air, humidity = (inputs.get(name) for name in ("shade_air", "air_humidity"))
    if isinstance(air, float) and isinstance(humidity, float):
        advice = in_units(draft.kb, _heat_words(draft, air, humidity, inputs), system)
        draft.answer.append(Said(advice, advice))


def _heat_words(draft: Draft, air_f: float, humidity_pct: float, inputs: Mapping[str, float | str]) -> str:
    """Return the advice for this air; sun and effort as told, else full sun and moderate work."""
    sun: SunKind = next((kind for kind in get_args(SunKind) if kind == inputs.get("sun")), "full_sun")
    effort: Effort = next((kind for kind in get_args(Effort) if kind == inputs.get("effort")), "moderate")
    return heat_advice(draft.kb, air_f, humidity_pct, sun, effort).sentence


def take_up_again(draft: Draft, waiting: Heard | None) -> None:
    """Try the waiting calculation anew where the note brought readings or plate values instead of a bare answer."""
    news = any(isinstance(event, e.ReadingTaken | e.PlateRead) for event in draft.events)
    if waiting is None or not news or draft.awaited is not None:
        return
    known = _known(draft, waiting)
    if isinstance(calculate(draft.kb, waiting.about or "", known.values, known.plate), Calculated):
        take_calculation(draft, waiting)


def waiting_calculation(draft: Draft) -> Heard | None:
    """Return the request whose missing input was asked for last."""
    asked = draft.state.asked
    return from_data(asked.options[0]) if asked is not None and asked.kind == CALCULATION else None


def drop_calculation(draft: Draft) -> bool:
    """Let the waiting calculation go; True where there was one."""
    waiting = waiting_calculation(draft)
    if waiting is None:
        return False
    draft.remark("calculation_dropped", name=draft.kb.calculations[waiting.about or ""].name)
    return True


def tell_calculations(draft: Draft) -> None:
    """Say what can be calculated."""
    draft.tell("calculations_known", names=", ".join(one.name for one in draft.kb.calculations.values()))


def _log_answer(draft: Draft, item: Heard) -> None:
    """Log a measurement that was asked for as a reading of the visit, unless the question brought numbers of its own.

    "What's my subcooling", "98": that is this unit. "Subcooling at 350 psi", "98": it may be any.
    """
    waiting = waiting_calculation(draft)
    if waiting is None or waiting.about != item.about or [given.about for given in item.inputs] != [waiting.subject]:
        return
    kb, (answer,) = draft.kb, item.inputs
    numbers = [given for given in waiting.inputs if given.value is not None]
    if not all(_fresh(draft, kb.calculation_inputs[given.about]) == given.value for given in numbers):
        return
    one, words = kb.calculation_inputs[answer.about], kb.input_words.get(answer.about)
    if words is None or not words.readings or answer.value is None or answer.error is not None:
        return
    unit = kb.quantities[one.quantity or ""].unit
    said = replace(
        item, kind=Kind.READING, about=words.readings[0], quantity=one.quantity, value=answer.value, inputs=()
    )
    take_reading(draft, replace(said, unit=unit, said_unit=answer.said_unit or unit))


def _with_waiting(draft: Draft, item: Heard) -> Heard:
    """Join an answer with the request that waits for it; what was said last counts."""
    waiting = waiting_calculation(draft)
    if waiting is None or waiting.about != item.about:
        return item
    new = {given.about for given in item.inputs}
    kept = tuple(given for given in waiting.inputs if given.about not in new)
    return replace(item, inputs=(*kept, *item.inputs))


def _known(draft: Draft, request: Heard) -> Known:
    kb, calculation = draft.kb, draft.kb.calculations[request.about or ""]
    values: dict[str, float | str | Amount] = {}
    origins: dict[str, str] = {}
    for given in request.inputs:
        values[given.about] = _value(draft, given)
    replaced = {name for given in request.inputs for name in kb.calculation_inputs[given.about].instead_of}
    plate = {
        name: read.value if read.value is not None else read.text
        for name, read in draft.state.plate.items()
        if read.value is not None or read.text
    }
    for name in (*calculation.needs, *calculation.may):
        one = kb.calculation_inputs[name]
        if name in values or name in replaced or set(one.instead_of) & set(values):
            continue
        if one.plate in plate:
            origins[name] = "of_the_plate"
        elif (found := _seen(draft, one) if one.choices else _fresh(draft, one)) is not None:
            values[name] = found
            origins[name] = "of_the_visit"
    usable = {key: value for key, value in plate.items() if value is not None}
    if replaced:
        usable = {key: value for key, value in usable.items() if key not in _plates(draft, replaced)}
    return Known(values, usable, origins)


def _tell_governing(draft: Draft, request: Heard) -> bool:
    """Say what the plate has for it: that rules, whatever is calculated. True where the plate has it."""
    kb, words = draft.kb, draft.kb.calculation_words.get(request.about or "")
    read = draft.state.plate.get(words.governed_by or "") if words is not None else None
    if read is None or read.value is None:
        return False
    item = kb.plate_items[read.item]
    draft.tell("plate_governs", name=item.name, value=amount(kb, item.quantity or "", read.value, system=draft.units))
    return True


def _plates(draft: Draft, inputs: set[str]) -> set[str]:
    return {draft.kb.calculation_inputs[name].plate or "" for name in inputs}


def _value(draft: Draft, given: Given) -> float | str | Amount:
    one = draft.kb.calculation_inputs[given.about]
    if one.kind is not InputKind.NUMBER or given.value is None:
        return given.text or ""
    if given.error is None:
        return given.value
    return Amount(given.value, draft.kb.quantities[one.quantity or ""].unit, given.error)


def _fresh(draft: Draft, one: CalculationInput) -> float | None:
    """Return the last reading of the visit that is this input, where it still counts."""
    words = draft.kb.input_words.get(one.id)
    for reading in reversed(draft.state.readings):
        if words is None or reading.about not in words.readings or reading.quantity != one.quantity:
            continue
        minutes = (draft.now - reading.at).total_seconds() / 60
        same_run = words.any_power or reading.epoch == draft.state.epoch
        fresh = minutes <= draft.kb.asking.fresh_minutes and same_run
        return reading.value if fresh and reading.value is not None else None
    return None


def _seen(draft: Draft, one: CalculationInput) -> str | None:
    """Return the choice that a look of the visit says: which metering device it is."""
    words = draft.kb.input_words.get(one.id)
    for check, choices in words.looks.items() if words is not None else ():
        seen = draft.state.latest.get(check)
        said = {choices.get(outcome) for outcome in seen.outcomes} if isinstance(seen, e.FindingMade) else set()
        if len(said) == 1:
            return said.pop()
    return None


def _await(draft: Draft, request: Heard, wanted: CalculationInput, known: Known) -> None:
    """Ask for an input; only the first question of a note is asked."""
    system = system_of(draft.kb, request.inputs, draft.units)
    kb = told_in(draft.kb, system)
    calculation, wanted = kb.calculations[request.about or ""], kb.calculation_inputs[wanted.id]
    if draft.awaited is not None:
        draft.tell("calculation_also_needs", name=calculation.name, ask=wanted.ask)
        return
    waiting = replace(request, subject=wanted.id, options=())
    draft.emit(e.Asked, kind=CALCULATION, id=calculation.id, options=(as_data(waiting),))
    have = inputs_in_words(kb, calculation, known.values, known.plate, known.origins, system)
    name = calculation.name[:1].upper() + calculation.name[1:]
    needs = "calculation_needs_with" if have else "calculation_needs"
    asked = sentence(kb, needs, name=name, have=have, ask=wanted.ask)
    draft.awaited = Said(asked.screen, wanted.spoken)


def _ask_again(draft: Draft, request: Heard, refused: Refused, known: Known) -> None:
    """Keep a calculation waiting whose question was answered with a number out of range: it may be another one."""
    kept = tuple(given for given in request.inputs if given.about != refused.about)
    wrong = [given for given in request.inputs if given not in kept]
    if waiting_calculation(draft) is None or draft.awaited is not None or not wrong or wrong[0].value is None:
        return
    values = {name: value for name, value in known.values.items() if name != refused.about}
    _await(
        draft, replace(request, inputs=kept), draft.kb.calculation_inputs[wrong[0].about], replace(known, values=values)
    )


def _refuse(draft: Draft, request: Heard, refused: Refused, known: Known) -> None:
    name = refused.name[:1].upper() + refused.name[1:]
    system = system_of(draft.kb, request.inputs, draft.units)
    wrong = draft.kb.calculation_inputs.get(refused.about or "")
    problem = in_units(draft.kb, refused.problem, system, wrong.quantity if wrong else None)
    draft.tell("calculation_refused", name=name, problem=problem, instead=refused.instead)
    typed = [
        draft.kb.calculation_inputs[one]
        for one in draft.kb.calculations[refused.id].may
        if _DEW_OR_BUBBLE in draft.kb.calculation_inputs[one].instead_of
    ]
    if refused.about == _DEW_OR_BUBBLE and typed:
        _await(draft, request, typed[0], replace(known, plate={}))

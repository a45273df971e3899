"""A calculated result in words: value with band, verdict, what was used, formula, validity, source, cautions."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from assistant.dialogue.prose import in_units
from assistant.dialogue.quantities import System, shown, shown_unit
from assistant.dialogue.reply import LimitItem
from assistant.dialogue.sentences import Said, sentence
from assistant.language.models import Given
from assistant.reasoning.calculations import Amount, Calculated, Step, Used
from assistant.reasoning.limits import pedigree
from knowledge import KnowledgeBase
from knowledge.models.calculation import Calculation, CalculationInput, InputKind


def answer_said(
    kb: KnowledgeBase, result: Calculated, given: Sequence[Given], origins: Mapping[str, str], system: System
) -> Said:
    """Return the whole answer for the screen, and one sentence for the ear."""
    name = result.name[:1].upper() + result.name[1:]
    value = _with_band(kb, result, system)
    verdict = in_units(kb, result.verdict.sentence, system, result.quantity) if result.verdict is not None else ""
    lines = [sentence(kb, "calculated", name=name, value=value, verdict=verdict).screen.strip()]
    inputs = _used(kb, result.used, given, origins, system).rstrip(".")
    lines.append(sentence(kb, "calculated_with", inputs=inputs).screen)
    if result.steps:
        steps = ", ".join(_step_in_words(kb, step, system) for step in result.steps)
        lines.append(sentence(kb, "calculated_steps", steps=steps).screen)
    lines += [_gas_in_words(kb, one) for one in result.used if one.input.kind is InputKind.REFRIGERANT]
    lines += [in_units(kb, note, system) for note in result.notes]
    if result.to_judge:
        lines.append(sentence(kb, "calculated_to_judge", inputs=", ".join(one.name for one in result.to_judge)).screen)
    basis = {"formula": result.shown, "validity": result.validity, "source": pedigree(kb, result.sources)}
    lines.append(sentence(kb, "calculated_basis", **basis).screen)
    lines += [f"{caution.signal.upper()}: {caution.text}" for caution in result.cautions]
    spoken = sentence(kb, "calculated", name=name, value=_rounded(kb, result, result.value, system), verdict=verdict)
    return Said("\n".join(lines), spoken.spoken.strip())


def own_limit(kb: KnowledgeBase, result: Calculated, system: System) -> LimitItem:
    """Return the result's own band as its limit, where there is nothing to hold it against: a target, a saturation."""
    return LimitItem(
        quantity=result.quantity,
        about=result.id,
        low=result.low,
        high=result.high,
        unit=result.unit,
        window=_with_band(kb, result, system),
        source=pedigree(kb, result.sources),
        rests_on=pedigree(kb, result.sources[:1]),
        formula=result.shown,
        note=result.validity,
    )


def system_of(kb: KnowledgeBase, given: Sequence[Given], usual: System) -> System:
    """Return the units of the question: SI where a number was said in them, else the technician's usual ones."""
    for one in given:
        quantity = kb.quantities.get(kb.calculation_inputs[one.about].quantity or "")
        if quantity is not None and any(unit.metric and unit.symbol == one.said_unit for unit in quantity.units):
            return "si"
    return usual


def inputs_in_words(
    kb: KnowledgeBase,
    calculation: Calculation,
    values: Mapping[str, float | str | Amount],
    plate: Mapping[str, float | str],
    origins: Mapping[str, str],
    system: System,
) -> str:
    """Return what is known so far of a calculation's inputs, and where it comes from."""
    found = []
    for name in (*calculation.needs, *calculation.may):
        one = kb.calculation_inputs[name]
        value = values.get(name, plate.get(one.plate) if one.plate else None)
        if value is not None:
            number = value.value if isinstance(value, Amount) else value
            found.append(_input(kb, one, number, origins.get(name), system))
    return ", ".join(found)


def _used(
    kb: KnowledgeBase, used: Sequence[Used], given: Sequence[Given], origins: Mapping[str, str], system: System
) -> str:
    by_order = {one.about for one in given if one.assumed}
    words = []
    for one in used:
        if one.assumed:
            continue  # said among the notes, where it matters
        origin = origins.get(one.input.id) or ("taken_by_order" if one.input.id in by_order else None)
        words.append(_input(kb, one.input, one.value, origin, system))
    return ", ".join(words)


def _input(kb: KnowledgeBase, one: CalculationInput, value: float | str, origin: str | None, system: System) -> str:
    if one.kind is InputKind.NUMBER and isinstance(value, float | int):
        words = f"{one.name} {shown(kb, one.quantity or '', float(value), system)}"
    elif one.kind is InputKind.REFRIGERANT:
        words = str(value)
    else:
        words = f"{one.name}: {str(value).replace('_', ' ')}"
    return f"{words} {sentence(kb, origin).screen}" if origin else words


def _gas_in_words(kb: KnowledgeBase, used: Used) -> str:
    """Safety group and composition of the refrigerant that was reckoned with."""
    gas = next(one for one in kb.refrigerants.values() if one.name == used.value)
    parts = ", ".join(f"{name} {share:g} %" for name, share in gas.mass_pct.items())
    meaning = kb.sentences[f"safety_{gas.safety.lower()}"].screen
    return sentence(kb, "calculated_gas", name=gas.name, safety=gas.safety, meaning=meaning, parts=parts).screen


def _with_band(kb: KnowledgeBase, result: Calculated, system: System) -> str:
    """Value with band; in SI with the other unit behind."""
    if system == "us" or shown_unit(kb, result.quantity, system).symbol == result.unit:
        return result.shown_value
    low, high = (shown(kb, result.quantity, end, system) for end in (result.low, result.high))
    value = _rounded(kb, result, result.value, system)
    return f"{value} ({low} to {high}); {result.shown_value}"


def _rounded(kb: KnowledgeBase, result: Calculated, value: float, system: System) -> str:
    if shown_unit(kb, result.quantity, system).symbol != result.unit:
        return shown(kb, result.quantity, value, system)
    return result.shown_value.split(" (")[0]


def _step_in_words(kb: KnowledgeBase, step: Step, system: System) -> str:
    words = f"{step.name} {_step(step.value)} {step.unit}"
    return in_units(kb, words, system, "temperature_difference" if step.difference else None)


def _step(value: float) -> str:
    return f"{value:.0f}" if abs(value) >= 10 else f"{value:.2g}"

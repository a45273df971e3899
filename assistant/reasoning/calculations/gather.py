"""From what is known to the inputs of a calculation: what is given, assumed, missing or not allowed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import isfinite

from assistant.physics.errors import PhysicsError
from assistant.physics.uncertainty import instrument_error
from assistant.reasoning.limits import figure
from knowledge.base import KnowledgeBase
from knowledge.models.calculation import Calculation, CalculationInput, InputKind
from knowledge.models.refrigerant import Refrigerant

from .refrigerants import find_refrigerant
from .results import Missing, Refused, Used
from .units import Amount, canonical, canonical_error

Known = Mapping[str, float | str | Amount]
"""Input id -> number in the canonical unit, amount in another unit, name of a refrigerant, or a choice."""


@dataclass(frozen=True, slots=True)
class Gathered:
    used: tuple[Used, ...]
    refrigerant: Refrigerant | None

    @property
    def numbers(self) -> dict[str, float]:
        """The numbers by input id."""
        return {u.input.id: u.value for u in self.used if isinstance(u.value, float)}

    @property
    def errors(self) -> dict[str, float]:
        """Their errors."""
        return {u.input.id: u.error for u in self.used if u.error}

    def choice(self, names: Mapping[str, object]) -> str | None:
        """The choice made that is one of these names."""
        return next((str(u.value) for u in self.used if u.input.choices and u.value in names), None)


def gather(kb: KnowledgeBase, calculation: Calculation, known: Known, plate: Known) -> Gathered | Missing | Refused:
    """Return the inputs of a calculation, or the questions or the refusal that stand in the way.

    Values may come from the plate where the input names a plate item. A refusal comes before a question: there
    is no use in asking for more where the test is not valid.
    """
    listed = [kb.calculation_inputs[name] for name in (*calculation.needs, *calculation.may)]
    typed = {other for one in listed if one.id in known for other in one.instead_of}
    used: list[Used] = []
    for one in listed:
        value = known.get(one.id, plate.get(one.plate) if one.plate else None)
        if value is None or (one.id in typed and _is_strange(kb, one, value)):
            continue
        got = _used(kb, calculation, one, value)
        if isinstance(got, Refused):
            return got
        used.append(got)
    given = {u.input.id for u in used}
    replaced = {name for u in used for name in u.input.instead_of}
    needed = [kb.calculation_inputs[name] for name in calculation.needs]
    missing = tuple(one for one in needed if one.id not in given | replaced and one.assumed is None)
    used += list(_assumed(listed, given | replaced))
    refrigerant = _refrigerant(kb, used)
    backed = refrigerant is None or refrigerant.id in kb.saturation or "refrigerant" in replaced
    if refrigerant is not None and not backed and calculation.saturated:
        return no_table(kb, calculation, refrigerant)
    return Missing(calculation.id, calculation.name, missing) if missing else Gathered(tuple(used), refrigerant)


def _is_strange(kb: KnowledgeBase, one: CalculationInput, value: object) -> bool:
    """True for a refrigerant that nobody knows here: what is read off its chart needs no more of it."""
    return one.kind is InputKind.REFRIGERANT and find_refrigerant(kb, str(value)) is None


def no_table(kb: KnowledgeBase, calculation: Calculation, refrigerant: Refrigerant) -> Refused:
    """Return the refusal of a refrigerant that cannot be backed, with the way around it."""
    typed = [one for one in map(kb.calculation_inputs.__getitem__, calculation.may) if "refrigerant" in one.instead_of]
    way = typed[0].ask if typed else "Read the saturation temperature from the cylinder's chart."
    problem = f"No saturation table for {refrigerant.name} here: {refrigerant.no_table}."
    return Refused(calculation.id, calculation.name, problem, f"{way} Say that temperature instead.", "refrigerant")


def _used(kb: KnowledgeBase, calculation: Calculation, one: CalculationInput, value: object) -> Used | Refused:
    match one.kind:
        case InputKind.REFRIGERANT:
            found = find_refrigerant(kb, str(value))
            if found is None:
                return _unknown_refrigerant(kb, calculation, str(value))
            return Used(one, found.name, "")
        case InputKind.CHOICE:
            return _chosen(calculation, one, str(value))
        case InputKind.NUMBER:
            return _measured(kb, calculation, one, value)


def _chosen(calculation: Calculation, one: CalculationInput, value: str) -> Used | Refused:
    if value not in one.choices:
        choices = " or ".join(choice.replace("_", " ") for choice in one.choices)
        return Refused(calculation.id, calculation.name, f"{one.name} {value!r}: {choices}.", one.ask, one.id)
    condition = calculation.conditions.get(one.id)
    if condition is not None and condition.is_ not in {None, value}:
        problem = f"Not with {one.name}: {value.replace('_', ' ')}."
        return Refused(calculation.id, calculation.name, problem, condition.otherwise, one.id)
    return Used(one, value, "")


def _measured(kb: KnowledgeBase, calculation: Calculation, one: CalculationInput, value: object) -> Used | Refused:
    quantity = kb.quantities[one.quantity or ""]
    try:
        number = canonical(kb, quantity.id, value) if isinstance(value, Amount | float | int) else float(str(value))
    except (PhysicsError, ValueError) as err:
        return Refused(calculation.id, calculation.name, f"{one.name}: {err}.", one.ask, one.id)
    condition = calculation.conditions.get(one.id)
    for span, word, otherwise in (
        (condition.span if condition is not None else None, "valid", condition.otherwise if condition else ""),
        (quantity.plausible, "must be", one.ask),
    ):
        if span is not None and not (isfinite(number) and span[0] <= number <= span[1]):
            shown = figure(number, quantity.unit) if isfinite(number) else "is no number"
            problem = f"{one.name} {shown}: {word} {span[0]:g} to {span[1]:g} {quantity.unit}."
            return Refused(calculation.id, calculation.name, problem, otherwise, one.id)
    own = canonical_error(kb, quantity.id, value) if isinstance(value, Amount) else None
    usual = instrument_error(number, one.error_abs, one.error_pct)
    return Used(one, number, quantity.unit, error=usual if own is None else own)


def _assumed(listed: list[CalculationInput], given: set[str]) -> Iterator[Used]:
    for one in listed:
        if one.assumed is not None and one.id not in given:
            yield Used(one, one.assumed, "", assumed=True, error=one.error_abs)


def _refrigerant(kb: KnowledgeBase, used: list[Used]) -> Refrigerant | None:
    said = next((u.value for u in used if u.input.kind is InputKind.REFRIGERANT), None)
    return find_refrigerant(kb, str(said)) if said is not None else None


def _unknown_refrigerant(kb: KnowledgeBase, calculation: Calculation, said: str) -> Refused:
    tables = ", ".join(kb.refrigerants[name].name for name in kb.saturation)
    typed = [one for one in map(kb.calculation_inputs.__getitem__, calculation.may) if "refrigerant" in one.instead_of]
    way = f" {typed[0].ask} Say that temperature instead." if typed else ""
    problem = f"{said!r} is no refrigerant known here; there are tables for {tables}."
    return Refused(calculation.id, calculation.name, problem, f"Read the plate again.{way}", "refrigerant")

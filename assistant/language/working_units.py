"""The units a note's bare numbers count in: the technician's own, unless the note itself says others.

Pressures in kilopascal bring degrees Celsius with them; degrees Celsius alone go with pounds as often, so they
speak for temperatures only.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from knowledge.base import KnowledgeBase
from knowledge.models.quantity import Quantity, UnitWord

from .models import Context
from .numbers import find_numbers
from .tokens import tokenise
from .vocabulary import UnitMeaning, Vocabulary

_CALCULATION = "calculation"
_TEMPERATURES = frozenset({"temperature", "temperature_difference"})


def working_units(text: str, vocabulary: Vocabulary, context: Context) -> Mapping[str, str]:
    """Return the unit of bare numbers, quantity -> symbol, where it is not the canonical one.

    What was said for the calculation that waits counts like the note, and before the technician's usual units.
    """
    kb = vocabulary.kb
    said: dict[str, UnitWord] = {}
    for quantity, unit in (*_of_note(text, vocabulary), *_of_waiting(kb, context)):
        if quantity.si is not None and (unit.metric or unit.symbol == quantity.unit):
            said.setdefault(quantity.id, unit)
    others = [unit.metric for name, unit in said.items() if name not in _TEMPERATURES]
    metric = any(others) or (context.metric and not others)  # pounds in the note bring degrees F for who works in SI
    chosen = {entry.id: _unit(entry, said, kb, metric=metric) for entry in kb.quantities.values() if entry.si}
    return {name: symbol for name, symbol in chosen.items() if symbol != kb.quantities[name].unit}


def _unit(entry: Quantity, said: Mapping[str, UnitWord], kb: KnowledgeBase, *, metric: bool) -> str:
    """Return the unit of a quantity: as said, as said of a sister (a difference of temperatures), else as usual."""
    if entry.id in said:
        return said[entry.id].symbol
    sisters = (unit for name, unit in said.items() if kb.quantities[name].si == entry.si)
    sister = next(sisters, None)
    if sister is not None:
        own = next((unit.symbol for unit in entry.units if unit.symbol == sister.symbol and unit.metric), None)
        return own or (entry.si if sister.metric and entry.si else entry.unit)
    return entry.si if metric and entry.si else entry.unit


def _of_note(text: str, vocabulary: Vocabulary) -> Iterator[tuple[Quantity, UnitWord]]:
    tokens = tokenise(text)
    for number in find_numbers(tokens, [False] * len(tokens), vocabulary):
        if number.said_unit is not None and not _either(number.said_unit, vocabulary):
            yield from ((one.quantity, one.unit) for one in number.units if _can_be_read(one, number.values))


def _can_be_read(meaning: UnitMeaning, values: Sequence[float]) -> bool:
    """False for 407 °C: "four oh seven c" is a refrigerant."""
    low, high = meaning.quantity.plausible
    return any(low <= meaning.canonical(value) <= high for value in values)


def _either(said: str, vocabulary: Vocabulary) -> bool:
    units = (unit for quantity in vocabulary.kb.quantities.values() for unit in quantity.units)
    return any(said.lower() in unit.either for unit in units)


def _of_waiting(kb: KnowledgeBase, context: Context) -> Iterator[tuple[Quantity, UnitWord]]:
    asked = context.asked
    if asked is None or asked.kind != _CALCULATION:
        return
    for given in reversed(asked.options[0].inputs):
        quantity = kb.quantities.get(kb.calculation_inputs[given.about].quantity or "")
        unit = next((one for one in quantity.units if one.symbol == given.said_unit), None) if quantity else None
        if quantity is not None and unit is not None:
            yield quantity, unit

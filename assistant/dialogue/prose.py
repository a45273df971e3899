"""Numbers inside sentences in the technician's units: the knowledge told in SI, number by number."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import fields, replace
from math import floor, log10
from typing import Any

from pydantic import BaseModel

from knowledge import KnowledgeBase
from knowledge.models.check import Check
from knowledge.models.quantity import Quantity
from knowledge.points import WithPoints

from .quantities import System, shown_unit

_NUMBER = r"[-−]?\d+(?:\.\d+)?"
_AS_IT_IS = frozenset({"sources", "quantities", "subjects", "states", "intents", "complaints", "units", "spoken"})
"""Parts of the knowledge that hold words to be heard or wiring, and no sentence that is said."""
_ABSOLUTE = frozenset({"validity", "otherwise", "note", "dash"})
"""Fields that speak of the conditions of a reading, not of the reading itself."""
_DIFFERENCE, _TEMPERATURE = "temperature_difference", "temperature"
_told: dict[int, tuple[KnowledgeBase, KnowledgeBase]] = {}


def in_units(kb: KnowledgeBase, text: str, system: System, quantity: str | None = None) -> str:
    """Return a sentence with its US customary numbers in this technician's units.

    ``quantity``: what the sentence is about; 5 °F of superheat are 2.8 °C, 5 °F outdoors are -15 °C. A number that
    has its SI value behind it already stays as it is.
    """
    if system == "us":
        return text
    prose = {word: entry for entry in kb.quantities.values() if entry.si for word in entry.prose}
    words = "|".join(re.escape(word) for word in sorted(prose, key=len, reverse=True))
    pattern = rf"(?<![\w.])({_NUMBER})(?:(,? (?:to|and|or) )({_NUMBER}))?( ?)({words})(?![\w/])(?! \({_NUMBER} )"

    def converted(found: re.Match[str]) -> str:
        entry = _meant(kb, prose[found[5]], found, quantity)
        ends = [_number(kb, entry, float(end.replace("−", "-")), system) for end in (found[1], found[3]) if end]
        return f"{(found[2] or '').join(ends)} {shown_unit(kb, entry.id, system).symbol}"

    return re.sub(pattern, converted, text)


def told_in(kb: KnowledgeBase, system: System) -> KnowledgeBase:
    """Return the knowledge with every sentence told in this technician's units; the same object each time."""
    if system == "us":
        return kb
    kept = _told.get(id(kb))
    if kept is None or kept[0] is not kb:
        _told.clear()
        kept = _told[id(kb)] = (kb, _in_si(kb))
    return kept[1]


def _in_si(kb: KnowledgeBase) -> KnowledgeBase:
    changed: dict[str, Any] = {}
    for field in fields(kb):
        part = getattr(kb, field.name)
        if field.name not in _AS_IT_IS and isinstance(part, Mapping | BaseModel):
            changed[field.name] = _told_part(kb, part, None, field.name)
    changed["checks"] = WithPoints(changed["checks"], kb.points, Check)
    return replace(kb, **changed)


def _told_part(kb: KnowledgeBase, part: Any, quantity: str | None, name: str) -> Any:
    match part:
        case str():
            return in_units(kb, part, "si", None if name in _ABSOLUTE else quantity)
        case BaseModel():
            own = getattr(part, "quantity", quantity)
            old = {one: getattr(part, one) for one in type(part).model_fields if one != "id"}
            new = {one: _told_part(kb, value, own, one) for one, value in old.items()}
            update = {one: value for one, value in new.items() if value is not old[one] and value != old[one]}
            return part.model_copy(update=update) if update else part
        case tuple():
            return tuple(_told_part(kb, one, quantity, name) for one in part)
        case Mapping():
            return {key: _told_part(kb, value, quantity, name) for key, value in part.items()}
    return part


def _meant(kb: KnowledgeBase, entry: Quantity, found: re.Match[str], quantity: str | None) -> Quantity:
    """Return the quantity of a number in prose: of two that share the unit the one that the words around tell."""
    if entry.id not in {_TEMPERATURE, _DIFFERENCE}:
        return entry
    difference = kb.quantities[_DIFFERENCE]
    before, behind = found.string[: found.start()].rstrip(), found.string[found.end() :].lstrip()
    told = any(re.search(rf"(?:^|\W){re.escape(word)}$", before) for word in difference.told_before)
    told = told or any(re.match(rf"{re.escape(word)}\b", behind) for word in difference.told_behind)
    return difference if told or quantity == _DIFFERENCE else kb.quantities[_TEMPERATURE]


def _number(kb: KnowledgeBase, entry: Quantity, value: float, system: System) -> str:
    """Return a number of prose, rounded as prose is: two figures, temperatures to the degree."""
    unit = shown_unit(kb, entry.id, system)
    number = (value - unit.offset) / unit.factor if entry.unit != unit.symbol or unit.factor != 1 else value
    if entry.id == _TEMPERATURE or number == 0:
        return f"{number:.0f}".replace("-0", "0")
    digits = min(max(1 - floor(log10(abs(number))), 0), 1)
    text = f"{number:.{digits}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text

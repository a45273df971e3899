"""The units a note is answered in: its own where all of it is in one system, else the technician's."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from assistant.dialogue.quantities import System
from assistant.language.models import Heard
from knowledge import KnowledgeBase


def units_of_note(kb: KnowledgeBase, heard: Sequence[Heard], usual: System) -> System:
    """Return "si" or "us" for a note that names units of that system only; ``usual`` for any other note."""
    systems = {metric for item in heard for metric in _metric(kb, item, usual)}
    if len(systems) != 1:
        return usual
    return "si" if systems.pop() else "us"


def _metric(kb: KnowledgeBase, item: Heard, usual: System) -> Iterator[bool]:
    """Yield for each number in which the systems differ whether it is a metric one.

    Who works in SI leaves the unit away in SI; a bare number of somebody else says nothing about the rest.
    """
    named = [(item.quantity, item.said_unit)] if item.value is not None else []
    given = ((kb.calculation_inputs[one.about].quantity, one.said_unit) for one in item.inputs if one.value is not None)
    for quantity, said in (*named, *given):
        entry = kb.quantities.get(quantity or "")
        if entry is None or entry.si is None:
            continue
        if said is None:
            yield from [True] if usual == "si" else []
            continue
        for unit in entry.units:
            if said.lower() not in unit.either and (said == unit.symbol or said.lower() in unit.written):
                yield unit.metric

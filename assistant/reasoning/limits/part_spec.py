"""What to ask for at the counter: the words of a repair, filled with what the plate and the old part say.

``dual run capacitor[ {cap_herm_uf}/{cap_fan_uf} µF|, microfarads as marked on the old one]``: the half in front of
the bar where all its values are known, else the one behind it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction

from assistant.physics.errors import PhysicsError
from knowledge import KnowledgeBase

from .plate_sizes import circuit_sizes
from .results import figure

_CHOICE = re.compile(r"\[([^\[\]|]*)\|([^\[\]|]*)\]")
_PLACE = re.compile(r"\{(\w+)\}")
_SMALLEST_SHARE = 40
"""Of a horsepower."""
DERIVED = frozenset({"contactor_a", "disconnect_a"})
"""Places that are worked out of the plate, beside the plate items themselves."""


def part_spec(kb: KnowledgeBase, specify: str, plate: Mapping[str, float], words: Mapping[str, str]) -> str:
    """Return the part in trade terms for this unit.

    ``plate``: numeric plate items in canonical units; ``words``: those that are text. KeyError for a place outside
    a choice that is not known.
    """
    known = {item: figure(value, "") for item, value in plate.items()}
    if "fan_hp" in plate:  # printed and asked for as a fraction
        known["fan_hp"] = str(Fraction(plate["fan_hp"]).limit_denominator(_SMALLEST_SHARE))
    known |= {item: _printed(text, numeric=item in plate) for item, text in words.items()} | _derived(kb, plate)

    def chosen(found: re.Match[str]) -> str:
        told, otherwise = found.groups()
        return told if known.keys() >= set(_PLACE.findall(told)) else otherwise

    return _PLACE.sub(lambda place: known[place[1]], _CHOICE.sub(chosen, specify))


def places(specify: str) -> frozenset[str]:
    """Return the plate items and derived values that a specification names."""
    return frozenset(_PLACE.findall(specify))


def _derived(kb: KnowledgeBase, plate: Mapping[str, float]) -> dict[str, str]:
    """Return the sizes that follow from compressor and fan current; what lies outside the tables is left out."""
    if "rla" not in plate or "fan_fla" not in plate:
        return {}
    try:
        sizes = circuit_sizes(kb, [plate["rla"]], [plate["fan_fla"]])
    except PhysicsError:
        return {}
    running_a = plate["rla"] + plate["fan_fla"]
    contactors = [size for size in kb.electrical_tables.standard_contactors_a.sizes if size >= running_a]
    found = {"disconnect_a": sizes.disconnect_a, **({"contactor_a": min(contactors)} if contactors else {})}
    return {place: figure(value, "") for place, value in found.items()}


def _printed(text: str, *, numeric: bool) -> str:
    """Return words of the plate as printed; of a number only its figures: ``208/230``."""
    figures = re.match(r"[\d./-]+", text)
    return figures[0] if numeric and figures else text.upper()

"""The refrigerant side of a practice unit: one of those worked out beforehand, see ``knowledge/data/practice``."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from typing import Final

import numpy as np

from assistant.reasoning.diagnosis import Evidence
from knowledge.base import KnowledgeBase
from knowledge.practice import running_units

LOOKS: Final = ("look_metering", "ask_steady", "ask_equalised", "p_standing")
SOUND: Final = "sound"


class RecordedGauges:
    """What gauges and thermometers show on one unit; the looks that belong to them are answered alike."""

    looks: Collection[str] = LOOKS

    def __init__(self, kb: KnowledgeBase, rng: np.random.Generator) -> None:
        units = running_units(kb.root)
        self._unit = units[int(rng.integers(len(units)))]
        self._rng = rng
        self._asked: set[str] = set()
        self.refrigerant = self._unit.refrigerant.replace("_", "-")
        self.device = self._unit.device

    def read(self, check: str, faults: tuple[str, ...]) -> float:
        """Return a reading in the canonical unit of the check; of two faults with a signature the first counts."""
        readings = self._unit.readings[_first(faults)]
        return _SATURATION[check](readings) if check in _SATURATION else readings[check]

    def standing(self, faults: tuple[str, ...]) -> float:
        """Return the pressure when all has stood and equalised, psi."""
        return self._unit.standing[_first(faults)]

    def look(self, check: str, faults: tuple[str, ...]) -> Evidence:
        """Return an answer that belongs to the gauges. It has run too short the first time, sometimes."""
        if check == "look_metering":
            return Evidence(check, outcomes=(self.device,))
        first = check not in self._asked
        self._asked.add(check)
        if check == "p_standing":
            return Evidence(check, self.standing(faults), outcomes=("present",))
        early = first and self._rng.random() < 0.4
        answers = {"ask_steady": ("too_soon", "steady"), "ask_equalised": ("unequal", "equal")}[check]
        return Evidence(check, outcomes=(answers[0 if early else 1],))


_SATURATION: Final[Mapping[str, Callable[[Mapping[str, float]], float]]] = {
    "g_suction_saturation": lambda shown: shown["g_suction_line"] - shown["g_superheat"],
    "g_liquid_saturation": lambda shown: shown["g_liquid_line"] + shown["g_subcooling"],
}
"""What a digital gauge shows beside superheat and subcooling."""


def _first(faults: tuple[str, ...]) -> str:
    return faults[0] if faults else SOUND

"""The refrigerant side of a unit in the field, for whole simulated visits: drawn constants, weather and degrees."""

from __future__ import annotations

from functools import cache

import numpy as np

from assistant.physics.refrigerant import Curve, SaturationTable, saturation_psia
from assistant.reasoning.diagnosis import Evidence
from knowledge.base import KnowledgeBase

from .model import Faults, System, Weather
from .selftest import IDS, between, drawn_readings, drawn_system
from .table import DEVICES, STATIC

TRIES = 20
LOOKS = ("look_metering", "ask_steady", "ask_equalised", "p_standing")


class FieldGauges:
    """What gauges and thermometers show on one unit; looks that belong to them are answered alike."""

    looks = LOOKS

    def __init__(self, kb: KnowledgeBase, rng: np.random.Generator) -> None:
        self.kb, self.rng = kb, rng
        self.device = DEVICES[int(rng.integers(len(DEVICES)))]
        self.system = drawn_system(self.device, rng)
        outdoor, indoor, humidity = rng.uniform(300, 311), rng.uniform(296, 301), rng.uniform(0.42, 0.62)
        self.weather = Weather(float(outdoor), float(indoor), float(humidity))
        self.refrigerant = IDS[self.system.design.refrigerant].replace("_", "-")
        self.asked: set[str] = set()
        self._readings = cache(self._worked_out)

    def _worked_out(self, faults: tuple[str, ...]) -> dict[str, float]:
        for attempt in range(2 * TRIES):
            if attempt >= TRIES:  # some systems settle with no degree of a fault
                self.system = self._another()
            changed = between(faults[0], self.rng) if faults else Faults()
            shown = self.system.run(self.weather, changed)
            if shown is not None:
                found = drawn_readings(self.kb, self.system, self.weather, shown, self.rng)
                return found | {
                    "g_superheat": found["g_suction_line"] - shown.suction,
                    "g_subcooling": shown.condensing - found["g_liquid_line"],
                    "g_suction_saturation": shown.suction,
                    "g_liquid_saturation": shown.condensing,
                    "g_split": found["t_return"] - found["t_supply"],
                }
        raise ValueError(f"no steady state with {faults}")

    def _another(self) -> System:
        """Return another system with the same refrigerant and metering device."""
        while True:
            system = drawn_system(self.device, self.rng)
            if system.design.refrigerant == self.system.design.refrigerant:
                return system

    def read(self, check: str, faults: tuple[str, ...]) -> float:
        """Return a reading; of two faults with a signature the first counts."""
        return self._readings(faults)[check]

    def look(self, check: str, faults: tuple[str, ...]) -> Evidence:
        """Return an answer that belongs to the gauges. It has run too short the first time, sometimes."""
        if check == "look_metering":
            return Evidence(check, outcomes=(self.device,))
        first, self.asked = check not in self.asked, self.asked | {check}
        if check == "p_standing":
            return Evidence(check, self._standing(faults), outcomes=("present",))
        early = first and self.rng.random() < 0.4
        answers = {"ask_steady": ("too_soon", "steady"), "ask_equalised": ("unequal", "equal")}[check]
        return Evidence(check, outcomes=(answers[0 if early else 1],))

    def _standing(self, faults: tuple[str, ...]) -> float:
        found = self.kb.saturation[IDS[self.system.design.refrigerant]]
        table = SaturationTable(found.id, found.first_f, found.step_f, found.bubble_psia, found.dew_psia)
        over = next((STATIC[name][1] for name in faults if name in STATIC), 0.0)
        warm = self.weather.outdoor * 1.8 - 459.67 + over + float(self.rng.normal() * 0.8)
        return saturation_psia(table, Curve.BUBBLE, warm) - 14.696

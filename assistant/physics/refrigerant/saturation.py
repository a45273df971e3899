"""Saturation: temperature and absolute pressure of boiling and condensing, from a table made beforehand.

Bubble: the last vapour has condensed, the first bubble would form; the liquid side, subcooling.
Dew: the last liquid has boiled, the first drop would form; the vapour side, superheat.
A blend with glide has the two apart: at one pressure dew is the warmer, at one temperature bubble is the higher.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from enum import StrEnum
from math import exp, log

from assistant.physics.errors import within

_RANKINE_AT_0_F = 459.67


class Curve(StrEnum):
    """Which end of boiling."""

    BUBBLE = "bubble"
    DEW = "dew"


@dataclass(frozen=True, slots=True)
class SaturationTable:
    """Absolute pressures at equal steps of temperature, rising; both curves of one length."""

    name: str
    first_f: float
    step_f: float
    bubble_psia: tuple[float, ...]
    dew_psia: tuple[float, ...]

    @property
    def last_f(self) -> float:
        """The highest temperature, in degrees F."""
        return self.first_f + self.step_f * (len(self.dew_psia) - 1)

    def pressures_psia(self, curve: Curve) -> tuple[float, ...]:
        """The pressures of one curve, in psia."""
        return self.bubble_psia if curve is Curve.BUBBLE else self.dew_psia


def saturation_psia(table: SaturationTable, curve: Curve, temp_f: float) -> float:
    """Return the saturation pressure in psia at a temperature in degrees F: ln p linear in 1/T (absolute).

    Valid inside the table. With nodes 5 degrees F apart this is within 0.03 degrees F of the equation of
    state that made the table (0.01 but near the critical point). Source: coolprop.
    """
    within(f"{table.name} temperature", temp_f, table.first_f, table.last_f, "°F")
    pressures = table.pressures_psia(curve)
    place = min(int((temp_f - table.first_f) // table.step_f), len(pressures) - 2)
    low, high = (_inverse(table.first_f + table.step_f * node) for node in (place, place + 1))
    share = (_inverse(temp_f) - low) / (high - low)
    return exp(log(pressures[place]) * (1 - share) + log(pressures[place + 1]) * share)


def saturation_temperature_f(table: SaturationTable, curve: Curve, pressure_psia: float) -> float:
    """Return the saturation temperature in degrees F at an absolute pressure in psia; inverse of the above.

    Valid inside the table. Source: coolprop.
    """
    pressures = table.pressures_psia(curve)
    within(f"{table.name} pressure", pressure_psia, pressures[0], pressures[-1], "psia")
    place = min(bisect_right(pressures, pressure_psia) - 1, len(pressures) - 2)
    low, high = (_inverse(table.first_f + table.step_f * node) for node in (place, place + 1))
    share = log(pressure_psia / pressures[place]) / log(pressures[place + 1] / pressures[place])
    return 1 / (low + share * (high - low)) - _RANKINE_AT_0_F


def glide_f(table: SaturationTable, pressure_psia: float) -> float:
    """Return dew minus bubble temperature in degrees F at one absolute pressure in psia; 0 for one substance.

    Valid inside both curves of the table. Source: coolprop.
    """
    dew, bubble = (saturation_temperature_f(table, curve, pressure_psia) for curve in (Curve.DEW, Curve.BUBBLE))
    return dew - bubble


def _inverse(temp_f: float) -> float:
    return 1 / (temp_f + _RANKINE_AT_0_F)

"""The exponent of a refrigerant's compression, from its equation of state; CoolProp is a development dependency.

T2 = T1 (p2 / p1)^m, temperatures absolute: m is fitted by least squares of ln T2 / T1 over ln p2 / p1 to a
compressor of 70 % isentropic efficiency (the usual assumption for a small hermetic compressor, no source) without
heat lost or gained at its shell.
"""

from __future__ import annotations

from collections.abc import Callable
from math import exp, log
from typing import NamedTuple

from assistant.physics.units import celsius_from_fahrenheit
from knowledge.models.refrigerant import Refrigerant

EFFICIENCY = 0.7
BOILING_F, SUPERHEAT_F, CONDENSING_F = (20, 35, 50), (5, 20, 35), (95, 112, 130)


class Compression(NamedTuple):
    exponent: float
    within_f: float
    """Largest difference to the equation of state over the points fitted, degrees F."""


def compression(refrigerant: Refrigerant, name: str) -> Compression:
    """Return the exponent of a refrigerant whose CoolProp name is ``name``."""
    points = [
        point
        for boiling in BOILING_F
        for superheat in SUPERHEAT_F
        for condensing in CONDENSING_F
        if (point := _compressed(name, boiling, boiling + superheat, condensing)) is not None
    ]
    if len(points) < len(BOILING_F) * len(SUPERHEAT_F) * len(CONDENSING_F) // 2:
        raise ValueError(f"{refrigerant.name}: the equation of state fails at most points")
    exponent = sum(log(r) * log(t2 / t1) for t1, r, t2 in points) / sum(log(r) ** 2 for _, r, _ in points)
    off = max(abs(t1 * exp(exponent * log(r)) - t2) for t1, r, t2 in points) * 1.8
    return Compression(round(exponent, 4), round(off, 1))


def _compressed(
    name: str, boiling_f: float, suction_f: float, condensing_f: float
) -> tuple[float, float, float] | None:
    """Return suction temperature in K, ratio of pressures and discharge temperature in K; None where it fails."""
    from CoolProp.CoolProp import PropsSI

    try:
        low = float(PropsSI("P", "T", _kelvin(boiling_f), "Q", 1, name))
        high = float(PropsSI("P", "T", _kelvin(condensing_f), "Q", 0, name))

        def gas(what: str, kelvin: float, pascal: float) -> float:
            return float(PropsSI(what, "T|gas", kelvin, "P", pascal, name))

        start = _kelvin(suction_f)
        enthalpy, entropy = (gas(what, start, low) for what in ("Hmass", "Smass"))
        dew = float(PropsSI("T", "P", high, "Q", 1, name))
        ideal = _solved(lambda kelvin: gas("Smass", kelvin, high), entropy, dew)
        wanted = enthalpy + (gas("Hmass", ideal, high) - enthalpy) / EFFICIENCY
        return start, high / low, _solved(lambda kelvin: gas("Hmass", kelvin, high), wanted, dew)
    except ValueError:  # the solver's way of saying that it found nothing
        return None


def _solved(rising: Callable[[float], float], wanted: float, low: float) -> float:
    """Return the temperature in K at which a rising property has this value; bisection to a microkelvin."""
    high = low + 150.0
    for _ in range(45):
        middle = (low + high) / 2
        low, high = (middle, high) if rising(middle) < wanted else (low, middle)
    return (low + high) / 2


def _kelvin(temp_f: float) -> float:
    return celsius_from_fahrenheit(temp_f) + 273.15

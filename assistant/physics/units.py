"""Exact conversions between the units of the trade; every factor follows from a definition.

Definitions (source: unit_definitions): inch 0.0254 m, pound 0.45359237 kg (international agreement of 1959),
standard gravity 9.80665 m/s2, bar 100 kPa, 0 degrees C = 32 degrees F with 9 degrees F to 5 K, conventional
mercury 13595.1 kg/m3 (0 degrees C) and water 1000 kg/m3 (4 degrees C), BTU of the International Table (2326 J/kg
times one pound), ton of refrigeration 12000 BTU/h, mechanical horsepower 550 foot pounds-force a second.
"""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType

from .errors import PhysicsError

METRES_PER_INCH = 0.0254
KILOGRAMS_PER_POUND = 0.45359237
STANDARD_GRAVITY_M_S2 = 9.80665
KPA_PER_PSI = KILOGRAMS_PER_POUND * STANDARD_GRAVITY_M_S2 / METRES_PER_INCH**2 / 1000
"""6.894757...: one pound-force on one square inch."""
KPA_PER_BAR = 100.0
KPA_PER_MPA = 1000.0
FAHRENHEIT_AT_0_C = 32.0
FAHRENHEIT_PER_KELVIN = 9 / 5
ABSOLUTE_ZERO_C = -273.15


def fahrenheit_from_celsius(temp_c: float) -> float:
    """Return a temperature in degrees F for one in degrees C. Any finite value. Source: unit_definitions."""
    return temp_c * FAHRENHEIT_PER_KELVIN + FAHRENHEIT_AT_0_C


def celsius_from_fahrenheit(temp_f: float) -> float:
    """Return a temperature in degrees C for one in degrees F. Any finite value. Source: unit_definitions."""
    return (temp_f - FAHRENHEIT_AT_0_C) / FAHRENHEIT_PER_KELVIN


def fahrenheit_difference(kelvin: float) -> float:
    """Return a temperature *difference* in degrees F for one in K (no 32 added). Source: unit_definitions."""
    return kelvin * FAHRENHEIT_PER_KELVIN


def kelvin_difference(difference_f: float) -> float:
    """Return a temperature *difference* in K for one in degrees F. Source: unit_definitions."""
    return difference_f / FAHRENHEIT_PER_KELVIN


def kpa_from_psi(pressure_psi: float) -> float:
    """Return kPa for psi; gauge stays gauge, absolute stays absolute. Source: unit_definitions."""
    return pressure_psi * KPA_PER_PSI


def psi_from_kpa(pressure_kpa: float) -> float:
    """Return psi for kPa; gauge stays gauge, absolute stays absolute. Source: unit_definitions."""
    return pressure_kpa / KPA_PER_PSI


def bar_from_psi(pressure_psi: float) -> float:
    """Return bar for psi. Source: unit_definitions."""
    return kpa_from_psi(pressure_psi) / KPA_PER_BAR


def psi_from_bar(pressure_bar: float) -> float:
    """Return psi for bar. Source: unit_definitions."""
    return psi_from_kpa(pressure_bar * KPA_PER_BAR)


def mpa_from_psi(pressure_psi: float) -> float:
    """Return MPa for psi. Source: unit_definitions."""
    return kpa_from_psi(pressure_psi) / KPA_PER_MPA


def psi_from_mpa(pressure_mpa: float) -> float:
    """Return psi for MPa. Source: unit_definitions."""
    return psi_from_kpa(pressure_mpa * KPA_PER_MPA)


class MixedUnits(PhysicsError):  # noqa: N818  # says what it is
    """Two units that measure different things, or a unit that is not known here."""


@dataclass(frozen=True, slots=True)
class Unit:
    """SI value = value * factor + offset."""

    measures: str
    factor: float
    offset: float = 0.0


_FOOT_M = 12 * METRES_PER_INCH
_BTU_J = 1000 * KILOGRAMS_PER_POUND * 2.326
_BTU_PER_H_W = _BTU_J / 3600
_PSI_PA = 1000 * KPA_PER_PSI
_MERCURY_KG_M3, _WATER_KG_M3 = 13595.1, 1000.0
_INCH_PA_PER_KG_M3 = STANDARD_GRAVITY_M_S2 * METRES_PER_INCH

UNITS = MappingProxyType(
    {
        "°F": Unit("temperature", 1 / FAHRENHEIT_PER_KELVIN, -FAHRENHEIT_AT_0_C / FAHRENHEIT_PER_KELVIN),
        "°C": Unit("temperature", 1.0),
        "K": Unit("temperature difference", 1.0),
        "°C difference": Unit("temperature difference", 1.0),
        "°F difference": Unit("temperature difference", 1 / FAHRENHEIT_PER_KELVIN),
        "psi": Unit("pressure", _PSI_PA),
        "Pa": Unit("pressure", 1.0),
        "kPa": Unit("pressure", 1e3),
        "MPa": Unit("pressure", 1e6),
        "bar": Unit("pressure", 1e5),
        "inHg": Unit("pressure", _MERCURY_KG_M3 * _INCH_PA_PER_KG_M3),
        "inWC": Unit("pressure", _WATER_KG_M3 * _INCH_PA_PER_KG_M3),
        "micron": Unit("pressure", _MERCURY_KG_M3 * STANDARD_GRAVITY_M_S2 * 1e-6),
        "CFM": Unit("air flow", _FOOT_M**3 / 60),
        "L/s": Unit("air flow", 1e-3),
        "m³/h": Unit("air flow", 1 / 3600),
        "m³/s": Unit("air flow", 1.0),
        "CFM/ton": Unit("air flow per cooling power", _FOOT_M**3 / 60 / (12000 * _BTU_PER_H_W)),
        "L/s per kW": Unit("air flow per cooling power", 1e-6),
        "FPM": Unit("speed", _FOOT_M / 60),
        "m/s": Unit("speed", 1.0),
        "BTU/h": Unit("power", _BTU_PER_H_W),
        "W": Unit("power", 1.0),
        "kW": Unit("power", 1e3),
        "hp": Unit("power", 550 * _FOOT_M * KILOGRAMS_PER_POUND * STANDARD_GRAVITY_M_S2),
        "ton": Unit("power", 12000 * _BTU_PER_H_W),
        "in": Unit("length", METRES_PER_INCH),
        "ft": Unit("length", _FOOT_M),
        "mm": Unit("length", 1e-3),
        "cm": Unit("length", 1e-2),
        "m": Unit("length", 1.0),
        "lb": Unit("mass", KILOGRAMS_PER_POUND),
        "oz": Unit("mass", KILOGRAMS_PER_POUND / 16),
        "kg": Unit("mass", 1.0),
        "g": Unit("mass", 1e-3),
        "V": Unit("voltage", 1.0),
        "mV": Unit("voltage", 1e-3),
        "kV": Unit("voltage", 1e3),
        "A": Unit("current", 1.0),
        "mA": Unit("current", 1e-3),
        "Ω": Unit("resistance", 1.0),
        "mΩ": Unit("resistance", 1e-3),
        "kΩ": Unit("resistance", 1e3),
        "MΩ": Unit("resistance", 1e6),
        "F": Unit("capacitance", 1.0),
        "µF": Unit("capacitance", 1e-6),
        "nF": Unit("capacitance", 1e-9),
        "VA": Unit("apparent power", 1.0),
        "kVA": Unit("apparent power", 1e3),
        "s": Unit("time", 1.0),
        "min": Unit("time", 60.0),
        "h": Unit("time", 3600.0),
        "Hz": Unit("frequency", 1.0),
        "rpm": Unit("frequency", 1 / 60),
        "%": Unit("share", 0.01),
    }
)
"""Units by symbol. Gauge pressure stays gauge and absolute stays absolute; ``K`` is a difference, never a
temperature, so that 32 is added exactly where it belongs."""


def convert(value: float, from_unit: str, to_unit: str) -> float:
    """Return a value in another unit of the same thing, both by symbol (``UNITS``): ``convert(118, "psi", "kPa")``.

    Any finite value. Raises MixedUnits for an unknown symbol, and where the two measure different things: a
    temperature is no temperature difference. Source: unit_definitions.
    """
    source, target = _unit(from_unit), _unit(to_unit)
    if source.measures != target.measures:
        what = f"{from_unit} measures {source.measures}, {to_unit} {target.measures}"
        raise MixedUnits(f"{what}: both must measure the same")
    if from_unit == to_unit:
        return value
    return (value * source.factor + source.offset - target.offset) / target.factor


def _unit(symbol: str) -> Unit:
    unit = UNITS.get(symbol)
    if unit is None:
        raise MixedUnits(f"{symbol!r} is no unit known here: must be one of {', '.join(UNITS)}")
    return unit

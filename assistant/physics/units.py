"""Exact conversions between the units of the trade; every factor follows from a definition.

Definitions (source: unit_definitions): inch 0.0254 m, pound 0.45359237 kg (international agreement of 1959),
standard gravity 9.80665 m/s2, bar 100 kPa, and 0 degrees C = 32 degrees F with 9 degrees F to 5 K.
"""

from __future__ import annotations

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

"""Refrigerants: what they are, how dangerous, and their saturation tables."""

from __future__ import annotations

from enum import StrEnum

from pydantic import Field

from .entry import Closed, Entry, Id, Text


class SafetyClass(StrEnum):
    """Safety group of ANSI/ASHRAE Standard 34 (source: ashrae_34): toxicity letter, flammability figure."""

    A1 = "A1"
    """No flame propagation."""
    A2L = "A2L"
    """Burns slowly; lower flammability."""
    A2 = "A2"
    A3 = "A3"
    """Burns readily; higher flammability."""


class Kind(StrEnum):
    """How far its boiling temperature wanders while it boils."""

    PURE = "pure"
    AZEOTROPE = "azeotrope"
    NEAR_AZEOTROPE = "near_azeotrope"
    ZEOTROPE = "zeotrope"
    """With glide: bubble and dew must not be mixed up."""


class Refrigerant(Entry):
    name: Text
    """ASHRAE number: ``R-454B``."""
    phrases: tuple[str, ...]
    """Spellings, lower case, as on the plate or said; unique."""
    kind: Kind
    mass_pct: dict[str, float]
    """Composition in percent of mass, by ASHRAE number of the component."""
    safety: SafetyClass
    error_f: float | None = None
    """How far the saturation temperature may be off, in degrees F; None where there is no table."""
    no_table: str = ""
    """Why there is no table, where there is none."""
    discharge_max_f: float | None = None
    """Highest discharge line temperature of general practice, in degrees F; None: only the maker's value counts."""
    note: str = ""
    sources: tuple[Id, ...]
    """Where composition, safety group and error come from."""


class Saturation(Entry):
    """Absolute pressures in psia at equal steps of temperature in degrees F; id of the refrigerant. Generated."""

    first_f: float
    step_f: float
    compression_exponent: float
    """m of T2 = T1 (p2 / p1)^m, absolute temperatures, for a compressor of 70 % isentropic efficiency."""
    compression_within_f: float
    """How far that is off the equation of state at most, in degrees F, over usual air conditioning."""
    bubble_psia: tuple[float, ...]
    dew_psia: tuple[float, ...]
    filled_f: tuple[float, ...] = ()
    """Temperatures where the solver of the equation of state failed and the value is read between neighbours."""
    source: Id


class RefrigerantFile(Closed):
    refrigerants: tuple[Refrigerant, ...] = Field(min_length=1)


class SaturationFile(Closed):
    saturation: tuple[Saturation, ...] = Field(min_length=1)

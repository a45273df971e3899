"""Kinds of reading: canonical unit, accepted units, plausible range."""

from __future__ import annotations

from .entry import Closed, Entry, Text


class UnitWord(Closed):
    """One unit a technician may write or say; canonical = said * factor + offset."""

    symbol: Text
    factor: float
    offset: float = 0.0
    written: tuple[str, ...]
    """Spellings, lower case, as typed or spoken: ``uf``, ``mfd``, ``microfarads``."""


class Quantity(Entry):
    name: Text
    """What a person calls it: ``volts``, ``capacitance``."""
    unit: Text
    """Canonical unit symbol; every stored value is in it."""
    units: tuple[UnitWord, ...]
    plausible: tuple[float, float]
    """Outside this no meter of the trade reads; asked back."""
    decimals: int = 1
    """Digits after the point that mean something when shown."""
    over_limit: bool = False
    """True where a meter may show "over limit" (an open circuit), as for resistance."""
    source: str


class QuantityFile(Closed):
    quantities: tuple[Quantity, ...]

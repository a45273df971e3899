"""Limits: which formula, with which constants, valid where, known how."""

from __future__ import annotations

from pydantic import Field

from .entry import Closed, Entry, Id, Text


class Limit(Entry):
    name: Text
    quantity: Id
    formula: Id
    """Name of a registered rule in ``assistant.reasoning.limits.formulas``."""
    constants: dict[str, float] = Field(default_factory=dict)
    """Numbers with unit suffix in the key: ``tolerance_pct``, ``low_v``."""
    table: Id | None = None
    """Printed table that the formula reads."""
    needs_plate: tuple[Id, ...] = ()
    """Plate items it is calculated from; missing ones are asked when needed."""
    optional_plate: tuple[Id, ...] = ()
    """Plate items that sharpen it when known; never asked for its sake."""
    defaults: dict[str, float] = Field(default_factory=dict)
    """Typical plate values used, and named as typical, while the plate is not known."""
    ranges: dict[Id, tuple[float, float]] = Field(default_factory=dict)
    """What this plate item can be on this kind of unit; narrower than the item's plausible range.

    While the plate is not known, only a reading that would be wrong for every value in here is called wrong.
    """
    uses: dict[Id, tuple[Id, ...]] = Field(default_factory=dict)
    """Input of the formula -> checks whose reading gives it; the first that was read counts."""
    unit: str = ""
    """Unit of the result where it is not the quantity's canonical one."""
    meter_pct: float = 0.0
    """Worst-case error of the meter, percent of reading: no verdict closer to the limit than this."""
    meter_abs: float = 0.0
    """The same in the limit's unit, added to ``meter_pct``."""
    condemns: bool = True
    """False where the window describes something (a locked rotor) and a reading proves nothing by itself."""
    open_condemns: bool = True
    """False where an open reading may be innocent: a hot overload."""
    shown: Text
    """The formula as a technician would write it."""
    validity: Text
    says: dict[Id, Text] = Field(default_factory=dict)
    """What follows for the technician, by outcome: low, high, open, watch, far_high, or the formula's own."""
    sources: tuple[str, ...]
    """Source ids, most important first."""


class LimitFile(Closed):
    limits: tuple[Limit, ...]

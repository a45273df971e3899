"""Limits: which formula, with which constants, valid where, known how."""

from __future__ import annotations

from .entry import Closed, Entry, Id, Text


class Limit(Entry):
    name: Text
    quantity: Id
    formula: Id
    """Name of the function in ``assistant.reasoning.limits`` that applies it."""
    constants: dict[str, float] = {}
    """Numbers with unit suffix in the key: ``tolerance_pct``, ``low_v``."""
    needs_plate: tuple[Id, ...] = ()
    """Plate items it is calculated from; missing ones are asked when needed."""
    defaults: dict[str, float] = {}
    """Typical plate values used, and named as typical, while the plate is not known."""
    shown: Text
    """The formula as a technician would write it."""
    validity: Text
    sources: tuple[str, ...]
    """Source ids, most important first."""


class LimitFile(Closed):
    limits: tuple[Limit, ...]

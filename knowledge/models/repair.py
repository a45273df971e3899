"""Repairs: what is done about a fault, what proves it first, and what it needs."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from .entry import Closed, Fitted, Id, PowerNeed, Text


class Repair(Fitted):
    name: Text
    """Imperative: ``replace the run capacitor``"""
    done: Text
    """Past tense for the note: ``run capacitor replaced``"""
    part: Id | None = None
    """Subject of the part fitted; None where nothing is fitted."""
    price: Literal["none", "low", "medium", "high"]
    minutes: float
    floor: float
    """Least probability before it may be proposed; grows with the price."""
    needs: PowerNeed
    confirm: tuple[Id, ...]
    """Checks on the part itself; one must have read wrong the way the fault predicts."""
    confirm_as: dict[Id, tuple[Id, ...]] = Field(default_factory=dict)
    """Of a look under ``confirm``: the outcomes that confirm; others are what many faults end in."""
    given: dict[Id, tuple[Id, ...]] = Field(default_factory=dict)
    """Confirming check -> checks that must have read as in a good unit: the point before the part is live, what would
    explain the reading otherwise is sound. Without them the confirming check proves nothing."""
    specify: Text
    """What to ask for at the counter, in trade terms. ``[{plate_item} ...|else ...]``: as far as it was read."""
    steps: tuple[Text, ...]
    also: tuple[Text, ...] = ()
    """What to replace, look at or find out along with it."""
    cautions: tuple[Id, ...] = ()
    refer: bool = False
    """True where the work belongs to another trade or needs certification: left off, tagged, referred."""
    advice: str = ""
    """What the customer is told about it, in plain words; true whether or not the repair was done today."""
    source: str


class RepairFile(Closed):
    repairs: tuple[Repair, ...]

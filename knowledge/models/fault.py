"""Root faults. Consequences (blown fuse, open overload) are computed, never listed as the diagnosis."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from .entry import Closed, Entry, Fitted, Id, Text

FaultMode = Literal["open", "short", "ground", "resistive", "weak", "stuck_closed", "seized", "swapped"]


class Change(Closed):
    """What a fault does to one element of the unit."""

    element: Id
    mode: FaultMode
    value: float | None = None
    """resistive: ohms; weak: fraction of the rated value; ground and short: ohms."""


class Fault(Fitted):
    name: Text
    """``fan section of the run capacitor open``"""
    part: Id
    """Subject that is at fault."""
    sets: tuple[Change, ...] = ()
    facts: dict[Id, Id] = Field(default_factory=dict)
    """Non-electrical facts it makes true: ``thermostat_calls: not_calling``."""
    shows: dict[Id, dict[Id, float]] = Field(default_factory=dict)
    """check id -> outcome probabilities when this fault is present, for senses the circuit cannot compute."""
    signature: Id | None = None
    """Row of ``reasoning/signatures.yaml``: what it shifts on gauges and thermometers while the unit runs."""
    air_stays_cold: bool = False
    """True where the air leaves the unit as cold as it should though this fault is there: it explains no bad split."""
    noticed_as: tuple[Id, ...] = ()
    """Complaints by which alone it is noticed; empty where it spoils the cooling."""
    prior: float
    """Relative weight among all root faults."""
    prior_source: str
    repair: Id
    why: Text
    """One sentence: how this fault makes the complaint."""
    rare: bool = False
    """True where it is not thought of together with a second fault."""


class FaultFile(Closed):
    faults: tuple[Fault, ...]


class Complaint(Entry):
    """What the customer or the first look says is wrong; weak evidence."""

    name: Text
    phrases: tuple[str, ...]
    hints: dict[Id, tuple[Id, ...]] = Field(default_factory=dict)
    """check id -> outcomes that the complaint makes likely."""
    found: dict[Id, tuple[Id, ...]] = Field(default_factory=dict)
    """subject -> states that say the same when found: the outdoor unit is still."""
    trust: float = 0.8
    """Probability that the complaint describes the unit rightly."""
    source: str = "estimate"


class ComplaintFile(Closed):
    complaints: tuple[Complaint, ...]

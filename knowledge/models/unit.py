"""A kind of unit as data: nodes (test points), elements (parts and every conductor), situations."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from .entry import Closed, Entry, Id, Text

ElementKind = Literal[
    "source",  # ideal voltage source behind a small resistance, to ground (split-phase centre tap)
    "wire",  # conductor, lug or terminal
    "switch",  # breaker pole, disconnect blade, float switch, pressure switch, thermostat contact
    "fuse",
    "contact",  # contact driven by a relay coil (``by``)
    "coil",  # relay or contactor coil
    "transformer",  # two windings: a-b primary, c-d secondary
    "capacitor",
    "main",  # main (run) winding of a motor named by ``motor``
    "aux",  # auxiliary (start) winding of the same motor
    "overload",  # internal thermal protector of ``motor``
    "load",  # single-phase motor or heater without a capacitor circuit, constant impedance
]


class Element(Entry):
    kind: ElementKind
    name: Text
    """What a technician calls it."""
    a: str
    b: str
    c: str | None = None
    d: str | None = None
    motor: Id | None = None
    by: Id | None = None
    """Coil that drives a contact."""
    values: dict[str, float] = Field(default_factory=dict)
    """Electrical data by name with unit suffix: ohm_dc, lra_a, rla_a, uf, rated_a, pull_in_v, va ..."""
    source: str = "estimate"


class Node(Closed):
    name: Text
    """What a technician calls the test point."""


class Situation(Entry):
    """A state of the whole unit in which something is measured."""

    name: Text
    call: bool
    """Thermostat calls for cooling."""
    isolated: bool
    """Outdoor disconnect open."""
    settled: bool
    """True: minutes after the call (slow consequences have happened); False: the first seconds."""


class Consequence(Entry):
    """A slow effect that the circuit itself does not know."""

    when: tuple[str, ...]
    """Facts that must all hold: ``compressor.locked``, ``not fan.runs``."""
    opens: Id
    """Element that ends up open: overload, pressure switch."""
    after_min: float
    resets_after_min: float
    say: Text
    source: str


class UnitKind(Entry):
    name: Text
    nodes: dict[str, Node]
    elements: tuple[Element, ...]
    situations: tuple[Situation, ...]
    consequences: tuple[Consequence, ...]
    sources: tuple[str, ...]


class UnitFile(Closed):
    unit: UnitKind

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
    "phase",  # one of the three star-connected windings of a three-phase motor named by ``motor``
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
    rests_closed: bool = False
    """True for a contact that its coil opens."""
    phrases: tuple[str, ...] = ()
    """Ways to name a conductor that a clamp is put around, lower case: run lead."""
    clamped_as: Id | None = None
    """Subject whose amps are those of this element, where no check reads them: leg 1."""
    values: dict[str, float] = Field(default_factory=dict)
    """Electrical data by name with unit suffix: ohm_dc, lra_a, rla_a, uf, rated_a, pull_in_v, va ..."""
    source: str = "estimate"


class Node(Closed):
    name: Text
    """What a technician calls the test point."""
    phrases: tuple[str, ...] = ()
    """Ways to name it as one end of a reading, lower case: t1, compressor c. Several points may share one."""
    area: Id | None = None
    """Points of one area are meant together where a name is shared: R to C at the board, C to R of the compressor."""


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


class ElementChange(Closed):
    """What a choice changes on an element that stays: where it is connected, its values."""

    element: Id
    name: Text | None = None
    a: str | None = None
    b: str | None = None
    values: dict[str, float] = Field(default_factory=dict)


class Choice(Entry):
    """One way a unit of the kind may be built; the unit's own elements are the choice that changes nothing."""

    name: Text
    """For lists and the job note: ``one-pole contactor``."""
    phrases: tuple[str, ...]
    """Ways to say that the unit has it, lower case."""
    answers: tuple[str, ...] = ()
    """Short answers to the option's question, lower case, which mean it only right after it: two, the plain one."""
    printed: tuple[Id, ...] = ()
    """Plate items that, told in one note, say so: a 45/5 is a dual capacitor. Then it is not asked."""
    share: float
    """Estimated share of units built so; the largest is taken until the technician says which."""
    without: tuple[Id, ...] = ()
    """Elements that are not there."""
    nodes: dict[str, Node] = Field(default_factory=dict)
    elements: tuple[Element, ...] = ()
    consequences: tuple[Consequence, ...] = ()
    changes: tuple[ElementChange, ...] = ()
    bases: dict[Id, float] = Field(default_factory=dict)
    """Plate item -> the value that the elements stand for, where this choice changes it."""
    line_volts_most: float | None = None
    """Largest plausible reading of the supply, where this choice has another than the checks."""
    tell: Text | None = None
    """What the technician must know about it at once: a danger, a difference in measuring."""
    tell_spoken: Text | None = None


class Option(Entry):
    """Something that differs between units of one kind and changes what there is to measure."""

    name: Text
    ask: Text
    """Question on the screen."""
    spoken: Text
    choices: tuple[Choice, ...]
    asked_before: tuple[Id, ...] = ()
    """Repairs that are not proposed before it was asked: another choice brings faults that look the same."""
    source: str


class UnitKind(Entry):
    name: Text
    phrases: tuple[str, ...] = ()
    """Ways to say that the unit is of this kind, lower case."""
    phrases_with: dict[str, tuple[str, ...]] = Field(default_factory=dict)
    """``option.choice`` -> ways to say the kind and that choice at once: 460 volt three phase."""
    nodes: dict[str, Node]
    elements: tuple[Element, ...]
    situations: tuple[Situation, ...]
    consequences: tuple[Consequence, ...]
    options: tuple[Option, ...] = ()
    bases: dict[Id, float] = Field(default_factory=dict)
    """Plate item -> the value that the elements stand for, where it is not that of ``reasoning.plate_scales``.

    0: the plate does not tell what to expect.
    """
    sources: tuple[str, ...]

    def option(self, option_id: str) -> Option | None:
        """Return an option by its id; None where units of this kind do not differ in it."""
        return next((option for option in self.options if option.id == option_id), None)


class UnitFile(Closed):
    unit: UnitKind

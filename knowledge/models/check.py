"""Checks: what to measure or look at, what it needs, and what each answer is called."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from .entry import Closed, Fitted, Id, PowerNeed, Text
from .signature import Feature


class Volts(Closed):
    kind: Literal["volts"]
    between: tuple[str, str]
    """Two nodes of the unit."""
    at: Id
    """Situation."""


class Amps(Closed):
    kind: Literal["amps"]
    through: Id
    """Element whose current is clamped."""
    at: Id


class Ohms(Closed):
    kind: Literal["ohms"]
    between: tuple[str, str]
    leads_off: tuple[Id, ...] = ()
    """Elements lifted for the measurement."""


class Microfarad(Closed):
    kind: Literal["microfarad"]
    of: Id


class Sense(Closed):
    kind: Literal["sense"]
    fact: Id | None = None
    """Computed fact that gives the outcome (``fan_motion``); None = the faults' ``shows`` decide."""
    normally: dict[Id, float] = Field(default_factory=dict)
    """Outcome probabilities when no fault speaks (only without ``fact``); must sum to 1."""
    gate: Id | None = None
    """What must be seen before the look means anything: a suction line is warm on any unit that stands."""


class Gauge(Closed):
    """A gauge or thermometer reading that means something only together with others, see ``Residual``."""

    kind: Literal["gauge"]


class Residual(Closed):
    """How far the unit runs from where a sound one would, worked out of gauge readings."""

    kind: Literal["residual"]
    of: Feature
    gate: Id
    """What must be seen before the readings count."""
    inputs: tuple[Id, ...]
    """Gauge checks it is worked out of, in the order they are asked."""
    orifice_inputs: tuple[Id, ...] = ()
    """More of them, with a fixed orifice."""
    instead: dict[Id, tuple[Id, ...]] = Field(default_factory=dict)
    """Gauge check -> the inputs it saves, where the instrument shows the result: a superheat read off."""
    from_chart: dict[Id, Id] = Field(default_factory=dict)
    """Pressure -> the saturation temperature read off the cylinder's chart that stands in for it, where the refrigerant
    has no table, or where only that was read."""
    needs_table: bool = False
    """True where nothing but the refrigerant's table will do."""
    sharper: tuple[Id, ...] = ()
    """Gauge checks that sharpen the target where they were read; never asked for its sake."""
    by_device: bool = False
    """True where the target depends on the metering device, so that it must be known."""
    only_without: tuple[Id, ...] = ()
    """Not used beside these: it would count the same readings twice."""


Measure = Annotated[Volts | Amps | Ohms | Microfarad | Sense | Gauge | Residual, Field(discriminator="kind")]


class Answer(Closed):
    """One outcome of a look, listen or ask check."""

    outcome: Id
    name: Text
    states: tuple[Id, ...]
    """Words (states) that mean this outcome."""
    covers: tuple[Id, ...] = ()
    """Outcomes that other words of the same note may name beside it: "hums and wont turn" is the humming one."""
    unfed: bool = False
    """True where it shows that nothing reaches the outdoor unit as found: a tripped breaker, a pulled disconnect."""
    passes: bool = False
    """True for what passes by itself, like ice: what is seen once it has gone does not contradict it."""
    at_least: float | None = None
    below: float | None = None
    """A number in the check's quantity inside [at_least, below) means this outcome too."""


class ByValue(Closed):
    """How a value that is read answers a look."""

    limit: Id
    """Limit rule for the value; it needs its print read."""
    inside: Id
    outside: Id
    """Outcomes for a value inside the limit and outside it."""


class Check(Fitted):
    name: Text
    """Noun phrase for lists and the job note: ``volts across the contactor load side``."""
    about: Id
    also_about: tuple[Id, ...] = ()
    quantity: Id | None = None
    measure: Measure
    answers: tuple[Answer, ...] = ()
    needs: PowerNeed
    tools: tuple[Id, ...] = ()
    energised: bool = False
    """True where it only means something with the unit powered and calling (is the fan turning?)."""
    as_found: bool = False
    """True where it only means something before the technician's own isolation (is the disconnect in?)."""
    yes: tuple[Id, ...] = ()
    """Outcomes that a bare "yes" leaves; empty = yes or no is not an answer."""
    no: tuple[Id, ...] = ()
    plain: bool = False
    """True where the eye is hardly wrong: it is not taken again before a repair that hangs on it."""
    either: tuple[Id, ...] = ()
    """Words (states) that leave more than one outcome on purpose: a fan that is not turning may hum or be silent."""
    covers_off: bool = False
    """True where the access panel must be off: live parts are exposed unless proved dead."""
    setup: Id
    """Checks of one set-up group share the walk, the panel and the power state."""
    minutes: float
    say: Text
    """Instruction on the screen, imperative, full sentence."""
    spoken: Text
    """One short sentence for the ear."""
    why: Text
    limit: Id | None = None
    """Limit rule that says what it should read."""
    by_value: ByValue | None = None
    """For a look that a meter answers as well: a blower capacitor by its microfarads."""
    plausible: tuple[float, float] | None = None
    """Narrower than the quantity's own range; outside it the value is asked back."""
    cautions: tuple[Id, ...] = ()
    read_error_pct: float = 3.0
    """Meter and model spread, one standard deviation, percent of reading."""
    source: str


class CheckFile(Closed):
    checks: tuple[Check, ...]

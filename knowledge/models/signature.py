"""What each refrigerant-side and air-side fault shifts on gauges and thermometers, and when that may be judged."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from .entry import Closed, Id, Text

Positive = Annotated[float, Field(gt=0.0)]
Device = Literal["orifice", "txv"]
Feature = Literal[
    "suction", "superheat", "condensing", "subcooling", "discharge", "compressed", "split", "static", "ratio"
]  # fmt: skip
Shifts = dict[Id, tuple[float, ...]]
"""Feature (or ``amps``, percent) -> shift at each degree, in the feature's unit."""


class Degrees(Closed):
    """How severe a fault may be; the middle one has severity 1."""

    severity: tuple[Positive, ...]
    weight: tuple[Positive, ...]


class FeatureSpread(Closed):
    """Standard deviations of one feature, in its unit."""

    meter: Positive
    """Gauges and thermometers."""
    unit: Positive
    """A sound unit around its target."""
    assumed: float = 0.0
    """More, while the target is a typical one."""
    top: Positive
    """A gross error lies anywhere between minus and plus this."""


class Gate(Closed):
    """One look that must have been answered so before readings count."""

    check: Id
    outcomes: tuple[Id, ...]
    because: Text
    """Why the readings do not count otherwise."""
    opens_later: bool = False
    """True where the same look may be answered otherwise after a while; False where it ends the matter."""


class Target(Closed):
    """Typical values of a sound unit, used while nothing better is known."""

    evaporator_below_return_f: float
    evaporator_below_wet_bulb_f: float
    """The same from the return wet bulb, where that was read."""
    condensing_over_outdoor_f: float
    condensing_by_seer: tuple[tuple[float, float], ...]
    """(SEER from, degrees F over outdoor air), rising; used where the plate item ``seer`` was read."""
    superheat_txv_f: float
    dry_gas_from_f: float
    """Superheat from which on no liquid is taken to come back with the gas."""
    subcooling_f: float
    discharge_over_condensing_f: float
    discharge_extra_f: dict[Id, float] = Field(default_factory=dict)
    """More, for refrigerants that compress hotter."""
    ratio: float


class AtHeight(Closed):
    """What a sound unit shows more at height than at sea level."""

    feet: tuple[float, ...]
    """Elevations in feet, rising from 0."""
    share: Positive
    """Standard deviation of the shift, as a part of it."""
    rows: dict[Device, dict[Id, tuple[float, ...]]]
    """Device -> feature -> shift at each elevation, in the feature's unit."""

    @model_validator(mode="after")
    def _one_shift_for_each_elevation(self) -> AtHeight:
        if any(len(row) != len(self.feet) for rows in self.rows.values() for row in rows.values()):
            raise ValueError(f"each row must have {len(self.feet)} shifts, one for each elevation")
        if list(self.feet) != sorted({0.0, *self.feet}):
            raise ValueError("feet must rise from 0")
        return self


class Fitting(Closed):
    """When the readings by themselves are said to fit one signature."""

    least: int = Field(ge=2)
    """Fewer residuals than this say nothing together."""
    band: Positive
    """A signature is named only where it fits this many times better than any other, and than a sound unit."""
    farthest: Positive
    """Nothing fits where a reading is more standard deviations than this off the best."""
    names: dict[Id, Text]
    """What each signature is called, and ``sound``."""


class Basis(Closed):
    """What a number of the signatures rests on, and why it is as it is."""

    source: Id
    because: Text


class Signatures(Closed):
    degrees: Degrees
    fit: Fitting
    model_share: float
    """Part of the standard deviation that grows with the shift: units differ in how much a fault moves them."""
    device_check: Id
    device_outcomes: dict[Id, Device]
    gates: dict[Id, tuple[Gate, ...]]
    target: Target
    spreads: dict[Feature, FeatureSpread]
    amps_checks: tuple[Id, ...]
    """Meter checks of the running compressor that the amps column scales."""
    at_height: AtHeight
    shifts: dict[Id, dict[Device, Shifts]]
    says: dict[Id, Text]
    differences: tuple[Id, ...]
    """Features that are a difference of two temperatures, not a temperature."""
    source: Id
    sources: tuple[Id, ...]
    rests_on: dict[str, Basis]
    """By the name of the number: ``target.ratio``, ``spreads.meter`` for all features."""

    @model_validator(mode="after")
    def _a_name_for_each_signature(self) -> Signatures:
        if set(self.fit.names) != {"sound", *self.shifts}:
            raise ValueError("fit.names must name every signature of shifts, and sound")
        if set(self.rests_on) != self._numbers():
            differing = ", ".join(sorted(set(self.rests_on) ^ self._numbers()))
            raise ValueError(f"rests_on must say of every number what it rests on: {differing}")
        return self

    def _numbers(self) -> set[str]:
        """Names of the numbers whose basis must be given."""
        named = {"degrees", "model_share", "shifts", "at_height", "fit.least", "fit.band", "fit.farthest"}
        named |= {f"target.{one}" for one in Target.model_fields}
        return named | {f"spreads.{one}" for one in FeatureSpread.model_fields}


class SignatureFile(Closed):
    signatures: Signatures

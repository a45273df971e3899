"""Work, rest and water in the heat."""

from __future__ import annotations

from pydantic import Field

from .electrical_tables import Points
from .entry import Closed, Id, Text


class HeatBand(Closed):
    from_f: float
    """Heat index in degrees F from which it counts."""
    name: Text
    says: Text
    source: Id


class Water(Closed):
    every_min: tuple[float, float]
    cup_oz: float
    most_oz_per_h: float
    drink_f: tuple[float, float]
    source: Id


class Sun(Closed):
    kind: Id
    add_f: float
    source: Id


class Schedule(Closed):
    effort: Id
    normal_to_f: float
    """Adjusted air temperature up to which work is normal."""
    caution_from_f: float
    """From here on no schedule protects."""
    work_min: dict[str, float]
    """Adjusted air temperature in whole degrees F -> minutes of work in an hour; the rest of it is rest."""
    source: Id


class HeatStress(Closed):
    bands: tuple[HeatBand, ...] = Field(min_length=1)
    """By rising heat index."""
    one_band_up: Text
    near_next: Text
    """Said where the meters' error reaches into the next band."""
    water: Water
    sun: tuple[Sun, ...]
    humidity: Points
    """Relative humidity in percent -> degrees F to add."""
    schedules: tuple[Schedule, ...]
    validity: Text
    read_error_f: float
    read_error_rh_pct: float


class HeatStressFile(Closed):
    heat_stress: HeatStress

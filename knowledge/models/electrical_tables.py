"""Numbers of the electrical code that more than one calculation reads."""

from __future__ import annotations

from pydantic import Field

from .entry import Closed, Id, Text


class SourcedValue(Closed):
    value: float
    source: Id


class Sizes(Closed):
    sizes: tuple[float, ...] = Field(min_length=1)
    source: Id


class Points(Closed):
    """A curve: (x, y) by rising x, straight lines between."""

    points: tuple[tuple[float, float], ...] = Field(min_length=2)
    source: Id


class OverloadKind(Closed):
    kind: Id
    name: Text
    value: float
    """Percent of RLA that it may carry for good."""
    source: Id


class ConductorColumn(Closed):
    column_c: int
    """Temperature rating of the terminals, in degrees C."""
    amps: dict[str, float]
    """American wire gauge -> ampacity in A, copper."""
    source: Id


class StartRelay(Closed):
    opens_at_speed_pct: tuple[float, float]
    bleed_ohm: tuple[float, float]
    bleed_w: float
    says: str = Field(max_length=600)
    source: Id


class ElectricalTables(Closed):
    standard_fuses_a: Sizes
    standard_contactors_a: Sizes
    """Full-load ratings of definite-purpose contactors."""
    largest_motor_pct: SourcedValue
    protection_pct: SourcedValue
    protection_ceiling_pct: SourcedValue
    """Where the motor does not start on the former."""
    least_protection_a: SourcedValue
    disconnect_pct: SourcedValue
    assumed_locked_multiple: SourcedValue
    overload_pct: tuple[OverloadKind, ...]
    class_2_limit_va: SourcedValue
    conductors: tuple[ConductorColumn, ...]
    terminals_60_c_up_to_a: SourcedValue
    """Circuits up to here count as having 60 degree terminals unless marked otherwise."""
    conductor_c: SourcedValue
    """Temperature at which the resistance of a loaded conductor is taken, in degrees C."""
    unbalance_derating: Points
    """Voltage unbalance in percent -> share of the rated power."""
    start_relay: StartRelay


class ElectricalTablesFile(Closed):
    electrical_tables: ElectricalTables

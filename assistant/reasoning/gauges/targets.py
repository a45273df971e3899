"""What a sound unit would show: the measured feature, its target, and how well the target is known."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from assistant.physics.atmosphere import absolute_psia
from assistant.physics.errors import OutsideValidity
from assistant.physics.grid import Grid, look_up
from assistant.physics.refrigerant import (
    Curve,
    SaturationTable,
    compressed_gas_f,
    compression_ratio,
    saturation_temperature_f,
    subcooling_f,
    superheat_f,
    target_superheat_f,
)
from assistant.reasoning.height import height_shift, height_spread
from knowledge.base import KnowledgeBase
from knowledge.models.signature import Device

_ELEVATION = "elevation"
"""The plate item that holds the height of the place."""


_CHARTED = {"g_suction": "g_suction_saturation", "g_liquid": "g_liquid_saturation"}
"""Pressure -> its saturation temperature as read off the cylinder's chart or a digital gauge."""


@dataclass(frozen=True)
class Readings:
    """The standing gauge readings by check id, in canonical units, and what the plate says."""

    kb: KnowledgeBase
    values: Mapping[str, float]
    plate: Mapping[str, float]
    refrigerant: str | None
    device: Device | None
    without_table: bool = False
    """True where the plate names a refrigerant, but there is no table for it."""

    @property
    def saturation(self) -> SaturationTable | None:
        """The refrigerant's saturation table; None where the refrigerant is not known or cannot be backed."""
        found = self.kb.saturation.get(self.refrigerant or "")
        if found is None:
            return None
        return SaturationTable(found.id, found.first_f, found.step_f, found.bubble_psia, found.dew_psia)

    @property
    def elevation_ft(self) -> float:
        """Height of the place in feet; the sea's where nobody said."""
        return self.plate.get(_ELEVATION, 0.0)

    def absolute(self, check: str) -> float:
        """Return a pressure reading in psia. Raises OutsideValidity below a vacuum."""
        return absolute_psia(self.values[check], self.elevation_ft)

    def boiling_f(self, check: str, curve: Curve) -> float:
        """Return the saturation temperature in degrees F of a pressure reading in psig, or as read off a chart."""
        table, charted = self.saturation, self.values.get(_CHARTED.get(check, ""))
        if charted is not None and (table is None or check not in self.values):
            return charted
        if table is None:
            raise OutsideValidity(self.kb.signatures.says["no_table"])
        return saturation_temperature_f(table, curve, self.absolute(check))


@dataclass(frozen=True)
class Compared:
    """A feature beside its target, in the feature's unit."""

    measured: float
    target: float
    assumed: bool = False
    """The target is a typical value."""
    spread: float = 0.0
    """Standard deviation that the height of the place adds to the target, in the feature's unit."""


def grid_of(kb: KnowledgeBase, table: str) -> Grid:
    """Return a printed table as a grid."""
    t = kb.tables[table]
    cells = tuple(row.values for row in t.rows)
    return Grid(t.name, t.row_name, t.column_name, t.unit, tuple(r.at for r in t.rows), t.columns, cells, t.dash)


def compare(of: str, readings: Readings) -> Compared:
    """Return a feature and its target at the height of the place.

    Raises OutsideValidity where a table or formula does not reach.
    """
    found, place = _COMPARED[of](readings), (readings.kb, of, readings.elevation_ft, readings.device)
    return replace(found, target=found.target + height_shift(*place), spread=height_spread(*place))


def _suction(r: Readings) -> Compared:
    target, boiling = r.kb.signatures.target, r.boiling_f("g_suction", Curve.DEW)
    if "t_wet_bulb" in r.values:
        return Compared(boiling, r.values["t_wet_bulb"] - target.evaporator_below_wet_bulb_f)
    return Compared(boiling, r.values["t_return"] - target.evaporator_below_return_f, assumed=True)


def _superheat(r: Readings) -> Compared:
    measured = r.values.get("g_superheat")
    if measured is None:
        measured = superheat_f(r.values["g_suction_line"], r.boiling_f("g_suction", Curve.DEW))
    if r.device == "txv":
        return Compared(measured, r.kb.signatures.target.superheat_txv_f, assumed=True)
    table = grid_of(r.kb, "target_superheat")
    return Compared(measured, target_superheat_f(table, r.values["t_outdoor"], r.values["t_wet_bulb"]))


def _condensing(r: Readings) -> Compared:
    target = r.kb.signatures.target
    over, assumed = target.condensing_over_outdoor_f, True
    if "seer" in r.plate:
        over = [f for seer, f in target.condensing_by_seer if r.plate["seer"] >= seer][-1]
        assumed = False
    return Compared(r.boiling_f("g_liquid", Curve.BUBBLE), r.values["t_outdoor"] + over, assumed)


def _subcooling(r: Readings) -> Compared:
    measured = r.values.get("g_subcooling")
    if measured is None:
        measured = subcooling_f(r.boiling_f("g_liquid", Curve.BUBBLE), r.values["g_liquid_line"])
    known = r.plate.get("target_subcooling")
    return Compared(measured, known if known is not None else r.kb.signatures.target.subcooling_f, known is None)


def _discharge(r: Readings) -> Compared:
    target = r.kb.signatures.target
    over = target.condensing_over_outdoor_f + target.discharge_over_condensing_f
    over += target.discharge_extra_f.get(r.refrigerant or "", 0.0)
    return Compared(r.values["g_discharge_line"], r.values["t_outdoor"] + over, assumed=True)


def _compressed(r: Readings) -> Compared:
    saturation = r.kb.saturation.get(r.refrigerant or "")
    if saturation is None:
        raise OutsideValidity(r.kb.signatures.says["no_table"])
    low, high = _pressures(r)
    superheat = superheat_f(r.values["g_suction_line"], r.boiling_f("g_suction", Curve.DEW))
    if superheat < r.kb.signatures.target.dry_gas_from_f:
        raise OutsideValidity(r.kb.signatures.says["wet_suction"])
    made = compressed_gas_f(r.values["g_suction_line"], high / low, saturation.compression_exponent)
    return Compared(r.values["g_discharge_line"], made)


def _split(r: Readings) -> Compared:
    measured = r.values.get("g_split")
    if measured is None:
        measured = r.values["t_return"] - r.values["t_supply"]
    table = grid_of(r.kb, "target_temperature_split")
    return Compared(measured, look_up(table, r.values["t_return"], r.values["t_wet_bulb"]))


def _static(r: Readings) -> Compared:
    return Compared(r.boiling_f("p_standing", Curve.BUBBLE), r.values["t_outdoor"])


def _ratio(r: Readings) -> Compared:
    return Compared(compression_ratio(*_pressures(r)), r.kb.signatures.target.ratio, assumed=True)


def _pressures(r: Readings) -> tuple[float, float]:
    """Suction and liquid pressure in psia. Raises OutsideValidity where the gauges are crossed."""
    low, high = r.absolute("g_suction"), r.absolute("g_liquid")
    if low <= 0 or high < low:
        raise OutsideValidity(r.kb.signatures.says["gauges_crossed"])
    return low, high


_COMPARED: dict[str, Callable[[Readings], Compared]] = {
    "suction": _suction,
    "superheat": _superheat,
    "condensing": _condensing,
    "subcooling": _subcooling,
    "discharge": _discharge,
    "compressed": _compressed,
    "split": _split,
    "static": _static,
    "ratio": _ratio,
}

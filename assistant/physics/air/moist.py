"""Moist air from dry bulb and wet bulb (or relative humidity), by the psychrometric library."""

from __future__ import annotations

from dataclasses import dataclass

import psychrolib

from assistant.physics.errors import OutsideValidity, within

psychrolib.SetUnitSystem(psychrolib.IP)  # global in the library; everything of ours goes through this module

_COLDEST_F, _HOTTEST_F = 32, 140


@dataclass(frozen=True, slots=True)
class MoistAir:
    dry_bulb_f: float
    wet_bulb_f: float
    dew_point_f: float
    humidity_pct: float
    humidity_ratio: float
    """Pounds of water vapour per pound of dry air."""
    enthalpy_btu_lb: float
    """Per pound of dry air, zero for dry air at 0 degrees F."""
    volume_ft3_lb: float
    """Of moist air per pound of dry air."""


def moist_air(dry_bulb_f: float, wet_bulb_f: float, atmosphere_psia: float) -> MoistAir:
    """Return the state of air from dry bulb and wet bulb (degrees F) at the local atmosphere (psia).

    Valid 32 to 140 degrees F, wet bulb not above dry bulb nor below what bone-dry air would show, atmosphere 8
    to 16 psia. Source: psychrolib.
    """
    _in_range(dry_bulb_f, atmosphere_psia)
    within("wet bulb", wet_bulb_f, _driest_wet_bulb_f(dry_bulb_f, atmosphere_psia), dry_bulb_f, "°F (the dry bulb)")
    ratio = psychrolib.GetHumRatioFromTWetBulb(dry_bulb_f, wet_bulb_f, atmosphere_psia)
    humidity = psychrolib.GetRelHumFromHumRatio(dry_bulb_f, ratio, atmosphere_psia)
    return MoistAir(
        dry_bulb_f=dry_bulb_f,
        wet_bulb_f=wet_bulb_f,
        dew_point_f=psychrolib.GetTDewPointFromHumRatio(dry_bulb_f, ratio, atmosphere_psia),
        humidity_pct=100 * humidity,
        humidity_ratio=ratio,
        enthalpy_btu_lb=psychrolib.GetMoistAirEnthalpy(dry_bulb_f, ratio),
        volume_ft3_lb=psychrolib.GetMoistAirVolume(dry_bulb_f, ratio, atmosphere_psia),
    )


def wet_bulb_from_humidity_f(dry_bulb_f: float, humidity_pct: float, atmosphere_psia: float) -> float:
    """Return the wet bulb in degrees F from dry bulb (degrees F) and relative humidity (percent).

    Valid 32 to 140 degrees F, 1 to 100 %, atmosphere 8 to 16 psia. Source: psychrolib.
    """
    _in_range(dry_bulb_f, atmosphere_psia)
    within("relative humidity", humidity_pct, 1, 100, "%")
    return float(psychrolib.GetTWetBulbFromRelHum(dry_bulb_f, humidity_pct / 100, atmosphere_psia))


def _in_range(dry_bulb_f: float, atmosphere_psia: float) -> None:
    within("dry bulb", dry_bulb_f, _COLDEST_F, _HOTTEST_F, "°F")
    within("atmosphere", atmosphere_psia, 8, 16, "psia")


def _driest_wet_bulb_f(dry_bulb_f: float, atmosphere_psia: float) -> float:
    """Below this the library would answer with its smallest humidity ratio whatever the wet bulb."""
    driest: float = psychrolib.GetTWetBulbFromRelHum(dry_bulb_f, 0.01, atmosphere_psia)
    if driest != driest:  # noqa: PLR0124  # not a number
        raise OutsideValidity(f"dry bulb {dry_bulb_f:g} °F: no wet bulb can be calculated")
    return driest

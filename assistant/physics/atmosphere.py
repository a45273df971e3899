"""The air's own pressure: what a gauge leaves out."""

from __future__ import annotations

from .errors import OutsideValidity, within

SEA_LEVEL_PSIA = 14.696
"""Pressure of the standard atmosphere at sea level; the reference of standard air."""

_LAPSE_PER_FT = 6.8754e-6
_EXPONENT = 5.2559


def atmosphere_psia(elevation_ft: float) -> float:
    """Return the standard atmosphere in psia at an elevation in feet: p = 14.696 (1 - 6.8754e-6 z)^5.2559.

    Valid -1500 to 15000 ft above the sea. The weather moves the true pressure by some 0.3 psi.
    Source: ashrae_fundamentals.
    """
    within("elevation", elevation_ft, -1500, 15000, "ft")
    return float(SEA_LEVEL_PSIA * (1 - _LAPSE_PER_FT * elevation_ft) ** _EXPONENT)


def absolute_psia(gauge_psi: float, elevation_ft: float) -> float:
    """Return the absolute pressure in psia of a gauge reading in psig, for a gauge zeroed to the open air there.

    Valid above a perfect vacuum, elevation -1500 to 15000 ft. Source: derived.
    """
    pressure_psia = gauge_psi + atmosphere_psia(elevation_ft)
    if not pressure_psia > 0:
        vacuum = -atmosphere_psia(elevation_ft)
        raise OutsideValidity(f"gauge pressure {gauge_psi:g} psig: must be above {vacuum:.1f} psig, a perfect vacuum")
    return pressure_psia


def gauge_psi(pressure_psia: float, elevation_ft: float) -> float:
    """Return the reading in psig of a gauge zeroed to the open air there, for an absolute pressure in psia.

    Valid from a perfect vacuum up, elevation -1500 to 15000 ft. Source: derived.
    """
    within("pressure", pressure_psia, 0, float("inf"), "psia")
    return pressure_psia - atmosphere_psia(elevation_ft)

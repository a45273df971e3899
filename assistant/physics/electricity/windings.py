"""Windings of a single-phase motor: what three resistances say, and copper as its own thermometer."""

from __future__ import annotations

from enum import StrEnum
from math import inf

from assistant.physics.errors import above, within

COPPER_ZERO_RESISTANCE_C = -234.5
"""Where the straight line of copper's resistance meets zero: 20 - 1/0.00393 (source: nbs_copper)."""


_COPPER_RANGE_C = (-50, 200)


class Windings(StrEnum):
    """What the three resistances between C, S and R leave possible."""

    OK = "ok"
    SUM_RULE_BROKEN = "sum_rule_broken"
    NEAR_ZERO = "near_zero"
    """A winding reads no more than the band: leads not zeroed, wrong range, or shorted."""
    COMMON_MISNAMED = "common_misnamed"
    """The rule holds for another choice of common: the pins are mixed up."""
    START_RUN_SWAPPED = "start_run_swapped"
    """The rule holds but C-S reads less than C-R."""
    OVERLOAD_OR_COMMON_OPEN = "overload_or_common_open"
    START_WINDING_OPEN = "start_winding_open"
    RUN_WINDING_OPEN = "run_winding_open"
    LEAD_OR_MULTIPLE_OPEN = "lead_or_multiple_open"
    CONTRADICTORY = "contradictory"
    """Exactly one pair open: the other two make a path round it, so one reading is wrong."""


def winding_sum_band_ohm(expected_ohm: float, band_ohm: float, band_pct: float) -> float:
    """Return the half width in ohm within which the sum rule counts as kept: the larger of both bands.

    All >= 0. Source: derived.
    """
    within("expected resistance", expected_ohm, 0, inf, "Ω")
    within("band", band_ohm, 0, inf, "Ω")
    return max(band_ohm, expected_ohm * within("band", band_pct, 0, 100, "%") / 100)


def windings_from_ohms(
    c_r_ohm: float | None, c_s_ohm: float | None, s_r_ohm: float | None, band_ohm: float, band_pct: float
) -> Windings:
    """Return what three resistances say: R(S-R) = R(C-S) + R(C-R), and C-S is the larger of the two.

    None = open (over limit). Single-phase motor, leads off. Each resistance >= 0. The band is the caller's.
    Source: textbook_windings.
    """
    opened = (c_r_ohm is None, c_s_ohm is None, s_r_ohm is None)
    if c_r_ohm is None or c_s_ohm is None or s_r_ohm is None:
        return _OPEN.get(opened, Windings.CONTRADICTORY)
    c_r, c_s, s_r = (within("resistance", x, 0, inf, "Ω") for x in (c_r_ohm, c_s_ohm, s_r_ohm))
    if min(c_s, c_r) <= band_ohm:
        return Windings.NEAR_ZERO
    if _adds_up(s_r, c_s + c_r, band_ohm, band_pct):
        swapped = c_r - c_s > winding_sum_band_ohm(c_s, band_ohm, band_pct)
        return Windings.START_RUN_SWAPPED if swapped else Windings.OK
    if _adds_up(c_s, c_r + s_r, band_ohm, band_pct) or _adds_up(c_r, c_s + s_r, band_ohm, band_pct):
        return Windings.COMMON_MISNAMED
    return Windings.SUM_RULE_BROKEN


_OPEN = {
    (True, True, False): Windings.OVERLOAD_OR_COMMON_OPEN,
    (False, True, True): Windings.START_WINDING_OPEN,
    (True, False, True): Windings.RUN_WINDING_OPEN,
    (True, True, True): Windings.LEAD_OR_MULTIPLE_OPEN,
}
"""C-R, C-S, S-R open?"""


def _adds_up(whole_ohm: float, sum_ohm: float, band_ohm: float, band_pct: float) -> bool:
    return abs(whole_ohm - sum_ohm) <= winding_sum_band_ohm(sum_ohm, band_ohm, band_pct)


def copper_resistance_ohm(resistance_ohm: float, at_c: float, wanted_c: float) -> float:
    """Return the resistance in ohm of the same copper at another temperature: R (234.5 + T2) / (234.5 + T1).

    R > 0, temperatures -50 to 200 degrees C. Source: nbs_copper.
    """
    above("resistance", resistance_ohm, 0, "Ω")
    return resistance_ohm * _scale(wanted_c) / _scale(at_c)


def copper_temperature_c(cold_ohm: float, cold_c: float, now_ohm: float) -> float:
    """Return the winding temperature in degrees C from its resistance now: (R2/R1)(234.5 + T1) - 234.5.

    R > 0; cold temperature and result -50 to 200 degrees C. Sensitive, so zero the leads. Source: nbs_copper.
    """
    above("cold resistance", cold_ohm, 0, "Ω")
    above("resistance now", now_ohm, 0, "Ω")
    now_c = now_ohm / cold_ohm * _scale(cold_c) + COPPER_ZERO_RESISTANCE_C
    return within("winding temperature from this resistance", now_c, *_COPPER_RANGE_C, "°C")


def copper_temperature_band_c(
    cold_ohm: float, cold_c: float, now_ohm: float, lead_error_ohm: float
) -> tuple[float, float]:
    """Return the lowest and highest winding temperature in degrees C that an error of the leads leaves possible.

    Each of the two resistances is taken to be off by up to ``lead_error_ohm``, in the worse direction; cut off
    at the range of ``copper_temperature_c``. The error 0 or more and below both resistances. Source: derived.
    """
    error_ohm = within("lead error", lead_error_ohm, 0, inf, "Ω")
    above("cold resistance", cold_ohm, error_ohm, "Ω (the lead error)")
    above("resistance now", now_ohm, error_ohm, "Ω (the lead error)")
    copper_temperature_c(cold_ohm, cold_c, now_ohm)
    ends = (
        (now_ohm + sign * error_ohm) / (cold_ohm - sign * error_ohm) * _scale(cold_c) + COPPER_ZERO_RESISTANCE_C
        for sign in (-1, 1)
    )
    low_c, high_c = ends
    return max(low_c, _COPPER_RANGE_C[0]), min(high_c, _COPPER_RANGE_C[1])


def winding_spread_pct(a_ohm: float, b_ohm: float, c_ohm: float) -> float:
    """Return how far the three windings of a three-phase motor differ, in percent: 100 (max - min) / average.

    Leads off, each > 0. Source: textbook_windings.
    """
    ohms = [above("resistance", x, 0, "Ω") for x in (a_ohm, b_ohm, c_ohm)]
    return 100 * (max(ohms) - min(ohms)) / (sum(ohms) / 3)


def _scale(temp_c: float) -> float:
    return within("temperature", temp_c, *_COPPER_RANGE_C, "°C") - COPPER_ZERO_RESISTANCE_C

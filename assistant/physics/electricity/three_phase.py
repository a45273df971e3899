"""Three-phase supply and motors: unbalance, what it costs, where it comes from, power, a lost phase."""

from __future__ import annotations

from enum import StrEnum
from math import inf, sqrt

from assistant.physics.curves import Curve, on_curve
from assistant.physics.errors import above, within

Legs = tuple[float, float, float]
"""Volts or amps of L1, L2, L3 (or L1-L2, L2-L3, L3-L1), in one unit."""


class Origin(StrEnum):
    """Where a current unbalance comes from."""

    MOTOR = "motor"
    SUPPLY = "supply"
    UNCLEAR = "unclear"


def unbalance_pct(a: float, b: float, c: float) -> float:
    """Return three-phase unbalance in percent: 100 max|x - average| / average. Not (max - min) / average.

    Line-to-line volts, or amps; each >= 0, the average > 0. Source: nema_mg1_12_45.
    """
    average = _average((a, b, c))
    return 100 * max(abs(x - average) for x in (a, b, c)) / average


def unbalance_band_pct(legs: Legs, error_pct: float) -> tuple[float, float]:
    """Return the least and most unbalance in percent that a meter's error leaves possible.

    Each reading is taken to be off by up to ``error_pct`` (0 to 5 %) independently of the others; with one meter
    for all three its common error cancels, so only its repeatability counts. A deviation holds 2/3 of its own
    reading and 1/3 of each other one, so to first order the band is U +/- 4/3 of the error. Source: derived.
    """
    half = 4 / 3 * within("meter error", error_pct, 0, 5, "%")
    middle = unbalance_pct(*legs)
    return max(0.0, middle - half), middle + half


def odd_leg(a: float, b: float, c: float) -> int:
    """Return which leg lies furthest from the average: 0, 1 or 2; the first where two lie equally far.

    Same validity as ``unbalance_pct``. Source: nema_mg1_12_45.
    """
    average = _average((a, b, c))
    return max(range(3), key=lambda leg: abs((a, b, c)[leg] - average))


def unbalance_origin(before: Legs, after: Legs, from_pct: float) -> Origin:
    """Return whether the odd current stayed with the line (supply) or moved with the motor lead (motor).

    ``before`` and ``after``: amps on L1, L2, L3; between them every motor lead was moved on by one line
    (L1 to L2, L2 to L3, L3 to L1), which keeps the direction of turning. Unclear where either set is less
    unbalanced than ``from_pct`` (0 to 100 %). Source: practice.
    """
    within("least unbalance", from_pct, 0, 100, "%")
    if min(unbalance_pct(*before), unbalance_pct(*after)) < from_pct:
        return Origin.UNCLEAR
    was, now = odd_leg(*before), odd_leg(*after)
    if now == was:
        return Origin.SUPPLY
    return Origin.MOTOR if now == (was + 1) % 3 else Origin.UNCLEAR


def derating_share(unbalance: float, curve: Curve) -> float:
    """Return the share of its rated power a motor may give at this voltage unbalance (percent).

    ``curve``: (unbalance in percent, share) in rising order, as the standard's figure has it; straight lines
    between. Valid from the first to the last point of the curve; a motor is not run beyond.
    Source: nema_mg1_12_45.
    """
    return on_curve(curve, unbalance, "voltage unbalance", "%")


def unbalance_heating_pct(unbalance: float) -> float:
    """Return the extra temperature rise of the windings in percent: about 2 U^2. U 0 to 5 %.

    Source: trade_unbalance_heating.
    """
    return 2 * within("voltage unbalance", unbalance, 0, 5, "%") ** 2


def single_phased_current_a(running_a: float) -> float:
    """Return the current in A in the two legs left when a running motor loses one phase: sqrt(3) I.

    Same load, power factor and efficiency taken as unchanged. I >= 0. Source: derived.
    """
    return sqrt(3) * within("running current", running_a, 0, inf, "A")


def three_phase_apparent_va(line_v: float, line_a: float) -> float:
    """Return the three-phase apparent power in VA: sqrt(3) V I, line-to-line volts, line amps, balanced.

    Both >= 0. Source: derived.
    """
    return sqrt(3) * within("voltage", line_v, 0, inf, "V") * within("current", line_a, 0, inf, "A")


def three_phase_power_w(line_v: float, line_a: float, power_factor: float) -> float:
    """Return the three-phase real power in W: sqrt(3) V I pf, balanced.

    V, I >= 0, power factor 0 to 1. Source: derived.
    """
    return three_phase_apparent_va(line_v, line_a) * within("power factor", power_factor, 0, 1, "")


def _average(legs: Legs) -> float:
    values = [within("phase value", x, 0, inf, "V or A") for x in legs]
    return above("average", sum(values) / 3, 0, "V or A")

"""Copper conductors: size of a gauge, resistance, drop along a circuit, and the size a plate asks for."""

from __future__ import annotations

from collections.abc import Mapping
from enum import Enum
from math import inf, pi, sqrt

from assistant.physics.errors import OutsideValidity, above, within

from .windings import copper_resistance_ohm

_COPPER_20_OHM_MM2_PER_M = 1 / 58
"""Resistivity of annealed copper at 20 degrees C (source: iec_60028)."""


class Circuit(Enum):
    """How many lengths of conductor the drop counts: there and back, or the square root of three."""

    SINGLE_PHASE = 2.0
    THREE_PHASE = sqrt(3)


def gauge_area_mm2(gauge: int) -> float:
    """Return the copper area in mm2 of an American wire gauge, solid: d = 0.127 mm 92^((36 - n) / 39).

    Gauge 0000 is -3, 0 is 0; valid -3 to 40. Source: astm_b258.
    """
    within("wire gauge", gauge, -3, 40, "AWG")
    return float(pi / 4 * (0.127 * 92 ** ((36 - gauge) / 39)) ** 2)


def conductor_ohm_per_m(area_mm2: float, temp_c: float) -> float:
    """Return the resistance in ohm of one metre of copper conductor at a temperature (degrees C).

    DC; up to 60 Hz and 100 mm2 the AC value differs by less than 2 %. Stranding adds about 2 %. Area 0.05 to
    100 mm2, temperature -50 to 200 degrees C. Source: iec_60028.
    """
    area = within("area", area_mm2, 0.05, 100, "mm2")
    return copper_resistance_ohm(_COPPER_20_OHM_MM2_PER_M / area, 20, temp_c)


def circuit_drop_v(current_a: float, one_way_m: float, ohm_per_m: float, circuit: Circuit) -> float:
    """Return the drop in V along a circuit of one conductor size: k I L R; k = 2, or sqrt(3) three-phase.

    Resistance only: right to a few percent up to gauge 1 near unity power factor, on the safe side for motors
    in small gauges. ``one_way_m``: length of the run, once. I >= 0, L >= 0, R > 0. Source: derived.
    """
    within("current", current_a, 0, inf, "A")
    within("length", one_way_m, 0, inf, "m")
    return circuit.value * current_a * one_way_m * above("resistance per metre", ohm_per_m, 0, "Ω/m")


def smallest_conductor(needed_a: float, ampacities_a: Mapping[str, float]) -> str:
    """Return the name of the smallest conductor whose ampacity is not below ``needed_a`` (the plate's MCA).

    ``ampacities_a``: name to ampacity in A, of one temperature column, before any correction for a hot place or
    for bundling. Refused above the table's last value. Needed > 0. Source: nec_310_16.
    """
    above("ampacity", needed_a, 0, "A")
    fitting = [(amps, name) for name, amps in ampacities_a.items() if amps >= needed_a]
    if not fitting:
        most = max(ampacities_a.values(), default=0.0)
        raise OutsideValidity(f"ampacity {needed_a:g} A: must be at most {most:g} A, the largest in the table")
    return min(fitting)[1]

"""Supply: drop under load, source impedance, control transformer, bad contacts."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf

from assistant.physics.errors import OutsideValidity, above, within


def voltage_drop_pct(rest_v: float, loaded_v: float) -> float:
    """Return how far the voltage falls under load, in percent of the voltage at rest: 100 (V0 - Vs) / V0.

    V0 > 0, Vs >= 0; negative where the voltage rose. Source: derived.
    """
    above("voltage at rest", rest_v, 0, "V")
    within("voltage under load", loaded_v, 0, inf, "V")
    return 100 * (rest_v - loaded_v) / rest_v


def source_impedance_ohm(rest_v: float, loaded_v: float, current_a: float) -> float:
    """Return the impedance in ohm of supply and wiring up to the point of measurement: (V0 - Vs) / I.

    Magnitudes only (phase neglected), I > 0, 0 <= Vs <= V0. Source: derived.
    """
    above("current", current_a, 0, "A")
    within("voltage under load", loaded_v, 0, rest_v, "V")
    return (rest_v - loaded_v) / current_a


def secondary_voltage_v(rated_secondary_v: float, line_v: float, tap_v: float) -> float:
    """Return a transformer's no-load secondary voltage in V for a given primary tap: Vs = Vr Vline / Vtap.

    Regulation under load neglected. Vr > 0, Vline >= 0, Vtap > 0. Source: derived.
    """
    above("rated secondary voltage", rated_secondary_v, 0, "V")
    within("line voltage", line_v, 0, inf, "V")
    return rated_secondary_v * line_v / above("tap", tap_v, 0, "V")


def secondary_rated_a(rating_va: float, secondary_v: float) -> float:
    """Return the rated secondary current in A: VA / V. VA > 0, V > 0. Source: derived."""
    return above("rating", rating_va, 0, "VA") / above("secondary voltage", secondary_v, 0, "V")


def apparent_power_va(voltage_v: float, current_a: float) -> float:
    """Return the single-phase apparent power in VA: V I. Both >= 0. Source: derived."""
    return within("voltage", voltage_v, 0, inf, "V") * within("current", current_a, 0, inf, "A")


def single_phase_power_w(voltage_v: float, current_a: float, power_factor: float) -> float:
    """Return the single-phase real power in W: V I pf. V, I >= 0, power factor 0 to 1. Source: derived."""
    return apparent_power_va(voltage_v, current_a) * within("power factor", power_factor, 0, 1, "")


def loading_pct(loads_va: Sequence[float], rating_va: float) -> float:
    """Return how loaded a transformer is in percent: 100 sum(VA) / rating.

    Apparent powers are added as if in phase, which is on the safe side. At least one load, each >= 0,
    rating > 0. Sealed coils count with sealed VA, never with V / DC ohms. Source: derived.
    """
    if not loads_va:
        raise OutsideValidity("no load given: must be at least 1")
    whole_va = sum(within("load", load, 0, inf, "VA") for load in loads_va)
    return 100 * whole_va / above("transformer rating", rating_va, 0, "VA")


def class_2_device_ceiling_a(limit_va: float, secondary_v: float) -> float:
    """Return the largest fuse in A behind a class 2 source that does not limit itself: VA limit / V.

    Secondary above 0, at most 30 V (r.m.s.); VA limit > 0. Source: nec_table_11a.
    """
    above("secondary voltage", secondary_v, 0, "V")
    return above("limit", limit_va, 0, "VA") / within("secondary voltage", secondary_v, 0, 30, "V")


def contact_resistance_ohm(drop_v: float, current_a: float) -> float:
    """Return the resistance in ohm of a closed contact, fuse clip or lug: V / I under load.

    Drop >= 0, I > 0. Source: derived.
    """
    return within("drop", drop_v, 0, inf, "V") / above("current", current_a, 0, "A")


def contact_heat_w(drop_v: float, current_a: float) -> float:
    """Return the heat in W made in a contact: V I (resistive, so in phase). Both >= 0. Source: derived."""
    return within("drop", drop_v, 0, inf, "V") * within("current", current_a, 0, inf, "A")


def above_lowest_pct(values: Sequence[float]) -> float:
    """Return how far the worst of similar poles lies above the best, in percent of the best: 100 (max / min - 1).

    Drops or resistances of poles carrying the same current; at least two, each > 0. Source: neta_mts.
    """
    if len(values) < 2:
        raise OutsideValidity(f"{len(values)} pole given: must be at least 2")
    poles = [above("pole", value, 0, "") for value in values]
    return 100 * (max(poles) / min(poles) - 1)

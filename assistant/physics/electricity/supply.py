"""Supply: drop under load, source impedance, unbalance, control transformer taps, bad contacts."""

from __future__ import annotations

from math import inf

from assistant.physics.errors import above, within


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


def unbalance_pct(a: float, b: float, c: float) -> float:
    """Return three-phase unbalance in percent: 100 max|x - average| / average. Not (max - min) / average.

    Line-to-line volts, or amps; each >= 0, the average > 0. Source: nema_mg1_12_45.
    """
    values = [within("phase value", x, 0, inf, "V or A") for x in (a, b, c)]
    average = above("average", sum(values) / 3, 0, "V or A")
    return 100 * max(abs(x - average) for x in values) / average


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


def contact_resistance_ohm(drop_v: float, current_a: float) -> float:
    """Return the resistance in ohm of a closed contact, fuse clip or lug: V / I under load.

    Drop >= 0, I > 0. Source: derived.
    """
    return within("drop", drop_v, 0, inf, "V") / above("current", current_a, 0, "A")


def contact_heat_w(drop_v: float, current_a: float) -> float:
    """Return the heat in W made in a contact: V I (resistive, so in phase). Both >= 0. Source: derived."""
    return within("drop", drop_v, 0, inf, "V") * within("current", current_a, 0, inf, "A")

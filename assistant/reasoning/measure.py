"""Meter readings of a settled unit, with the load of the meter itself."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from knowledge.models.check import Amps, Check, Microfarad, Ohms, Volts
from knowledge.models.reasoning import Meter

from .circuit import Bools, Floats, Wiring
from .circuit_dc import resistance
from .circuit_parts import Changes, Mode
from .snapshot import Snapshot


def volts_readings(
    wiring: Wiring, snap: Snapshot, pairs: Sequence[tuple[str, str]], meter: Meter
) -> tuple[Floats, Floats]:
    """Return (B, pairs) volts as a digital meter shows them, and the source impedance in ohm at those points.

    One inverse serves all pairs of a snapshot.
    """
    a, b = (np.array([wiring.node[pair[end]] for pair in pairs], dtype=np.intp) for end in (0, 1))
    inverse = snap.inverse
    source = inverse[:, a, a] + inverse[:, b, b] - inverse[:, a, b] - inverse[:, b, a]
    across = snap.volts[:, a] - snap.volts[:, b]
    return np.abs(across * meter.input_ohm / (meter.input_ohm + source)), np.abs(source)


def amps_reading(wiring: Wiring, snap: Snapshot, element: str) -> Floats:
    """Return (B,) ampere through an element, as a clamp shows them."""
    return np.abs(snap.current[:, wiring.index[element]])


def ohms_reading(wiring: Wiring, changes: Changes, opened: Bools, how: Ohms, meter: Meter) -> Floats:
    """Return (B,) ohms; nan where the display shows over limit."""
    ohms = resistance(wiring, changes, opened, how.between, how.leads_off)
    return np.where(ohms > meter.over_limit_ohm, np.nan, ohms)


def microfarads(wiring: Wiring, changes: Changes, element: str) -> Floats:
    """Return (B,) microfarad of a capacitor off the line; an open one reads nothing."""
    i = wiring.index[element]
    mode, rated = changes.mode[:, i], wiring.elements[i].values["uf"]
    uf = np.where(mode == Mode.WEAK, rated * changes.value[:, i], rated)
    return np.where(np.isin(mode, (Mode.OPEN, Mode.SHORT)), 0.0, uf)


def readings(
    wiring: Wiring, changes: Changes, snap: Snapshot, checks: Sequence[Check], meter: Meter
) -> tuple[Floats, Floats]:
    """Return (B, checks) readings of meter checks and (B, checks) source impedances in ohm (zero but for volts)."""
    value = np.zeros((snap.volts.shape[0], len(checks)))
    source = np.zeros_like(value)
    volts = [k for k, check in enumerate(checks) if isinstance(check.measure, Volts)]
    points = [check.measure.between for check in checks if isinstance(check.measure, Volts)]
    if volts:
        value[:, volts], source[:, volts] = volts_readings(wiring, snap, points, meter)
    for k, check in enumerate(checks):
        match check.measure:
            case Amps():
                value[:, k] = amps_reading(wiring, snap, check.measure.through)
            case Ohms():
                value[:, k] = ohms_reading(wiring, changes, snap.state.opened, check.measure, meter)
            case Microfarad():
                value[:, k] = microfarads(wiring, changes, check.measure.of)
            case _:
                pass
    return value, source

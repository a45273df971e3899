"""How far a reading may lie from its prediction, on the scale x, for every hypothesis and meter check."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from knowledge.models.check import Amps, Check, Microfarad, Volts
from knowledge.models.fault import Fault
from knowledge.models.reasoning import Errors

from .circuit import Floats
from .hypotheses import Row
from .scale import Scales


@dataclass(frozen=True)
class Spread:
    """(H, C) arrays on the scale x."""

    sigma: Floats
    """Standard deviation of a steady reading."""
    ghost: Floats
    """Probability that a floating point shows a ghost voltage instead."""
    wide: Floats
    """Standard deviation of that."""


def spreads(
    mean: Floats, source: Floats, healthy: Floats, reach: Floats,
    scales: Scales, errors: Errors, checks: Sequence[Check],
) -> Spread:  # fmt: skip
    """Return the spreads of predictions ``mean`` (H, C) met with ``source`` ohm between the test points.

    A floating point either reads what the circuit leaves there or a coupled ghost up to a share of the largest
    voltage of that check. Volts and amps that are neither nothing nor what a good unit gives hang on winding ratios
    and impedances that differ from unit to unit, so they are wider.
    """
    size = np.nan_to_num(mean)
    floating = source / (source + errors.ghost_ohm)
    wide = np.arcsinh((size + errors.ghost_share * reach) / scales.unit) - np.arcsinh(size / scales.unit)
    share = size / np.maximum(healthy, scales.unit)[None, :]
    between = ((share > errors.odd_from) & (share < errors.odd_to)) | (share > errors.odd_over)
    electric = np.array([isinstance(check.measure, Volts | Amps) for check in checks])
    odd = np.where(between & electric[None, :], errors.odd_spread, 0.0)
    sigma = np.hypot(scales.spread[None, :], odd)
    return Spread(sigma, errors.ghost_chance * floating, np.maximum(wide, sigma))


def weak_extra(rows: Sequence[Row], checks: Sequence[Check], faults: Mapping[str, Fault], errors: Errors) -> Floats:
    """Return (H, C) extra spread of a weak part around its branch."""
    out = np.zeros((len(rows), len(checks)))
    for k, check in enumerate(checks):
        if not isinstance(check.measure, Microfarad):
            continue
        weak = {f.id for f in faults.values() for c in f.sets if c.mode == "weak" and c.element == check.measure.of}
        out[[bool(weak & set(row.faults)) for row in rows], k] = errors.weak_spread
    return out


def widened(spread: Spread, extra: Floats | float) -> Spread:
    """Return a spread with independent extra standard deviation."""
    return Spread(np.hypot(spread.sigma, extra), spread.ghost, np.hypot(spread.wide, extra))

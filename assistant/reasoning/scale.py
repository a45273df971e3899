"""The scale on which readings are compared: linear near zero, logarithmic above, so one spread fits both.

x = asinh(value / f), with f = floor / s. Then a standard deviation of s on x is ``floor`` near zero and s x value
for large values. Derived.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from knowledge.models.check import Check
from knowledge.models.reasoning import Errors

from .circuit import Floats


@dataclass(frozen=True)
class Scales:
    """Per meter check: (C,) arrays."""

    unit: Floats
    """f, in the unit of the quantity."""
    spread: Floats
    """s, one standard deviation on x."""
    top: Floats
    """x of the largest value that a gross error may give."""
    can_open: Floats
    """1 where the display can show over limit (ohms)."""

    @classmethod
    def of(cls, checks: Sequence[Check], errors: Errors) -> Scales:
        unit, spread, top, ohms = [], [], [], []
        for check in checks:
            kind = errors.spreads[check.measure.kind]  # type: ignore[index]
            s = float(np.hypot(check.read_error_pct, kind.pct)) / 100.0
            unit.append(kind.floor / s)
            spread.append(s)
            top.append(float(np.arcsinh(kind.top * s / kind.floor)))
            ohms.append(1.0 if check.measure.kind == "ohms" else 0.0)
        return cls(np.array(unit), np.array(spread), np.array(top), np.array(ohms))

    def x(self, value: Floats | float, column: int) -> Floats:
        """Return x of values of one check; nan stays nan."""
        return np.asarray(np.arcsinh(np.asarray(value) / self.unit[column]))

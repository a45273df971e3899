"""What every hypothesis shifts on every residual: means and variances, per metering device."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from assistant.reasoning.circuit import Floats
from assistant.reasoning.evidence import Evidence
from assistant.reasoning.hypotheses import Row
from knowledge.base import KnowledgeBase
from knowledge.models.check import Check, Residual
from knowledge.models.signature import Device

DEVICES: tuple[Device, ...] = ("orifice", "txv")
CUTS = (-3.5, -1.5, 1.5, 3.5)
"""Edges of the planning outcomes, in standard deviations of a sound unit."""


@dataclass(frozen=True)
class ShiftTable:
    """H hypotheses, R residual checks."""

    checks: tuple[Check, ...]
    mean: Mapping[Device, Floats]
    """(H, R) in each residual's unit."""
    grown: Mapping[Device, Floats]
    """(H, R) variance that comes with the shift."""
    base: Floats
    """(R,) variance of meter and sound unit."""
    assumed: Floats
    """(R,) more standard deviation where the target is a typical one; for planning."""
    top: Floats
    """(R,) largest gross error."""

    def column(self, check: str) -> int:
        """Return the column of a residual check. Raises ValueError where it is none."""
        return [c.id for c in self.checks].index(check)

    def density(self, evidence: Evidence, device: Device | None) -> tuple[Floats, float]:
        """Return (H,) likelihood densities of a residual, and the density of a gross error.

        With the device not known, both count half.
        """
        r, x = self.column(evidence.check), evidence.value or 0.0
        parts = [self._normal(x, r, d, evidence.spread) for d in ([device] if device else DEVICES)]
        return np.mean(parts, axis=0), 1.0 / (2.0 * float(self.top[r]))

    def _normal(self, x: float, r: int, device: Device, spread: float) -> Floats:
        variance = self.base[r] + spread**2 + self.grown[device][:, r]
        out: Floats = np.exp(-0.5 * (x - self.mean[device][:, r]) ** 2 / variance) / np.sqrt(2.0 * np.pi * variance)
        return out

    def planning(self, check: str, device: Device | None = None) -> Floats:
        """Return (H, outcomes) probabilities of coarse outcomes: far below, below, about right, above, far above."""
        r = self.column(check)
        own = float(self.base[r] + self.assumed[r] ** 2)
        cuts = np.array(CUTS) * np.sqrt(own)
        parts = []
        for d in [device] if device else DEVICES:
            sigma = np.sqrt(own + self.grown[d][:, r])
            z = np.clip((cuts[None, :] - self.mean[d][:, r, None]) / sigma[:, None], -12, 12)
            below = 1.0 / (1.0 + np.exp(-1.702 * z))
            edges = np.concatenate([np.zeros((z.shape[0], 1)), below, np.ones((z.shape[0], 1))], axis=1)
            parts.append(np.diff(edges, axis=1))
        out: Floats = np.mean(parts, axis=0)
        return out

    def expected(self, check: str, row: int, device: Device | None) -> float:
        """Return what a hypothesis predicts; with the device not known, the mean of both."""
        r = self.column(check)
        return float(np.mean([self.mean[d][row, r] for d in ([device] if device else DEVICES)]))


def shift_table(kb: KnowledgeBase, rows: Sequence[Row]) -> ShiftTable:
    """Return the shifts of all hypotheses; those of two faults add."""
    signatures = kb.signatures
    checks = tuple(check for check in kb.checks.values() if isinstance(check.measure, Residual))
    features = [check.measure.of for check in checks if isinstance(check.measure, Residual)]
    spreads = [signatures.spreads[feature] for feature in features]
    mean = {d: np.zeros((len(rows), len(checks))) for d in DEVICES}
    grown = {d: np.zeros((len(rows), len(checks))) for d in DEVICES}
    for h, row in enumerate(rows):
        for name in row.faults:
            fault = kb.faults[name]
            if fault.signature is None:
                continue
            degree = degree_of(kb, row.severity)
            for d in DEVICES:
                shifts = signatures.shifts[fault.signature][d]
                values = np.array([shifts[f][degree] if f in shifts else 0.0 for f in features])
                mean[d][h] += values
                grown[d][h] += (signatures.model_share * values) ** 2
    return ShiftTable(
        checks,
        mean,
        grown,
        np.array([s.meter**2 + s.unit**2 for s in spreads]),
        np.array([s.assumed for s in spreads]),
        np.array([s.top for s in spreads]),
    )


def degree_of(kb: KnowledgeBase, severity: float) -> int:
    """Return the number of the degree with this severity (pairs carry severity 1)."""
    listed = kb.signatures.degrees.severity
    return min(range(len(listed)), key=lambda k: abs(listed[k] - severity))


def amps_factor(kb: KnowledgeBase, rows: Sequence[Row]) -> Floats:
    """Return (H,) factors on the amps of the running compressor, mean of both devices."""
    out = np.ones(len(rows))
    for h, row in enumerate(rows):
        for name in row.faults:
            signature = kb.faults[name].signature
            if signature is not None:
                degree = degree_of(kb, row.severity)
                columns = [kb.signatures.shifts[signature][d].get("amps") for d in DEVICES]
                out[h] *= 1.0 + float(np.mean([c[degree] for c in columns if c is not None] or [0.0])) / 100.0
    return out

"""How likely a reading or finding is under every hypothesis."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np

from knowledge.models.check import Residual, Sense
from knowledge.models.signature import Device

from .circuit import Bools, Floats
from .evidence import Evidence, Take
from .spread import Spread, widened
from .tables import HEALTHY, UNKNOWN, Tables

KEPT = 500
"""Judged pieces of evidence kept in memory, about 30 kB each."""
RANGE_POINTS = 5
"""A range of values is judged at this many points."""


@dataclass(frozen=True)
class Fit:
    """Likelihoods of one piece of evidence, on a scale of its own."""

    total: Floats
    """(H,) with errors and hedging in it."""
    error: Floats
    """(H,) probability that the evidence is a gross error, if the hypothesis holds."""


@lru_cache(maxsize=8)
def likelihood_for(
    tables: Tables, plate: tuple[tuple[str, float], ...], device: Device | None = None
) -> Likelihood:  # fmt: skip
    """Return the judge for a unit; kept, so that evidence seen before is not judged again."""
    return Likelihood(tables, dict(plate), device)


@dataclass
class Likelihood:
    """Judges evidence against the tables of one unit, with its plate values."""

    tables: Tables
    plate: Mapping[str, float] = field(default_factory=dict)
    device: Device | None = None
    """Metering device, where it was looked at."""
    _seen: dict[tuple[Evidence, Take], Fit] = field(default_factory=dict, init=False, repr=False)

    def __post_init__(self) -> None:
        scales = self.tables.kb.reasoning.plate_scales
        self._ratio = {c: self.plate[s.plate] / s.base for s in scales if s.plate in self.plate for c in s.checks}
        self._extra = {c: s.unknown_spread for s in scales if s.plate not in self.plate for c in s.checks}

    def fit(self, evidence: Evidence, take: Take = Take.ONCE) -> Fit:
        """Return the likelihoods of one piece of evidence.

        Raises KeyError where the check is not known, ValueError where a look names none of its outcomes.
        """
        key = (evidence, take)
        if key not in self._seen:
            if len(self._seen) >= KEPT:
                self._seen.clear()
            self._seen[key] = self._fit(evidence, take)
        return self._seen[key]

    def hint(self, check: str, outcomes: tuple[str, ...], trust: float) -> Fit:
        """Return the likelihoods of a complaint that points at outcomes of a check."""
        return self.fit(Evidence(check, outcomes=outcomes, trust=trust))

    def expected(self, check: str) -> tuple[Floats, Floats]:
        """Return (H,) readings (settled, active) of a meter check, scaled to the plate; nan = over limit."""
        tables = self.tables.holding(check)
        k = tables.column[check]
        p, ratio = tables.predictions, self._ratio.get(check, 1.0)
        return p.settled[:, k] * ratio, p.active[:, k] * ratio

    def _fit(self, evidence: Evidence, take: Take) -> Fit:
        checks = self.tables.checks
        if evidence.check not in checks:
            raise KeyError(f"check {evidence.check!r} is not one of this unit kind")
        errors = self.tables.kb.reasoning.errors
        share = errors.repeated if take is Take.AGREED else 1.0
        if isinstance(checks[evidence.check].measure, Sense):
            own, mistaken = self._look(evidence)
            anything, error = mistaken, errors.sense * share
        elif isinstance(checks[evidence.check].measure, Residual):
            own, mistaken = self.tables.shifts.density(evidence, self.device)
            anything, error = mistaken, errors.gross * share
        else:
            own, mistaken, anything = self._reading(evidence)
            error = errors.gross * share
        own = self._with_unknown(own, anything)
        total = (1.0 - error) * own + error * mistaken
        hedged = evidence.trust * total + (1.0 - evidence.trust) * mistaken
        return Fit(hedged, 1.0 - evidence.trust * (1.0 - error) * own / hedged)

    def _look(self, evidence: Evidence) -> tuple[Floats, float]:
        names = [answer.outcome for answer in self.tables.checks[evidence.check].answers]
        chosen = [names.index(name) for name in evidence.outcomes if name in names]
        if not chosen:
            wanted = ", ".join(names)
            raise ValueError(f"{evidence.check}: {evidence.outcomes} names none of its outcomes ({wanted})")
        return self.tables.seen(evidence.check)[:, chosen].sum(axis=1), len(chosen) / len(names)

    def _reading(self, evidence: Evidence) -> tuple[Floats, float, float]:
        """Return (H,) own density, that of a gross error, and that of anything on the scale."""
        tables = self.tables.holding(evidence.check)
        k = tables.column[evidence.check]
        can_open = bool(tables.scales.can_open[k])
        value = 0.0 if evidence.value is None or evidence.over_limit else abs(evidence.value)
        weight = tables.weight[:, k]
        both = self.expected(evidence.check)
        if can_open and (evidence.over_limit or value >= tables.kb.reasoning.meter.open_from_ohm):
            settled, active = (np.isnan(mean).astype(float) for mean in both)
            return weight * settled + (1.0 - weight) * active, 0.5, 0.5
        x = _points(tables, value, evidence.high, k)
        extra = self._extra.get(evidence.check, 0.0)
        settled, active = (
            _density(tables, x, mean, widened(spread, extra) if extra else spread, k)
            for mean, spread in zip(both, tables.spread, strict=True)
        )
        own = weight * settled + (1.0 - weight) * active
        anything = (0.5 if can_open else 1.0) / float(tables.scales.top[k])
        mistaken = anything if can_open else _mistaken(tables, x, k)
        no_path = bool(np.isnan(tables.predictions.settled[HEALTHY, k]))
        return own, mistaken, 0.0 if no_path else anything  # a path to ground is that fault, no unknown one

    def _with_unknown(self, own: Floats, flat: float) -> Floats:
        """Let the unknown fault follow the average of healthy and single faults, mixed with a flat part."""
        share = self.tables.kb.reasoning.errors.unknown_uniform
        own = self.with_average(own)
        own[UNKNOWN] = share * flat + (1.0 - share) * own[UNKNOWN]
        return own

    def with_average(self, own: Floats) -> Floats:
        """Let the unknown fault follow the average of healthy and single faults: it too shows one thing at a time."""
        weight = self.tables.prior * self.tables.singles
        own = own.copy()
        own[UNKNOWN] = float(weight @ own / weight.sum())
        return own


def _mistaken(tables: Tables, x: Floats, k: int) -> float:
    """Return the density of a gross error: anything on the scale, but often nothing, as a probe did not touch."""
    nothing = tables.kb.reasoning.errors.nothing
    spread = np.array([tables.scales.spread[k]])
    blank = float(_folded(x, np.zeros(1), spread)[0])
    return (1.0 - nothing) / float(tables.scales.top[k]) + nothing * blank


def _points(tables: Tables, low: float, high: float | None, k: int) -> Floats:
    ends = tables.scales.x(low, k), tables.scales.x(low if high is None else abs(high), k)
    return np.linspace(*ends, 1 if high is None else RANGE_POINTS)


def _density(tables: Tables, x: Floats, mean: Floats, spread: Spread, k: int) -> Floats:
    """Return (H,) density on x >= 0, averaged over the points ``x``; nothing where over limit is expected."""
    centre = tables.scales.x(np.nan_to_num(mean), k)
    ghost = spread.ghost[:, k]
    bell = _folded(x, centre, spread.sigma[:, k])
    if ghost.any():
        bell = (1.0 - ghost) * bell + ghost * _folded(x, centre, spread.wide[:, k])
    leak: Bools = tables.leak[:, k]
    anything = 1.0 / float(tables.scales.x(tables.kb.reasoning.meter.open_from_ohm, k))
    out: Floats = np.where(np.isnan(mean), 0.0, np.where(leak, anything, bell))
    return out


def _folded(x: Floats, centre: Floats, sigma: Floats) -> Floats:
    """Return (H,) normal density at the points ``x``, averaged; what would fall below zero is shown as positive."""
    points = np.concatenate([x, -x])[:, None]
    density = np.exp(-0.5 * ((points - centre[None, :]) / sigma[None, :]) ** 2).sum(axis=0)
    out: Floats = density / (sigma * np.sqrt(2 * np.pi) * x.size)
    return out

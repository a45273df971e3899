"""What the gauge and thermometer readings by themselves fit: one fault, a sound unit, several alike, or nothing."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import exp, pi, sqrt
from typing import Literal

from knowledge.base import KnowledgeBase
from knowledge.models.check import Residual
from knowledge.models.signature import Device, Feature

from .derive import Derived

SOUND = "sound"
"""Name of a unit without a fault among the signatures."""
Verdict = Literal["fault", "sound", "cannot_tell", "none_fit"]


@dataclass(frozen=True)
class Fit:
    """What fits, best first: one name, or all that the readings cannot part."""

    verdict: Verdict
    names: tuple[str, ...]


@dataclass(frozen=True)
class _Read:
    feature: Feature
    value: float
    spread: float


def fit_of(kb: KnowledgeBase, stand: Sequence[Derived], device: Device | None) -> Fit | None:
    """Return what the residuals that count fit; None while they are too few, or the metering device is not known.

    A signature is named only where it fits better than any other, and than a sound unit, by more than the band
    (``signatures.fit.band``, a ratio of likelihoods); inside it the answer is that they cannot tell.
    """
    found = list(_read(kb, stand))
    if device is None or len(found) < kb.signatures.fit.least:
        return None
    degrees = kb.signatures.degrees
    likely = {SOUND: _density(kb, found, {})}
    off = {SOUND: _off(kb, found, {})}
    for name, devices in kb.signatures.shifts.items():
        each = [{f: row[k] for f, row in devices[device].items()} for k in range(len(degrees.weight))]
        likely[name] = sum(w * _density(kb, found, one) for w, one in zip(degrees.weight, each, strict=True))
        off[name] = min(_off(kb, found, one) for one in each)
    ranked = sorted(likely, key=lambda name: -likely[name])
    alike = tuple(name for name in ranked if likely[name] * kb.signatures.fit.band >= likely[ranked[0]])
    if off[ranked[0]] > kb.signatures.fit.farthest:
        return Fit("none_fit", alike)
    if len(alike) > 1:
        return Fit("cannot_tell", alike)
    return Fit("sound" if alike == (SOUND,) else "fault", alike)


def _read(kb: KnowledgeBase, stand: Sequence[Derived]) -> list[_Read]:
    found = []
    for one in stand:
        how = kb.checks[one.check].measure
        if isinstance(how, Residual) and one.evidence is not None and one.evidence.value is not None:
            found.append(_Read(how.of, one.evidence.value, one.evidence.spread))
    return found


def _sigma(kb: KnowledgeBase, read: _Read, shift: float) -> float:
    own = kb.signatures.spreads[read.feature]
    return sqrt(own.meter**2 + own.unit**2 + read.spread**2 + (kb.signatures.model_share * shift) ** 2)


def _density(kb: KnowledgeBase, found: Sequence[_Read], shifts: Mapping[str, float]) -> float:
    """Return the likelihood of the readings under one signature at one degree, gross errors allowed for."""
    gross, out = kb.reasoning.errors.gross, 1.0
    for read in found:
        shift = shifts.get(read.feature, 0.0)
        sigma = _sigma(kb, read, shift)
        bell = exp(-0.5 * ((read.value - shift) / sigma) ** 2) / (sigma * sqrt(2 * pi))
        top = kb.signatures.spreads[read.feature].top
        out *= (1.0 - gross) * bell + gross / (2.0 * top)
    return out


def _off(kb: KnowledgeBase, found: Sequence[_Read], shifts: Mapping[str, float]) -> float:
    """Return how many standard deviations the reading that fits worst is off."""
    each = [(read, shifts.get(read.feature, 0.0)) for read in found]
    return max(abs(read.value - shift) / _sigma(kb, read, shift) for read, shift in each)

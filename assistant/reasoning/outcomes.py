"""What each check may show, as a few outcomes with their probabilities under every hypothesis: for planning only.

A meter check's outcomes are cuts between the readings that the hypotheses predict. Evidence itself is judged on the
exact value, see ``likelihood``.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from .circuit import Floats, Ints
from .spread import Spread

if TYPE_CHECKING:
    from .tables import Tables

MOST_CUTS = 10
APART = 3.0
"""Predictions closer than this many standard deviations share an outcome."""


@dataclass(frozen=True)
class Outcomes:
    """All outcomes of all checks side by side."""

    probability: np.ndarray[tuple[int, int], np.dtype[np.float32]]
    """(H, sum of outcomes)"""
    span: dict[str, slice]
    """check id -> its columns."""
    row: Ints
    """Rows in the order of the repair class they belong to; a pair of faults stands in two classes."""
    share: np.ndarray[tuple[int], np.dtype[np.float32]]
    """Share of that row in that class."""
    start: Ints
    """Where each class that has rows begins in ``row``."""

    @cached_property
    def _sorted(self) -> np.ndarray[tuple[int, int], np.dtype[np.float32]]:
        return self.probability[self.row] * self.share[:, None]

    def by_class(self, belief: Floats) -> Floats:
        """Return (classes that have rows, outcomes) joint probabilities of what is needed and what is seen.

        Sums over sorted rows instead of a matrix product: as fast, and not at the mercy of a threaded library that
        waits for a busy second core.
        """
        weighted = self._sorted * belief[self.row].astype(np.float32)[:, None]
        return np.add.reduceat(weighted, self.start, axis=0).astype(np.float64)


def plan_outcomes(tables: Tables) -> Outcomes:
    """Return the planning outcomes of all checks of a unit kind."""
    blocks: list[Floats] = []
    span: dict[str, slice] = {}
    at = 0
    for name in tables.checks:
        block = _block(tables, name)
        block = _unknown_row(tables, block)
        blocks.append(block)
        span[name] = slice(at, at + block.shape[1])
        at += block.shape[1]
    kind, row = np.nonzero(tables.classes)
    share = tables.classes[kind, row].astype(np.float32)
    start = np.flatnonzero(np.diff(kind, prepend=-1))
    return Outcomes(np.concatenate(blocks, axis=1).astype(np.float32), span, row, share, start)


def _block(tables: Tables, check: str) -> Floats:
    if check in tables.predictions.senses:
        return _look(tables, check)
    if check in tables.column:
        return _meter(tables, tables.column[check])
    pure, gross = tables.shifts.planning(check), tables.kb.reasoning.errors.gross
    mixed: Floats = (1.0 - gross) * pure + gross / pure.shape[1]
    return mixed


def _look(tables: Tables, check: str) -> Floats:
    pure = tables.seen(check)
    error = tables.kb.reasoning.errors.sense
    mixed: Floats = (1.0 - error) * pure + error / pure.shape[1]
    return mixed


def _meter(tables: Tables, k: int) -> Floats:
    p, scales = tables.predictions, tables.scales
    x = [scales.x(p.settled[:, k], k), scales.x(p.active[:, k], k)]
    cuts = _cuts(_telling(tables, x), float(scales.spread[k]))
    shares = [_shares(values, spread, k, cuts) for values, spread in zip(x, tables.spread, strict=True)]
    weight = tables.weight[:, k, None]
    pure = weight * shares[0] + (1.0 - weight) * shares[1]
    gross = tables.kb.reasoning.errors.gross
    mixed: Floats = (1.0 - gross) * pure + gross / pure.shape[1]
    return mixed


def _telling(tables: Tables, x: list[Floats]) -> Floats:
    """Return the predictions that outcomes are cut between: of rare faults only what lies beyond all others.

    What lies between would close the gaps that tell the written faults apart.
    """
    both = np.concatenate(x)
    single, rare = np.tile(tables.singles, len(x)), np.tile(tables.rare, len(x))
    usual = both[single & ~rare & np.isfinite(both)]
    if not usual.size:
        return usual
    odd = both[single & rare & np.isfinite(both)]
    return np.concatenate([usual, odd[(odd < usual.min()) | (odd > usual.max())]])


def _cuts(x: Floats, spread: float) -> Floats:
    """Return the cuts halfway between groups of predictions that lie apart."""
    values = np.unique(x[np.isfinite(x)])
    if values.size < 2:
        return np.array([])
    gaps = np.diff(values)
    wide = np.flatnonzero(gaps > APART * spread)
    if wide.size > MOST_CUTS:
        wide = np.sort(wide[np.argsort(gaps[wide])[-MOST_CUTS:]])
    return values[wide] + gaps[wide] / 2.0


def _shares(x: Floats, spread: Spread, k: int, cuts: Floats) -> Floats:
    ghost = spread.ghost[:, k, None]
    steady, floating = _binned(x, spread.sigma[:, k], cuts), _binned(x, spread.wide[:, k], cuts)
    shares: Floats = (1.0 - ghost) * steady + ghost * floating
    return shares


def _binned(x: Floats, sigma: Floats, cuts: Floats) -> Floats:
    """Return (H, cuts + 2) probabilities: the bins between the cuts, then over limit."""
    below = 1.0 / (1.0 + np.exp(-1.702 * np.clip((cuts[None, :] - x[:, None]) / sigma[:, None], -30, 30)))
    edges = np.concatenate([np.zeros((x.size, 1)), below, np.ones((x.size, 1))], axis=1)
    bins = np.diff(edges, axis=1)
    over = np.isnan(x)
    return np.concatenate([np.where(over[:, None], 0.0, bins), over[:, None].astype(float)], axis=1)


def _unknown_row(tables: Tables, block: Floats) -> Floats:
    """Let the unknown fault follow the average of the single ones, mixed with a flat part."""
    share = tables.kb.reasoning.errors.unknown_uniform
    weight = tables.prior * tables.singles
    mean = weight @ block / weight.sum()
    block = block.copy()
    block[1] = share / block.shape[1] + (1.0 - share) * mean
    return block

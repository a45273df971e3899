"""What every hypothesis predicts for every check, and keeping it between runs."""

from __future__ import annotations

import contextlib
import os
import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from zipfile import BadZipFile

import numpy as np
from numpy.typing import NDArray

from .circuit import Bools, Floats, Ints

Array = NDArray[Any]


@dataclass(frozen=True)
class Predictions:
    """What the checks show on the settled unit and while it is active; H hypotheses, C meter checks.

    Active: the slow consequences are not there, as the unit was just restarted or they have reset.
    """

    settled: Floats
    """(H, C) readings; nan = over limit."""
    active: Floats
    """(H, C) readings; nan = over limit."""
    settled_source: Floats
    """(H, C) ohm between the test points: large means a floating reading."""
    active_source: Floats
    """(H, C) ohm."""
    settled_points: Array
    """(H, P) volts between any two named test points and amps in leads, half precision."""
    active_points: Array
    settled_points_source: Array
    """(H, P) of ``coded`` ohm between them."""
    active_points_source: Array
    live: Floats
    """(H,) probability that the unit is met settled."""
    dead: Floats
    """(H,) probability that what opened slowly is still open when ohms are taken."""
    events: Bools
    """(H, events)"""
    senses: dict[str, tuple[Floats, Floats]]
    """check id -> (H, outcomes) settled and active, before human error."""

    @classmethod
    def of(cls, arrays: Mapping[str, Array], senses: Mapping[str, tuple[Array, Array]]) -> Predictions:
        """Return predictions from arrays by field name."""
        return cls(senses=dict(senses), **{name: arrays[name] for name in PLAIN})

    @classmethod
    def joined(cls, parts: Sequence[Predictions]) -> Predictions:
        """Return the predictions of consecutive hypotheses as one."""
        arrays = {name: np.concatenate([getattr(p, name) for p in parts]) for name in PLAIN}
        senses = {
            name: (
                np.concatenate([p.senses[name][0] for p in parts]),
                np.concatenate([p.senses[name][1] for p in parts]),
            )
            for name in parts[0].senses
        }
        return cls.of(arrays, senses)

    def rows(self, pick: Ints) -> Predictions:
        """Return the picked rows."""
        senses = {name: (settled[pick], active[pick]) for name, (settled, active) in self.senses.items()}
        return self.of({name: getattr(self, name)[pick] for name in PLAIN}, senses)


PLAIN = (
    "settled", "active", "settled_source", "active_source", "settled_points", "active_points",
    "settled_points_source", "active_points_source", "live", "dead", "events",
)  # fmt: skip

_STEPS_PER_DECADE = 20
_LEAST_OHM = 1e-2


def coded(ohm: Floats) -> Array:
    """Return impedances in ohm in one byte each, twenty steps to the decade from 0.01 ohm on: 6 % at most off."""
    steps = np.log10(np.maximum(ohm, _LEAST_OHM) / _LEAST_OHM) * _STEPS_PER_DECADE
    out: Array = np.minimum(np.rint(steps), 255).astype(np.uint8)
    return out


def decoded(code: Array) -> Floats:
    """Return the impedances in ohm that ``coded`` kept."""
    out: Floats = _LEAST_OHM * 10.0 ** (code.astype(float) / _STEPS_PER_DECADE)
    return out


def load(path: Path, rows: int) -> Predictions | None:
    """Return stored predictions; None where there are none for this many rows, or the file is damaged."""
    try:
        with path.open("rb") as file, np.load(file, allow_pickle=False) as stored:
            arrays = {name: stored[name] for name in stored.files}
    except (OSError, ValueError, BadZipFile, KeyError, EOFError):
        return None
    if any(name not in arrays or arrays[name].shape[0] != rows for name in PLAIN):
        return None
    names = [name.removeprefix("settled:") for name in arrays if name.startswith("settled:")]
    return Predictions.of(arrays, {name: (arrays[f"settled:{name}"], arrays[f"active:{name}"]) for name in names})


def save(path: Path, predictions: Predictions) -> None:
    """Store predictions; the file appears whole or not at all."""
    arrays = {name: getattr(predictions, name) for name in PLAIN}
    for name, (settled, active) in predictions.senses.items():
        arrays |= {f"settled:{name}": settled, f"active:{name}": active}
    with contextlib.suppress(OSError):  # an unwritable cache only costs a second at the next start
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, part = tempfile.mkstemp(dir=path.parent, suffix=".npz.part")
        try:
            with os.fdopen(handle, "wb") as file:
                np.savez(file, **arrays)
            Path(part).replace(path)
        finally:
            Path(part).unlink(missing_ok=True)

"""A batch of units at rest in one situation: everything that can be measured of them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import IntEnum
from functools import cached_property

import numpy as np

from .circuit import Bools, Complexes, Floats, Ints
from .circuit_parts import Electric, State


class Motion(IntEnum):
    """What a motor does."""

    SILENT = 0
    HUMMING = 1
    LOCKED = 2
    RUNNING = 3


@dataclass(frozen=True)
class Solution:
    """The circuit of a batch of B hypotheses, solved as its switches stand."""

    matrix: Complexes
    electric: Electric
    volts: Complexes
    """(B, N + 1) node voltages; the last column is ground."""
    current: Complexes
    """(B, E) ampere."""

    def copy(self) -> Solution:
        """Return a solution whose rows may be put anew."""
        return Solution(self.matrix.copy(), self.electric.copy(), self.volts.copy(), self.current.copy())

    def put(self, pick: Ints, part: Solution) -> None:
        """Take over the picked rows."""
        self.electric.put(pick, part.electric)
        self.matrix[pick], self.volts[pick], self.current[pick] = part.matrix, part.volts, part.current


@dataclass(frozen=True)
class Snapshot(Solution):
    """The unit at rest in one situation: the solved circuit, and what motors and relays do in it."""

    state: State
    motion: Ints
    """(B, motors) of Motion."""
    torque: Floats
    """(B, motors) starting torque as share of the sound unit's."""
    chatter: Bools
    """(B, coils)"""
    happened: Bools
    """(B, consequences)"""

    @cached_property
    def inverse(self) -> Complexes:
        """(B, N + 1, N + 1) ohm between every two nodes and ground, which is the last."""
        n = self.matrix.shape[1]
        found = np.zeros((self.matrix.shape[0], n + 1, n + 1), dtype=np.complex128)
        found[:, :n, :n] = np.linalg.inv(self.matrix)
        return found

    def rows(self, pick: Ints) -> Snapshot:
        """Return the picked hypotheses."""
        return replace(
            self,
            state=self.state.rows(pick),
            electric=self.electric.rows(pick),
            **{name: getattr(self, name)[pick] for name in _ARRAYS},
        )


_ARRAYS = ("matrix", "volts", "current", "motion", "torque", "chatter", "happened")

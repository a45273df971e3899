"""The unit's wiring as an AC network at line frequency, solved for a batch of hypotheses at once.

Complex nodal analysis: every element is an admittance between two nodes, ground is the reference. A running motor
adds a voltage-controlled current source: the rotor induces a voltage in the start winding that leads the run
winding's by 90 degrees (textbook two-winding model of the capacitor motor; from memory). Source: IEEE-style nodal
analysis, derived.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from knowledge.models.reasoning import Physics
from knowledge.models.unit import Element, UnitKind

Floats: TypeAlias = NDArray[np.float64]
Complexes: TypeAlias = NDArray[np.complex128]
Bools: TypeAlias = NDArray[np.bool_]
Ints: TypeAlias = NDArray[np.intp]

GROUND = "G"


@dataclass(frozen=True)
class Motor:
    """Indices of the elements that make one motor."""

    id: str
    main: int
    """Run winding; of a three-phase motor its first."""
    aux: int | None
    """Start winding of a capacitor motor."""
    windings: tuple[int, ...]


@dataclass(frozen=True, eq=False)
class Wiring:
    """Indices into the unit's nodes (ground is -1) and elements."""

    unit: UnitKind
    physics: Physics

    @cached_property
    def elements(self) -> tuple[Element, ...]:
        return self.unit.elements

    @cached_property
    def index(self) -> dict[str, int]:
        return {element.id: i for i, element in enumerate(self.elements)}

    @cached_property
    def node(self) -> dict[str, int]:
        named = [name for name in self.unit.nodes if name != GROUND]
        return {GROUND: -1} | {name: i for i, name in enumerate(named)}

    @property
    def size(self) -> int:
        """Number of nodes without ground."""
        return len(self.node) - 1

    @cached_property
    def ends(self) -> Ints:
        """(E, 2) node numbers of each element's a and b."""
        return np.array([[self.node[e.a], self.node[e.b]] for e in self.elements], dtype=np.intp)

    def of_kind(self, *kinds: str) -> list[int]:
        """Return the element numbers of these kinds."""
        return [i for i, e in enumerate(self.elements) if e.kind in kinds]

    @cached_property
    def motors(self) -> tuple[Motor, ...]:
        windings: dict[str, list[int]] = {}
        for i in self.of_kind("main", "aux", "phase"):
            windings.setdefault(self.elements[i].motor or "", []).append(i)
        found = []
        for name, listed in windings.items():
            aux = next((i for i in listed if self.elements[i].kind == "aux"), None)
            main = next(i for i in listed if i != aux)
            found.append(Motor(name, main, aux, tuple(listed)))
        return tuple(found)

    @cached_property
    def coils(self) -> tuple[int, ...]:
        return tuple(self.of_kind("coil"))

    @cached_property
    def coil_of(self) -> dict[int, int]:
        """Contact element -> position of its coil in ``coils``."""
        return {i: self.coils.index(self.index[self.elements[i].by or ""]) for i in self.of_kind("contact")}

    @cached_property
    def motor_of(self) -> dict[int, int]:
        """Winding element -> position of its motor in ``motors``."""
        return {w: m for m, motor in enumerate(self.motors) for w in motor.windings}

    @cached_property
    def insulates(self) -> Bools:
        """(E,) what keeps two conductors apart: it passes nothing until it is shorted."""
        return np.array([bool(e.values.get("insulates")) for e in self.elements])

    def ganged(self, i: int) -> list[int]:
        """Return the elements that open together with element ``i``: itself, and those of one kind and gang."""
        gang = self.elements[i].values.get("gang")
        if gang is None:
            return [i]
        return [j for j in self.of_kind(self.elements[i].kind) if self.elements[j].values.get("gang") == gang]

    def marked(self, mark: str) -> list[int]:
        """Return the elements whose values carry this mark (``call``, ``isolates``)."""
        return [i for i, e in enumerate(self.elements) if e.values.get(mark)]

    @cached_property
    def transformers(self) -> tuple[int, ...]:
        return tuple(self.of_kind("transformer"))

    def branch(self, i: int) -> list[tuple[int, float]]:
        """Return (node, weight) of the voltage that drives element ``i``; a transformer is seen from its secondary."""
        element = self.elements[i]
        a, b = self.node[element.a], self.node[element.b]
        if element.kind != "transformer":
            return [(a, 1.0), (b, -1.0)]
        ratio = element.values["secondary_v"] / element.values["primary_v"]
        c, d = self.node[element.c or ""], self.node[element.d or ""]
        return [(a, ratio), (b, -ratio), (c, -1.0), (d, 1.0)]

    @cached_property
    def stamps(self) -> list[tuple[int, int, int, float]]:
        """(row, column, element, weight): where each element's admittance enters the matrix."""
        out = []
        for i in range(len(self.elements)):
            ports = self.branch(i)
            out += [(m, n, i, u * w) for m, u in ports for n, w in ports if m >= 0 and n >= 0]
        return out


def node_matrix(wiring: Wiring, y: Complexes, shunt: Floats, coupling: Complexes, magnetising: Complexes) -> Complexes:
    """Return the (B, N, N) nodal admittance matrices in siemens.

    ``y`` (B, E) element admittances; ``shunt`` (B, E) siemens from node a to ground; ``coupling`` (B, M) admittance
    of the start winding times the induced voltage ratio, zero while the motor stands; ``magnetising`` (B, T).
    """
    n = wiring.size
    matrix = np.zeros((n, n, y.shape[0]), dtype=np.complex128)
    for row, col, i, weight in wiring.stamps:
        matrix[row, col] += weight * y[:, i]
    for m, motor in enumerate(wiring.motors):
        if motor.aux is None:
            continue
        for row, row_sign in zip(wiring.ends[motor.aux], (1.0, -1.0), strict=True):
            for col, col_sign in zip(wiring.ends[motor.main], (1.0, -1.0), strict=True):
                if row >= 0 and col >= 0:
                    matrix[row, col] -= row_sign * col_sign * coupling[:, m]
    for t, i in enumerate(wiring.transformers):
        a, b = wiring.ends[i].tolist()
        matrix[a, a] += magnetising[:, t]
        matrix[b, b] += magnetising[:, t]
        matrix[a, b] -= magnetising[:, t]
        matrix[b, a] -= magnetising[:, t]
    for leaking in np.flatnonzero(shunt.any(axis=0)):
        node = int(wiring.ends[leaking, 0])
        if node >= 0:
            matrix[node, node] += shunt[:, leaking]
    matrix[np.arange(n), np.arange(n)] += 1.0 / wiring.physics.leak_ohm
    return np.ascontiguousarray(matrix.transpose(2, 0, 1))


def with_ground(v: Complexes) -> Complexes:
    """Append the ground node (zero volts) so that index -1 means ground: (B, N) -> (B, N + 1)."""
    return np.concatenate([v, np.zeros((v.shape[0], 1), dtype=v.dtype)], axis=1)


def element_currents(wiring: Wiring, v: Complexes, y: Complexes, coupling: Complexes, drive: Complexes) -> Complexes:
    """Return (B, E) complex currents in ampere, from a to b (transformer: secondary current); ``v`` (B, N + 1).

    ``drive`` (B, E): source voltages in series with the element.
    """
    current = np.empty_like(y)
    for i in range(y.shape[1]):
        across = sum(weight * v[:, node] for node, weight in wiring.branch(i))
        current[:, i] = y[:, i] * (across - drive[:, i])
    for m, motor in enumerate(wiring.motors):
        if motor.aux is None:
            continue
        a, b = wiring.ends[motor.main]
        current[:, motor.aux] -= coupling[:, m] * (v[:, a] - v[:, b])
    return current

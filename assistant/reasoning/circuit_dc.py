"""Ohmmeter readings: the dead unit as a network of direct-current resistances, with leads lifted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from knowledge.models.unit import Element

from .circuit import GROUND, Bools, Floats, Ints, Wiring
from .circuit_parts import Changes, Mode

_DC_NAMES = {"main": "ohm_dc", "phase": "ohm_dc", "aux": "ohm_dc", "coil": "ohm_dc", "load": "ohm_dc"}


@dataclass(frozen=True)
class _Path:
    """A two-terminal resistance; ``element`` is its number (a transformer has two paths)."""

    element: int
    a: int
    b: int
    siemens: float


def _paths(wiring: Wiring) -> list[_Path]:
    """Return the conducting paths of the sound, dead unit; capacitors block, driven contacts are at rest."""
    out = []
    for i, e in enumerate(wiring.elements):
        a, b = (int(n) for n in wiring.ends[i])
        if e.kind == "transformer":
            out.append(_Path(i, a, b, 1.0 / e.values["ohm_primary"]))
            out.append(_Path(i, wiring.node[e.c or ""], wiring.node[e.d or ""], 1.0 / e.values["ohm_secondary"]))
        else:
            out.append(_Path(i, a, b, _siemens(e)))
    return out


def _siemens(e: Element) -> float:
    if e.kind == "capacitor" or e.values.get("isolates"):
        return 0.0
    return 1.0 / e.values[_DC_NAMES.get(e.kind, "ohm")]


@dataclass(frozen=True)
class _Net:
    """The paths that an ohmmeter at two points can see, and the nodes they join, numbered from 0 (ground is -1)."""

    paths: tuple[_Path, ...]
    elements: Ints
    """(paths,) element of each path."""
    probe: Floats
    """(nodes,) where the meter feeds its current."""


@lru_cache(maxsize=256)
def _net(wiring: Wiring, between: tuple[str, str], lifted: tuple[str, ...]) -> _Net:
    off = {wiring.index[name] for name in lifted}
    paths = [p for p in _paths(wiring) if p.element not in off]
    near = _reach(paths, {wiring.node[name] for name in between if name != GROUND})
    number = {node: place for place, node in enumerate(sorted(near))} | {-1: -1}
    seen = tuple(
        _Path(p.element, number[p.a], number[p.b], p.siemens) for p in paths if p.a in near or p.b in near
    )  # fmt: skip
    probe = np.zeros(len(near))
    for name, sign in zip(between, (1.0, -1.0), strict=True):
        if name != GROUND:
            probe[number[wiring.node[name]]] = sign
    return _Net(seen, np.array([p.element for p in seen], dtype=np.intp), probe)


def resistance(
    wiring: Wiring, changes: Changes, opened: Bools, between: tuple[str, str], lifted: Sequence[str]
) -> Floats:
    """Return (B,) ohms between two nodes with the elements ``lifted`` taken off; no upper limit is applied.

    Rows that share the same resistances are solved once.
    """
    net = _net(wiring, between, tuple(lifted))
    mode, value, open_ = changes.mode[:, net.elements], changes.value[:, net.elements], opened[:, net.elements]
    alike = np.ascontiguousarray(np.concatenate([mode, value, open_], axis=1))
    _, first, where = np.unique(
        alike.view(np.dtype((np.void, alike.itemsize * alike.shape[1])))[:, 0], return_index=True, return_inverse=True
    )
    mode, value, open_ = mode[first], value[first], open_[first]
    g = np.stack(
        [_conductance(wiring, p, mode[:, k], value[:, k], open_[:, k]) for k, p in enumerate(net.paths)], axis=1
    )
    shunt = np.where(mode == Mode.GROUND, 1.0 / np.maximum(value, 1e-6), 0.0)
    ohms: Floats = _solve(wiring, net, g, shunt)[where.reshape(-1)]
    return ohms


def _conductance(wiring: Wiring, path: _Path, mode: NDArray[np.int8], value: Floats, opened: Bools) -> Floats:
    shut = 1.0 / wiring.physics.open_ohm
    element = wiring.elements[path.element]
    sound = np.full(mode.shape, max(path.siemens, shut))
    if element.kind == "contact" and not element.rests_closed:
        sound = np.where(mode == Mode.STUCK_CLOSED, sound, shut)
    shut_off = (sound <= shut) & (not element.values.get("insulates"))
    changed = ((mode == Mode.RESISTIVE) | (mode == Mode.SHORT)) & ~shut_off
    g = np.where(changed, 1.0 / np.maximum(value, 1e-6), sound)
    return np.where((mode == Mode.OPEN) | opened, shut, g)


def _reach(paths: list[_Path], start: set[int]) -> set[int]:
    """Return the nodes that hang together with ``start`` without going through ground."""
    near, frontier = set(start), set(start)
    while frontier:
        beside = {n for p in paths for n in (p.a, p.b) if (p.a in frontier or p.b in frontier) and n >= 0}
        frontier = beside - near
        near |= frontier
    return near


def _solve(wiring: Wiring, net: _Net, g: Floats, shunt: Floats) -> Floats:
    n = net.probe.size
    matrix = np.zeros((g.shape[0], n, n))
    matrix[:, np.arange(n), np.arange(n)] = 1.0 / wiring.physics.leak_ohm
    for k, p in enumerate(net.paths):
        for row, row_sign in ((p.a, 1.0), (p.b, -1.0)):
            for col, col_sign in ((p.a, 1.0), (p.b, -1.0)):
                if row >= 0 and col >= 0:
                    matrix[:, row, col] += row_sign * col_sign * g[:, k]
        if p.a >= 0:
            matrix[:, p.a, p.a] += shunt[:, k]
    volts = np.linalg.solve(matrix, np.broadcast_to(net.probe[:, None], (g.shape[0], n, 1)))[..., 0]
    return volts @ net.probe

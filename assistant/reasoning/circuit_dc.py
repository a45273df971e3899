"""Ohmmeter readings: the dead unit as a network of direct-current resistances, with leads lifted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from knowledge.models.unit import Element

from .circuit import GROUND, Bools, Floats, Wiring
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


def resistance(
    wiring: Wiring, changes: Changes, opened: Bools, between: tuple[str, str], lifted: Sequence[str]
) -> Floats:
    """Return (B,) ohms between two nodes with the elements ``lifted`` taken off; no upper limit is applied.

    Rows that share the same resistances are solved once.
    """
    off = {wiring.index[name] for name in lifted}
    paths = [p for p in _paths(wiring) if p.element not in off]
    near = _reach(paths, {wiring.node[name] for name in between if name != GROUND})
    paths = [p for p in paths if p.a in near or p.b in near]
    g = np.stack([_conductance(wiring, p, changes, opened) for p in paths], axis=1)
    shunted = [p.element for p in paths]
    shunt = np.where(changes.mode[:, shunted] == Mode.GROUND, 1.0 / np.maximum(changes.value[:, shunted], 1e-6), 0.0)
    key, where = np.unique(np.concatenate([g, shunt], axis=1), axis=0, return_inverse=True)
    ohms = _solve(wiring, paths, key[:, : len(paths)], key[:, len(paths) :], between)
    return ohms[where.reshape(-1)]


def _conductance(wiring: Wiring, path: _Path, changes: Changes, opened: Bools) -> Floats:
    mode, value = changes.mode[:, path.element], changes.value[:, path.element]
    shut = 1.0 / wiring.physics.open_ohm
    element = wiring.elements[path.element]
    sound = np.full(mode.shape, max(path.siemens, shut))
    if element.kind == "contact" and not element.rests_closed:
        sound = np.where(mode == Mode.STUCK_CLOSED, sound, shut)
    changed = np.isin(mode, (Mode.RESISTIVE, Mode.SHORT)) & (sound > shut)
    g = np.where(changed, 1.0 / np.maximum(value, 1e-6), sound)
    return np.where((mode == Mode.OPEN) | opened[:, path.element], shut, g)


def _reach(paths: list[_Path], start: set[int]) -> set[int]:
    """Return the nodes that hang together with ``start`` without going through ground."""
    near, frontier = set(start), set(start)
    while frontier:
        beside = {n for p in paths for n in (p.a, p.b) if (p.a in frontier or p.b in frontier) and n >= 0}
        frontier = beside - near
        near |= frontier
    return near


def _solve(wiring: Wiring, paths: list[_Path], g: Floats, shunt: Floats, between: tuple[str, str]) -> Floats:
    n = wiring.size
    matrix = np.zeros((g.shape[0], n, n))
    matrix[:, np.arange(n), np.arange(n)] = 1.0 / wiring.physics.leak_ohm
    for k, p in enumerate(paths):
        for row, row_sign in ((p.a, 1.0), (p.b, -1.0)):
            for col, col_sign in ((p.a, 1.0), (p.b, -1.0)):
                if row >= 0 and col >= 0:
                    matrix[:, row, col] += row_sign * col_sign * g[:, k]
        if p.a >= 0:
            matrix[:, p.a, p.a] += shunt[:, k]
    probe = np.zeros(n)
    for name, sign in zip(between, (1.0, -1.0), strict=True):
        if name != GROUND:
            probe[wiring.node[name]] = sign
    volts = np.linalg.solve(matrix, np.broadcast_to(probe[:, None], (g.shape[0], n, 1)))[..., 0]
    return volts @ probe

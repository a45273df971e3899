"""What each part is electrically: element values -> admittance at line frequency, in every state the part can have."""

from __future__ import annotations

import cmath
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import IntEnum
from typing import Any

import numpy as np

from knowledge.models.unit import Element

from .circuit import Bools, Complexes, Floats, Ints, Wiring


class Mode(IntEnum):
    """How a fault changes an element; NONE leaves it as it is."""

    NONE = 0
    OPEN = 1
    SHORT = 2
    GROUND = 3
    RESISTIVE = 4
    WEAK = 5
    STUCK_CLOSED = 6
    SEIZED = 7
    SWAPPED = 8
    """Two supply legs changed over: given to both of them."""


@dataclass(frozen=True)
class Changes:
    """Changes of a batch of hypotheses. ``mode`` (B, E) of Mode, ``value`` (B, E) ohms or share."""

    mode: np.ndarray[tuple[int, int], np.dtype[np.int8]]
    value: Floats

    def rows(self, pick: np.ndarray[tuple[int], np.dtype[np.intp]] | slice) -> Changes:
        """Return the picked rows."""
        return Changes(self.mode[pick], self.value[pick])


@dataclass
class State:
    """Switching state of a batch, changed in place while it settles."""

    closed: Bools
    """(B, coils) contacts pulled in."""
    running: Bools
    """(B, motors)"""
    opened: Bools
    """(B, E) fuses blown, overloads and pressure switches open, contacts of the situation open."""
    backwards: Bools
    """(B, motors) running against its direction, as a three-phase motor does with two legs changed over."""

    @classmethod
    def of(cls, closed: Bools, running: Bools, opened: Bools) -> State:
        """Return a state in which nothing runs backwards."""
        return cls(closed, running, opened, np.zeros_like(running))

    def copy(self) -> State:
        """Return a state that may settle on without changing this one."""
        return State(self.closed.copy(), self.running.copy(), self.opened.copy(), self.backwards.copy())

    def put(self, pick: np.ndarray[tuple[int], np.dtype[np.intp]], part: State) -> None:
        """Take over the picked rows."""
        self.closed[pick], self.running[pick] = part.closed, part.running
        self.opened[pick], self.backwards[pick] = part.opened, part.backwards

    def rows(self, pick: np.ndarray[tuple[int], np.dtype[np.intp]] | slice) -> State:
        """Return the picked rows (a copy where ``pick`` is an index array)."""
        return State(self.closed[pick], self.running[pick], self.opened[pick], self.backwards[pick])


@dataclass(frozen=True)
class Electric:
    """Admittances of a batch: everything the node matrix needs."""

    y: Complexes
    shunt: Floats
    coupling: Complexes
    magnetising: Complexes
    drive: Complexes
    """(B, E) source voltages in volts."""

    def rows(self, pick: Ints) -> Electric:
        """Return the picked rows."""
        return Electric(*(part[pick] for part in self._parts()))

    def copy(self) -> Electric:
        """Return admittances whose rows may be put anew."""
        return Electric(*(part.copy() for part in self._parts()))

    def put(self, pick: Ints, part: Electric) -> None:
        """Take over the picked rows."""
        for mine, other in zip(self._parts(), part._parts(), strict=True):
            mine[pick] = other

    def _parts(self) -> tuple[Any, ...]:
        return self.y, self.shunt, self.coupling, self.magnetising, self.drive


_ROOT_3 = math.sqrt(3.0)
"""Line to winding voltage of a star connection."""


def _polar(ohm: float, degrees: float) -> complex:
    return cmath.rect(ohm, math.radians(degrees))


def standing_impedance(element: Element, omega: float) -> complex:
    """Return the impedance in ohm of a sound, closed, standing element."""
    v: Mapping[str, float] = element.values
    if element.kind == "capacitor":
        return 1.0 / complex(0.0, omega * v["uf"] * 1e-6)
    rule = _IMPEDANCE.get(element.kind)
    return rule(v) if rule else complex(v["ohm"], 0.0)


def _coil(v: Mapping[str, float]) -> complex:
    total = v["volts"] ** 2 / v["va_sealed"]
    return complex(v["ohm_dc"], math.sqrt(max(total**2 - v["ohm_dc"] ** 2, 0.0)))


def _transformer(v: Mapping[str, float]) -> complex:
    """Both windings' resistance, seen from the secondary."""
    return complex(v["ohm_primary"] * (v["secondary_v"] / v["primary_v"]) ** 2 + v["ohm_secondary"], 0.0)


_IMPEDANCE: Mapping[str, Callable[[Mapping[str, float]], complex]] = {
    "coil": _coil,
    "transformer": _transformer,
    "main": lambda v: _polar(v["volts"] / v["lra_a"], v["locked_deg"]),
    "phase": lambda v: _polar(v["volts"] / _ROOT_3 / v["lra_a"], v["locked_deg"]),
    "aux": lambda v: _polar(v["locked_ohm"], v["locked_deg"]),
    "load": lambda v: _polar(v["volts"] / v["amps"], v["lag_deg"]),
}


def running_impedance(element: Element) -> complex:
    """Return the impedance in ohm of a winding while its motor runs."""
    v = element.values
    if element.kind == "main":
        return _polar(v["volts"] / v["run_a"], v["run_deg"])
    if element.kind == "phase":
        return _polar(v["volts"] / _ROOT_3 / v["run_a"], v["run_deg"])
    return _polar(v["run_ohm"], v["run_deg"])


@dataclass(frozen=True)
class Parts:
    """Admittances of the sound unit, per element."""

    wiring: Wiring
    standing: Complexes
    running: Complexes
    drive: Complexes

    @classmethod
    def of(cls, wiring: Wiring) -> Parts:
        omega = 2.0 * math.pi * wiring.physics.frequency_hz
        standing = np.array([1.0 / standing_impedance(e, omega) for e in wiring.elements])
        running = standing.copy()
        for i in wiring.motor_of:
            running[i] = 1.0 / running_impedance(wiring.elements[i])
        drive = np.zeros(len(wiring.elements), dtype=np.complex128)
        for i in wiring.of_kind("source"):
            values = wiring.elements[i].values
            drive[i] = _polar(values["volts"], values["phase_deg"])
        return cls(wiring, standing, running, drive)

    def electric(self, changes: Changes, state: State) -> Electric:
        """Return the admittances of a batch in a switching state."""
        wiring, mode, value = self.wiring, changes.mode, changes.value
        batch = mode.shape[0]
        shut = 1.0 / wiring.physics.open_ohm
        y = np.repeat(self.standing[None, :], batch, axis=0)
        for i, m in wiring.motor_of.items():
            share = np.where(state.backwards[:, m], wiring.elements[i].values.get("backwards_share", 1.0), 1.0)
            y[:, i] = np.where(state.running[:, m], self.running[i] * share, y[:, i])
        for i, k in wiring.coil_of.items():
            makes = state.closed[:, k] != wiring.elements[i].rests_closed
            y[:, i] = np.where(makes | (mode[:, i] == Mode.STUCK_CLOSED), y[:, i], shut)
        weak = (mode == Mode.WEAK) & (self.drive == 0)
        y = np.where(weak, y * value, y)
        added = np.isin(mode, (Mode.RESISTIVE, Mode.SHORT))
        shut_off = (np.abs(y) <= shut) & ~wiring.insulates
        y = np.where(added & ~shut_off, 1.0 / np.maximum(value, 1e-6), y)
        y = np.where((mode == Mode.OPEN) | state.opened, shut, y)
        shunt = np.where(mode == Mode.GROUND, 1.0 / np.maximum(value, 1e-6), 0.0)
        drive = np.where(mode == Mode.WEAK, self.drive * value, self.drive[None, :])
        drive = np.where(mode == Mode.SWAPPED, drive.conj(), drive)  # legs 120 degrees either side of leg 1
        return Electric(y, shunt, self._coupling(y, state), self._magnetising(y), drive)

    def _coupling(self, y: Complexes, state: State) -> Complexes:
        out = np.zeros((y.shape[0], len(self.wiring.motors)), dtype=np.complex128)
        for m, motor in enumerate(self.wiring.motors):
            if motor.aux is None:
                continue
            turns = self.wiring.elements[motor.aux].values["turns"]
            out[:, m] = np.where(state.running[:, m], 1j * turns * y[:, motor.aux], 0.0)
        return out

    def _magnetising(self, y: Complexes) -> Complexes:
        out = np.zeros((y.shape[0], len(self.wiring.transformers)), dtype=np.complex128)
        shut = 1.0 / self.wiring.physics.open_ohm
        for t, i in enumerate(self.wiring.transformers):
            sound = np.abs(y[:, i]) > shut * 2
            out[:, t] = np.where(sound, 1.0 / (1j * self.wiring.elements[i].values["magnetising_ohm"]), 0.0)
        return out

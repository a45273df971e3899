"""Where the unit comes to rest: relays pull in, fuses open, motors start or stall, then the slow consequences.

A fixed point over switching states. The fast part takes the first seconds; the slow part applies the unit's own
``consequences`` in the order of their delays, each followed by the fast part again.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property

import numpy as np

from .circuit import Bools, Complexes, Floats, Ints, Wiring, element_currents, node_matrix, with_ground
from .circuit_parts import Changes, Mode, Parts, State
from .snapshot import Motion, Snapshot, Solution

SWEEPS = 24
"""Relays and motors of one unit settle in four to eight sweeps; more means a relay that chatters."""
FLIPS = 4


class Settler:
    """Settles batches of hypotheses on one wiring."""

    def __init__(self, parts: Parts) -> None:
        self.parts = parts
        self.wiring: Wiring = parts.wiring
        self.nominal = self._torque(self._solve(*self._standing()))[0]

    def _standing(self) -> tuple[Changes, State]:
        """Return the sound unit with its contactor in and both motors at rest."""
        e, w = len(self.wiring.elements), self.wiring
        changes = Changes(np.zeros((1, e), dtype=np.int8), np.ones((1, e)))
        state = State.of(np.ones((1, len(w.coils)), bool), np.zeros((1, len(w.motors)), bool), np.zeros((1, e), bool))
        return changes, state

    def _solve(self, changes: Changes, state: State) -> Solution:
        el = self.parts.electric(changes, state)
        matrix = node_matrix(self.wiring, el.y, el.shunt, el.coupling, el.magnetising)
        injected = np.zeros((el.y.shape[0], self.wiring.size), dtype=np.complex128)
        for i in self.wiring.of_kind("source"):
            for node, weight in self.wiring.branch(i):
                if node >= 0:
                    injected[:, node] += weight * el.y[:, i] * el.drive[:, i]
        solved = np.linalg.solve(matrix, injected[..., None])[..., 0].astype(np.complex128)
        volts = with_ground(solved)
        return Solution(matrix, el, volts, element_currents(self.wiring, volts, el.y, el.coupling, el.drive))

    def _torque(self, solution: Solution) -> Floats:
        """Return (B, motors): product of both winding currents and the sine of the angle between them.

        Of a three-phase motor: what its forward currents give more than its backward ones; less than nothing backwards.
        """
        columns = []
        for motor in self.wiring.motors:
            if motor.aux is None:
                columns.append(_three_phase_torque(solution.current[:, list(motor.windings)]))
                continue
            main, aux = solution.current[:, motor.main], solution.current[:, motor.aux]
            columns.append(np.imag(np.conj(main) * aux))
        return np.stack(columns, axis=1)

    def at_rest(self, batch: int, opened: list[int]) -> State:
        """Return the state before power comes: contacts out, motors still, ``opened`` elements open."""
        w = self.wiring
        state = State.of(
            np.zeros((batch, len(w.coils)), bool),
            np.zeros((batch, len(w.motors)), bool),
            np.zeros((batch, len(w.elements)), bool),
        )
        state.opened[:, opened] = True
        return state

    def fast(self, changes: Changes, state: State, breaker_first: Bools) -> Bools:
        """Bring ``state`` to rest in place; return (B, coils) where a relay chatters."""
        flips = np.zeros(state.closed.shape, dtype=np.int8)
        active: Ints = np.arange(state.closed.shape[0])
        for _ in range(SWEEPS):
            part, now = changes.rows(active), state.rows(active)
            solution = self._solve(part, now)
            changed = self._relays(part, now, solution, flips, active)
            changed |= self._fuses(now, solution, breaker_first[active], ~changed)
            changed |= self._motors(part, now, solution, ~changed)
            state.put(active, now)
            active = active[changed]
            if not active.size:
                break
        return flips > FLIPS

    def _relays(self, part: Changes, now: State, solution: Solution, flips: np.ndarray, active: Ints) -> Bools:
        changed = np.zeros(active.size, bool)
        for k, i in enumerate(self.wiring.coils):
            a, b = self.wiring.ends[i]
            values = self.wiring.elements[i].values
            across = np.abs(solution.volts[:, a] - solution.volts[:, b])
            need = np.where(now.closed[:, k], values["drop_out_v"], values["pull_in_v"])
            works = (part.mode[:, i] == Mode.NONE) & ~now.opened[:, i]
            close = works & (across >= need) & (flips[active, k] <= FLIPS)
            differs = close != now.closed[:, k]
            now.closed[:, k] = close
            flips[active, k] += differs
            changed |= differs
        return changed

    def _fuses(self, now: State, solution: Solution, breaker_first: Bools, ready: Bools) -> Bools:
        changed = np.zeros(ready.size, bool)
        fused = any(element.values.get("after_breaker") for element in self.wiring.elements)
        for i, element in enumerate(self.wiring.elements):
            limit = element.values.get("opens_a")
            if limit is None:
                continue
            gang = element.values.get("gang")
            waits = ~breaker_first & fused if gang else breaker_first & bool(element.values.get("after_breaker"))
            opens = ready & ~waits & ~now.opened[:, i] & (np.abs(solution.current[:, i]) > limit)
            for j in self.wiring.ganged(i):
                now.opened[opens, j] = True
            changed |= opens
        return changed

    def _motors(self, part: Changes, now: State, solution: Solution, ready: Bools) -> Bools:
        changed = np.zeros(ready.size, bool)
        torque = self._torque(solution) / self.nominal
        for m, motor in enumerate(self.wiring.motors):
            values = self.wiring.elements[motor.main].values
            across = [
                np.abs(solution.volts[:, a] - solution.volts[:, b])
                for a, b in (self.wiring.ends[i] for i in (motor.windings if motor.aux is None else (motor.main,)))
            ]
            rated = values["volts"] / (np.sqrt(3.0) if motor.aux is None else 1.0)
            lives = np.max(across, axis=0) >= self.wiring.physics.energised_share * rated
            free = part.mode[:, motor.main] != Mode.SEIZED
            turns = np.abs(torque[:, m]) if motor.aux is None else torque[:, m]
            starts = ~now.running[:, m] & free & (turns >= values["start_share"])
            stops = now.running[:, m] & ~lives
            flip = ready & (starts | stops)
            now.running[:, m] ^= flip
            now.backwards[:, m] = np.where(flip & starts, torque[:, m] < 0, now.backwards[:, m] & now.running[:, m])
            changed |= flip
        return changed

    def snapshot(self, changes: Changes, state: State, chatter: Bools, happened: Bools) -> Snapshot:
        """Return everything measurable in this state."""
        solution = self._solve(changes, state)
        torque = self._starting_torque(changes, state, solution)
        return self._snapshot(state, solution, torque, chatter, happened)

    def _snapshot(self, state: State, solution: Solution, torque: Floats, chatter: Bools, happened: Bools) -> Snapshot:
        motion = self._motion(state, solution)
        return Snapshot(
            solution.matrix, solution.electric, solution.volts, solution.current, state, motion, torque, chatter,
            happened,
        )  # fmt: skip

    def _starting_torque(self, changes: Changes, state: State, solution: Solution) -> Floats:
        """Return (B, motors) torque with all motors held still, as share of the sound unit's; solved where one runs."""
        torque: Floats = self._torque(solution) / self.nominal
        turning = np.flatnonzero(state.running.any(axis=1))
        if turning.size:
            part = state.rows(turning)
            still = np.zeros_like(part.running)
            standing = State(part.closed, still, part.opened, still)
            torque[turning] = self._torque(self._solve(changes.rows(turning), standing)) / self.nominal
        return torque

    def _motion(self, state: State, solution: Solution) -> Ints:
        columns = []
        for m, motor in enumerate(self.wiring.motors):
            rated = self.wiring.elements[motor.main].values["rla_a"]
            wound = np.abs(solution.current[:, list(motor.windings)]).max(axis=1)
            main = wound if motor.aux is None else np.abs(solution.current[:, motor.main])
            hums = wound > self.wiring.physics.hum_share * rated
            locked = main > rated
            still = np.where(locked, Motion.LOCKED, np.where(hums, Motion.HUMMING, Motion.SILENT))
            columns.append(np.where(state.running[:, m], Motion.RUNNING, still))
        return np.stack(columns, axis=1).astype(np.intp)

    @cached_property
    def _slow_order(self) -> list[int]:
        consequences = self.wiring.unit.consequences
        return sorted(range(len(consequences)), key=lambda c: consequences[c].after_min)

    def found(
        self, changes: Changes, state: State, breaker_first: Bools, flags: Mapping[str, Bools],
        *, slow: bool, since: Snapshot | None = None,
    ) -> Snapshot:  # fmt: skip
        """Settle ``state`` (in place) and return it; with ``slow`` the delayed consequences have happened too.

        ``since``: the snapshot that ``state`` comes from, when the first seconds are already settled.
        """
        if since is None:
            chatter = self.fast(changes, state, breaker_first)
            happened = np.zeros((state.closed.shape[0], len(self.wiring.unit.consequences)), bool)
            solution = self._solve(changes, state)
            torque = self._starting_torque(changes, state, solution)
        else:
            chatter, happened, torque = since.chatter.copy(), since.happened.copy(), since.torque.copy()
            solution = since.copy()
        fresh: Ints = np.arange(state.closed.shape[0])
        for _ in range(len(self._slow_order) + 1):
            fresh = fresh[self._next_consequence(changes, state, solution, happened, flags, fresh, slow=slow)]
            if not fresh.size:
                break
            part, now = changes.rows(fresh), state.rows(fresh)
            chatter[fresh] |= self.fast(part, now, breaker_first[fresh])
            state.put(fresh, now)
            solved = self._solve(part, now)
            solution.put(fresh, solved)
            torque[fresh] = self._starting_torque(part, now, solved)
        return self._snapshot(state, solution, torque, chatter, happened)

    def _next_consequence(
        self, changes: Changes, state: State, solution: Solution, happened: Bools, flags: Mapping[str, Bools],
        rows: Ints, *, slow: bool,
    ) -> Bools:  # fmt: skip
        """Apply the earliest consequence that is due in each of ``rows``; return which of them changed."""
        motion = self._motion(state, solution)[rows]
        mine = {name: flag[rows] for name, flag in flags.items()}
        done = np.zeros(rows.size, bool)
        for c in self._slow_order:
            consequence = self.wiring.unit.consequences[c]
            if consequence.after_min > 0 and not slow:
                continue
            i = self.wiring.index[consequence.opens]
            due = ~done & ~happened[rows, c] & ~state.opened[rows, i] & (changes.mode[rows, i] != Mode.OPEN)
            for term in consequence.when:
                due &= self._holds(term, motion, mine)
            for j in self.wiring.ganged(i):
                state.opened[rows[due], j] = True
            happened[rows[due], c] = True
            done |= due
        return done

    def _holds(self, term: str, motion: Ints, flags: Mapping[str, Bools]) -> Bools:
        negated, name = term.startswith("not "), term.removeprefix("not ")
        subject, _, what = name.partition(".")
        position = {motor.id: m for m, motor in enumerate(self.wiring.motors)}
        if subject in position:
            wanted = Motion.LOCKED if what == "locked" else Motion.RUNNING
            holds: Bools = motion[:, position[subject]] == wanted
        else:
            holds = flags.get(name, np.zeros(motion.shape[0], bool))
        return np.logical_not(holds) if negated else holds


def _three_phase_torque(current: Complexes) -> Floats:
    """Return (B,) torque of three winding currents (B, 3): forward less backward symmetrical component, squared.

    Source: symmetrical components (textbook, from memory).
    """
    turn = np.exp(2j * np.pi / 3.0)
    forward = current @ np.array([1.0, turn, turn**2]) / 3.0
    backward = current @ np.array([1.0, turn**2, turn]) / 3.0
    torque: Floats = np.abs(forward) ** 2 - np.abs(backward) ** 2
    return torque

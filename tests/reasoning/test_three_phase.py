"""The three-phase kind: what every network obeys, and what a lost, weak or changed-over phase does."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.physics.electricity import unbalance_pct
from assistant.reasoning.circuit import Wiring
from assistant.reasoning.circuit_parts import Changes, Mode, Parts, State
from assistant.reasoning.settle import Settler
from assistant.reasoning.snapshot import Motion, Snapshot
from knowledge.base import load

KB = load()
UNIT = KB.units["three_phase"]
WIRING = Wiring(UNIT, KB.reasoning.physics)
SETTLER = Settler(Parts.of(WIRING))
ELEMENTS = [e.id for e in UNIT.elements]
COMPRESSOR = next(m for m, motor in enumerate(WIRING.motors) if motor.id == "compressor")
WINDING = next(e.values for e in UNIT.elements if e.id == "comp_main")
LEADS = ("lead_c", "lead_r", "lead_s")


def changed(value: float = 0.5, **modes: Mode) -> Changes:
    mode = np.zeros((1, len(ELEMENTS)), dtype=np.int8)
    for name, one in modes.items():
        mode[0, WIRING.index[name]] = one
    return Changes(mode, np.full((1, len(ELEMENTS)), value))


def found(changes: Changes, *, slow: bool = False) -> Snapshot:
    return SETTLER.found(changes, SETTLER.at_rest(1, []), np.zeros(1, bool), {}, slow=slow)


def volts(snap: Snapshot, a: str, b: str) -> float:
    return float(abs(snap.volts[0, WIRING.node[a]] - snap.volts[0, WIRING.node[b]]))


def amps(snap: Snapshot, element: str) -> float:
    return float(abs(snap.current[0, WIRING.index[element]]))


def pairs(snap: Snapshot) -> tuple[float, float, float]:
    return volts(snap, "L1", "L2"), volts(snap, "L2", "L3"), volts(snap, "L1", "L3")


modes = st.sampled_from([Mode.NONE, Mode.OPEN, Mode.RESISTIVE, Mode.WEAK, Mode.GROUND, Mode.SWAPPED])


@settings(max_examples=40, deadline=None)
@given(st.lists(st.tuples(st.sampled_from(ELEMENTS), modes), max_size=3), st.booleans(), st.booleans())
def test_currents_into_every_node_sum_to_nothing(faults: list[tuple[str, Mode]], running: bool, contact: bool) -> None:
    """Kirchhoff's current law, counted from the element currents rather than from the matrix."""
    state = State.of(
        np.full((1, len(WIRING.coils)), contact),
        np.full((1, len(WIRING.motors)), running),
        np.zeros((1, len(ELEMENTS)), bool),
    )
    none = np.zeros((1, len(WIRING.coils)), bool)
    snap = SETTLER.snapshot(changed(**dict(faults)), state, none, np.zeros((1, len(UNIT.consequences)), bool))
    into = np.zeros(WIRING.size + 1, dtype=np.complex128)
    for i in range(len(ELEMENTS)):
        for node, weight in WIRING.branch(i):
            into[node] -= weight * snap.current[0, i]
    into[:-1] -= snap.volts[0, :-1] / WIRING.physics.leak_ohm
    for i in np.flatnonzero(snap.electric.shunt[0]):
        into[WIRING.ends[i, 0]] -= snap.electric.shunt[0, i] * snap.volts[0, WIRING.ends[i, 0]]
    for t, i in enumerate(WIRING.transformers):
        a, b = WIRING.ends[i]
        through = snap.electric.magnetising[0, t] * (snap.volts[0, a] - snap.volts[0, b])
        into[a] -= through
        into[b] += through

    assert np.abs(into[:-1]).max() < 1e-6


def test_line_to_line_is_root_three_of_line_to_ground() -> None:
    good = found(changed())
    assert pairs(good) == pytest.approx([math.sqrt(3) * volts(good, "L1", "G")] * 3, rel=0.01)
    assert [amps(good, lead) for lead in LEADS] == pytest.approx([WINDING["run_a"]] * 3, rel=0.02)


@pytest.mark.parametrize("lost", ["supply_3", "breaker_3", "fuse_3", "whip_3", "pole_3", "lead_s", "fuse_1", "pole_2"])
def test_on_two_phases_it_stands_and_draws_root_three_halves_of_locked_rotor_amps(lost: str) -> None:
    """Locked rotor in star on one pair: sqrt(3)/2 of the three-phase locked-rotor current (textbook, from memory)."""
    single = found(changed(**{lost: Mode.OPEN}))
    drawn = sorted(amps(single, lead) for lead in LEADS)

    assert single.motion[0, COMPRESSOR] == Motion.LOCKED
    assert drawn[0] < 2  # the fan alone
    assert drawn[1:] == pytest.approx([math.sqrt(3) / 2 * WINDING["lra_a"]] * 2, rel=0.1)


def test_a_lost_phase_reads_back_fed_to_ground() -> None:
    """The windings feed the dead leg: half way between the other two (derived)."""
    lost = found(changed(fuse_3=Mode.OPEN))
    assert volts(lost, "L3", "G") == pytest.approx(60, abs=5)
    assert volts(lost, "L2", "L3") == pytest.approx(volts(lost, "L1", "L3"), rel=0.05)
    assert volts(lost, "L2", "L3") == pytest.approx(104, abs=8)


def test_its_overload_opens_all_three_windings() -> None:
    after = found(changed(fuse_3=Mode.OPEN), slow=True)
    assert [amps(after, lead) for lead in LEADS] == pytest.approx([0, 0, 0], abs=0.01)


def test_two_phases_changed_over_turn_it_backwards_at_low_amps() -> None:
    """A scroll turned backwards: runs, low amps, good volts (common practice, no source)."""
    wrong = found(changed(supply_2=Mode.SWAPPED, supply_3=Mode.SWAPPED))
    assert wrong.state.backwards[0, COMPRESSOR]
    assert wrong.motion[0, COMPRESSOR] == Motion.RUNNING
    assert pairs(wrong) == pytest.approx([207] * 3, rel=0.01)
    assert amps(wrong, "lead_c") < 0.6 * amps(found(changed()), "lead_c")


def test_the_good_unit_turns_forwards() -> None:
    assert not found(changed()).state.backwards.any()


@pytest.mark.parametrize("share", [0.95, 0.9, 0.85])
def test_one_weak_leg_unbalances_two_pairs(share: float) -> None:
    """Unbalance of NEMA MG 1, by the calculation that has the published values as its tests."""
    weak = found(changed(share, supply_3=Mode.WEAK))
    one, two, three = pairs(weak)
    assert two == pytest.approx(three, rel=0.01)
    assert two < one
    expected = 120 * math.sqrt(1 + share + share**2)  # cosine rule at 120 degrees
    assert two == pytest.approx(expected, rel=0.02)
    assert unbalance_pct(one, two, three) > 1


def test_low_voltage_costs_starting_torque_with_its_square() -> None:
    low = found(changed(0.8, supply_1=Mode.WEAK, supply_2=Mode.WEAK, supply_3=Mode.WEAK))
    good = found(changed())
    assert low.torque[0, COMPRESSOR] / good.torque[0, COMPRESSOR] == pytest.approx(0.64, abs=0.03)

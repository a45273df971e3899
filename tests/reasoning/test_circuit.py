"""The wiring as an AC network: the laws every network obeys, and the traps the trade knows."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.reasoning.circuit import Wiring, node_matrix
from assistant.reasoning.circuit_parts import Changes, Mode, Parts, State
from assistant.reasoning.measure import volts_readings
from assistant.reasoning.settle import Settler
from assistant.reasoning.snapshot import Snapshot
from knowledge.base import load

KB = load()
UNIT = KB.units["split_psc_240"]
WIRING = Wiring(UNIT, KB.reasoning.physics)
SETTLER = Settler(Parts.of(WIRING))
ELEMENTS = [e.id for e in UNIT.elements]
CONDUCTING = [e.id for e in UNIT.elements if not e.values.get("insulates")]


def changed(**modes: Mode) -> Changes:
    mode = np.zeros((1, len(ELEMENTS)), dtype=np.int8)
    for name, one in modes.items():
        mode[0, WIRING.index[name]] = one
    return Changes(mode, np.full((1, len(ELEMENTS)), 0.5))


def fixed(changes: Changes, *, running: bool = True, contact: bool = True) -> Snapshot:
    """Return the circuit in a given switching state, not settled further."""
    state = State.of(
        np.full((1, len(WIRING.coils)), contact),
        np.full((1, len(WIRING.motors)), running),
        np.zeros((1, len(ELEMENTS)), bool),
    )
    none = np.zeros((1, len(WIRING.coils)), bool)
    return SETTLER.snapshot(changes, state, none, np.zeros((1, len(UNIT.consequences)), bool))


def settled(changes: Changes, *, slow: bool = False) -> Snapshot:
    return SETTLER.found(changes, SETTLER.at_rest(1, []), np.zeros(1, bool), {}, slow=slow)


def volts(snap: Snapshot, a: str, b: str) -> float:
    return float(abs(snap.volts[0, WIRING.node[a]] - snap.volts[0, WIRING.node[b]]))


def amps(snap: Snapshot, element: str) -> float:
    return float(abs(snap.current[0, WIRING.index[element]]))


modes = st.sampled_from([Mode.NONE, Mode.OPEN, Mode.RESISTIVE, Mode.WEAK, Mode.GROUND, Mode.SHORT, Mode.STUCK_CLOSED])


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.sampled_from(ELEMENTS), modes), max_size=3), st.booleans(), st.booleans())
def test_currents_into_every_node_sum_to_nothing(faults: list[tuple[str, Mode]], running: bool, contact: bool) -> None:
    """Kirchhoff's current law, counted from the element currents rather than from the matrix."""
    snap = fixed(changed(**dict(faults)), running=running, contact=contact)
    into = np.zeros(WIRING.size + 1, dtype=np.complex128)
    for i in range(len(ELEMENTS)):
        for node, weight in WIRING.branch(i):
            into[node] -= weight * snap.current[0, i]
    leaks = snap.volts[0, :-1] / WIRING.physics.leak_ohm
    into[:-1] -= leaks
    for i in np.flatnonzero(snap.electric.shunt[0]):
        into[WIRING.ends[i, 0]] -= snap.electric.shunt[0, i] * snap.volts[0, WIRING.ends[i, 0]]
    for t, i in enumerate(WIRING.transformers):
        a, b = WIRING.ends[i]
        through = snap.electric.magnetising[0, t] * (snap.volts[0, a] - snap.volts[0, b])
        into[a] -= through
        into[b] += through

    assert np.abs(into[:-1]).max() < 1e-6


@settings(max_examples=40, deadline=None)
@given(st.sampled_from(CONDUCTING), st.booleans())
def test_opening_an_element_never_raises_its_own_current(element: str, running: bool) -> None:
    before = fixed(changed(), running=running)
    after = fixed(changed(**{element: Mode.OPEN}), running=running)

    assert amps(after, element) <= amps(before, element) + 1e-9


@settings(max_examples=20, deadline=None)
@given(st.sampled_from([e for e in CONDUCTING if not e.startswith(("supply", "breaker"))]))
def test_swapping_the_supply_legs_changes_no_magnitude(element: str) -> None:
    swapped = [
        e.model_copy(update={"values": {**e.values, "phase_deg": 180.0 - e.values["phase_deg"]}})
        if e.kind == "source"
        else e
        for e in UNIT.elements
    ]
    other = Settler(Parts.of(Wiring(UNIT.model_copy(update={"elements": tuple(swapped)}), KB.reasoning.physics)))
    here = settled(changed(**{element: Mode.OPEN}))
    there = other.found(changed(**{element: Mode.OPEN}), other.at_rest(1, []), np.zeros(1, bool), {}, slow=False)

    assert np.abs(there.volts) == pytest.approx(np.abs(here.volts), abs=1e-6)


def test_a_lost_leg_reads_live_to_ground_on_both_sides_and_nothing_across() -> None:
    """The classic trap: the dead leg is back-fed through the load (common practice, no source)."""
    lost = settled(changed(fuse_1=Mode.OPEN))

    assert volts(lost, "L1", "G") == pytest.approx(120, abs=5)
    assert volts(lost, "L2", "G") == pytest.approx(120, abs=5)
    assert volts(lost, "L1", "L2") < 1


def test_with_the_contactor_out_a_lost_leg_does_read_dead() -> None:
    lost = settled(changed(fuse_1=Mode.OPEN, contactor_coil=Mode.OPEN))
    shown, source = volts_readings(WIRING, lost, [("L1", "G"), ("L2", "G")], KB.reasoning.meter)

    assert shown[0].tolist() == pytest.approx([0, 120], abs=2)
    assert source[0, 0] > 1e6 > source[0, 1]


def test_a_meter_pulls_a_floating_point_down_and_leaves_a_live_one_alone() -> None:
    """A 10 megohm meter is a load of its own (common practice, no source)."""
    lost = settled(changed(fuse_1=Mode.OPEN, contactor_coil=Mode.OPEN))
    shown, _ = volts_readings(WIRING, lost, [("L1", "G"), ("L2", "G")], KB.reasoning.meter)

    assert shown[0, 0] < 0.1 * volts(lost, "L1", "G")
    assert shown[0, 1] == pytest.approx(volts(lost, "L2", "G"), rel=1e-6)


def test_the_capacitor_carries_what_its_reactance_lets_through() -> None:
    """I = 2 pi f C V (definition of capacitive reactance)."""
    snap = settled(changed())
    expected = 2 * math.pi * 60 * 45e-6 * volts(snap, "CAPC", "HERM")

    assert amps(snap, "lead_s") == pytest.approx(expected, rel=1e-4)


def test_voltage_across_the_capacitor_is_above_line_only_while_the_compressor_runs() -> None:
    running, stalled = settled(changed()), settled(changed(comp_main=Mode.SEIZED))

    assert volts(running, "CAPC", "HERM") > 1.5 * volts(running, "T1", "T2")
    assert volts(stalled, "CAPC", "HERM") < 1.2 * volts(stalled, "T1", "T2")


@pytest.mark.parametrize("section", ["HERM", "FAN"])
def test_a_running_capacitor_shows_1_6_to_1_7_times_the_line(section: str) -> None:
    """Good unit, running: 1.6 to 1.7 times line voltage across each section (common practice, no source)."""
    running = settled(changed())

    assert 1.6 <= volts(running, "CAPC", section) / volts(running, "T1", "T2") <= 1.7


def test_the_capacitor_voltage_is_the_vector_sum_of_both_windings() -> None:
    """Two windings 90 degrees apart: line squared plus start-winding voltage squared (textbook, from memory)."""
    running = settled(changed())
    start = volts(running, "CS", "CC")

    assert volts(running, "CAPC", "HERM") == pytest.approx(math.hypot(volts(running, "T1", "T2"), start), rel=0.02)


def test_an_open_switch_shows_the_control_voltage_and_a_closed_one_nothing() -> None:
    """NAVEDTRA 14259, 14-18: voltage across a device in a path that is otherwise complete means open."""
    shut, opened = settled(changed()), settled(changed(hp_switch=Mode.OPEN))

    assert volts(shut, "YO", "HP") < 0.2
    assert volts(opened, "YO", "HP") == pytest.approx(26, abs=1)


def test_a_second_open_switch_hides_the_first() -> None:
    """Two opens in one path share nothing: the meter across either floats (common practice, no source)."""
    both = settled(changed(hp_switch=Mode.OPEN, float_switch=Mode.OPEN))

    assert volts(both, "YO", "HP") < 5


def test_low_voltage_costs_starting_torque_with_its_square() -> None:
    """Textbook: torque goes with the square of the voltage."""
    low = fixed(Changes(changed(supply_1=Mode.WEAK, supply_2=Mode.WEAK).mode, np.full((1, len(ELEMENTS)), 0.8)))

    assert low.torque[0, 0] == pytest.approx(0.64, abs=0.02)


def test_the_matrix_is_symmetric_while_all_motors_stand() -> None:
    """A network of two-terminal parts and ideal transformers is reciprocal."""
    snap = fixed(changed(), running=False)
    el = snap.electric
    matrix = node_matrix(WIRING, el.y, el.shunt, el.coupling, el.magnetising)[0]

    assert np.abs(matrix - matrix.T).max() < 1e-12

"""Where faulty units come to rest: what starts, what stalls, what opens, and in which order."""

from __future__ import annotations

import numpy as np
import pytest

from assistant.reasoning.circuit import Wiring
from assistant.reasoning.circuit_parts import Parts
from assistant.reasoning.hypotheses import Row, changes_of, flags_of
from assistant.reasoning.settle import Settler
from assistant.reasoning.snapshot import Motion, Snapshot
from knowledge.base import load
from knowledge.narrowing import configured
from knowledge.variants import Configuration

KB = configured(load(), Configuration("split_psc_240"))
UNIT = KB.units["split_psc_240"]
WIRING = Wiring(UNIT, KB.reasoning.physics)
SETTLER = Settler(Parts.of(WIRING))


def found(*faults: str, slow: bool = True, breaker_first: bool = False, severity: float = 1.0) -> Snapshot:
    rows = [Row(faults, 1.0, severity, breaker_first)]
    flags = flags_of(rows, KB.faults)
    first = np.array([breaker_first])
    return SETTLER.found(changes_of(rows, KB.faults, WIRING), SETTLER.at_rest(1, []), first, flags, slow=slow)


def opened(snap: Snapshot) -> set[str]:
    return {UNIT.elements[i].id for i in np.flatnonzero(snap.state.opened[0])}


def motion(snap: Snapshot) -> dict[str, Motion]:
    return {motor.id: Motion(snap.motion[0, m]) for m, motor in enumerate(WIRING.motors)}


def pulled_in(snap: Snapshot) -> bool:
    return bool(snap.state.closed[0, WIRING.coils.index(WIRING.index["contactor_coil"])])


def test_a_sound_unit_runs_and_keeps_running() -> None:
    snap = found()

    assert motion(snap) == {"compressor": Motion.RUNNING, "fan": Motion.RUNNING}
    assert opened(snap) == set()


def test_an_open_fan_capacitor_ends_with_everything_outside_silent() -> None:
    """The first readings never mention the fan (reference chain: fan stalls, pressure climbs, contactor drops)."""
    at_first, later = found("cap_fan_open", slow=False), found("cap_fan_open")

    assert motion(at_first) == {"compressor": Motion.RUNNING, "fan": Motion.LOCKED}
    assert motion(later) == {"compressor": Motion.SILENT, "fan": Motion.SILENT}
    assert opened(later) == {"hp_switch"}
    assert not pulled_in(later)


@pytest.mark.parametrize("fault", ["cap_herm_open", "comp_aux_open", "comp_locked", "lead_s_burnt"])
def test_a_compressor_that_cannot_start_opens_its_overload(fault: str) -> None:
    assert motion(found(fault, slow=False))["compressor"] == Motion.LOCKED
    assert opened(found(fault)) == {"comp_overload"}
    assert motion(found(fault))["fan"] == Motion.RUNNING


@pytest.mark.parametrize("fault", ["cable_shorted", "coil_shorted"])
def test_a_short_on_the_control_side_takes_the_low_voltage_fuse_and_the_blower(fault: str) -> None:
    snap = found(fault)

    assert opened(snap) == {"lv_fuse"}
    assert abs(snap.current[0, WIRING.index["blower_motor"]]) < 0.01


@pytest.mark.parametrize("fault", ["comp_grounded", "fan_grounded"])
def test_a_winding_to_ground_opens_the_fuse_of_its_leg_or_trips_the_breaker(fault: str) -> None:
    assert "fuse_1" in opened(found(fault, slow=False))
    assert opened(found(fault, breaker_first=True)) == {"breaker_1", "breaker_2"}


def test_locked_rotor_current_opens_the_overload_before_any_fuse() -> None:
    assert not {"fuse_1", "fuse_2"} & opened(found("comp_locked"))


def test_a_lost_charge_holds_the_low_pressure_switch_open_from_the_start() -> None:
    assert opened(found("charge_lost", slow=False)) == {"lp_switch"}


def test_a_weak_capacitor_starts_the_compressor_while_its_torque_reaches() -> None:
    assert motion(found("cap_herm_weak", slow=False, severity=0.4))["compressor"] == Motion.RUNNING
    assert motion(found("cap_herm_weak", slow=False, severity=1.3))["compressor"] == Motion.LOCKED


def test_a_welded_contactor_runs_the_unit_without_a_call() -> None:
    rows = [Row(("contactor_welded",), 1.0)]
    state = SETTLER.at_rest(1, WIRING.marked("call"))
    snap = SETTLER.found(changes_of(rows, KB.faults, WIRING), state, np.zeros(1, bool), {}, slow=True)

    assert not pulled_in(snap)
    assert motion(snap)["compressor"] == Motion.RUNNING


def test_with_the_disconnect_open_nothing_outside_is_live() -> None:
    rows = [Row((), 1.0)]
    state = SETTLER.at_rest(1, WIRING.marked("isolates"))
    snap = SETTLER.found(changes_of(rows, KB.faults, WIRING), state, np.zeros(1, bool), {}, slow=True)

    for point in ("U1", "U2", "L1", "L2", "T1", "T2", "CC"):
        assert abs(snap.volts[0, WIRING.node[point]]) < 1

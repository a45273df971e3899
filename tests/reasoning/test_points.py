"""Readings between any two test points are evidence like all others."""

from __future__ import annotations

import numpy as np
import pytest

from assistant.reasoning.circuit_parts import Changes, Mode, Parts
from assistant.reasoning.diagnosis import Diagnosis, Evidence
from assistant.reasoning.measure import volts_readings
from assistant.reasoning.predictions import coded, decoded
from assistant.reasoning.settle import Settler
from assistant.reasoning.snapshot import Snapshot
from assistant.reasoning.tables import HEALTHY, Tables
from knowledge.base import KnowledgeBase


def settled(tables: Tables, **modes: Mode) -> Snapshot:
    wiring = tables.wiring
    settler = Settler(Parts.of(wiring))
    mode = np.zeros((1, len(wiring.elements)), dtype=np.int8)
    for name, one in modes.items():
        mode[0, wiring.index[name]] = one
    changes = Changes(mode, np.full(mode.shape, 0.5))
    return settler.found(changes, settler.at_rest(1, []), np.zeros(1, bool), {}, slow=False)


@pytest.mark.parametrize("fault", [None, "fuse_1", "lead_c", "contactor_coil", "transformer"])
def test_one_inverse_gives_what_a_meter_wired_in_at_each_pair_reads(
    tables: Tables, kb: KnowledgeBase, fault: str | None
) -> None:
    """The meter put into the circuit as a resistor, and the circuit solved anew: no Thevenin in it."""
    snap, meter = settled(tables, **({fault: Mode.OPEN} if fault else {})), kb.reasoning.meter
    node, pairs = tables.wiring.node, tables.kb.points.pairs
    shown, _ = volts_readings(tables.wiring, snap, pairs, meter)
    sources = snap.matrix[0] @ snap.volts[0, :-1]
    for k, (a, b) in enumerate(pairs):
        probe = np.zeros(tables.wiring.size)
        for name, sign in ((a, 1.0), (b, -1.0)):
            if node[name] >= 0:
                probe[node[name]] = sign
        loaded = np.linalg.solve(snap.matrix[0] + np.outer(probe, probe) / meter.input_ohm, sources)
        assert shown[0, k] == pytest.approx(abs(loaded @ probe), rel=1e-3, abs=1e-3), (a, b)


def test_impedances_keep_to_six_percent_in_one_byte() -> None:
    ohm = np.geomspace(0.01, 1e10, 500)
    assert decoded(coded(ohm)) == pytest.approx(ohm, rel=0.06)


def test_two_points_and_their_curated_check_read_alike(tables: Tables) -> None:
    """T1 to T2 is the contactor's load side, whichever way it is called."""
    made, k = tables.holding("v_between_t1_t2"), tables.column["v_contactor_load"]
    assert made.predictions.settled[:, 0] == pytest.approx(tables.predictions.settled[:, k], rel=2e-3, abs=0.1)


@pytest.mark.parametrize(
    ("readings", "suspect"),
    [
        ({"v_between_cc_t1": 240.0}, "lead_c_burnt"),
        ({"v_contactor_load": 239.0, "v_between_cr_t2": 240.0}, "lead_r_burnt"),
        ({"v_between_l1_t2": 239.0, "v_between_l2_t1": 0.0}, "pole_1_open"),
        ({"v_between_k1_yo": 26.0}, "charge_lost"),
        ({"v_between_capc_t2": 235.0}, "lead_cap_open"),
        ({"a_through_lead_r": 0.0, "v_between_cc_t1": 239.0}, "lead_c_burnt"),
    ],
)
def test_what_was_probed_unasked_names_the_suspect(
    tables: Tables, plate: dict[str, float], readings: dict[str, float], suspect: str
) -> None:
    case = Diagnosis(tables, [Evidence(check, value=value) for check, value in readings.items()], plate=plate)
    top = [one.faults[0] for one in case.suspects(3)]
    assert suspect in top, top


def test_a_good_reading_between_two_points_changes_little(tables: Tables) -> None:
    case = Diagnosis(tables, [Evidence("v_between_cc_t1", value=0.1)])
    assert case.case.fault_probability["lead_c_burnt"] < 0.02


def test_it_is_explained_and_never_asked_for(tables: Tables) -> None:
    case = Diagnosis(tables, [Evidence("v_between_cc_t1", value=240.0)])
    said = " ".join(case.explain("repair_compressor_terminal"))
    assert "compressor common C" in said
    assert not any("between" in name for name in case.case.bits)


def test_the_good_unit_is_predicted_for_every_pair(tables: Tables) -> None:
    good = tables.predictions.settled_points[HEALTHY]
    assert len(good) == len(tables.kb.points.solved)
    assert np.isfinite(good.astype(float)).all()

"""Any two named test points, and any lead that can be clamped, are heard as what they are."""

from __future__ import annotations

import pytest

from assistant.language.models import Kind
from assistant.language.understand import understand
from knowledge import load
from knowledge.narrowing import configured
from knowledge.variants import Configuration

KB = configured(load(), Configuration("split_psc_240"))

HEARD = [
    # curated names go first
    ("240 line side, nothing on the load side", [("contactor_line", 240), ("contactor_load", 0)]),
    ("one leg 120 the other 120 but zero across", [("l1_ground", 120), ("l2_ground", 120), ("leg_to_leg", 0)]),
    ("27 volts R to C, 0 Y to C", [("r_c", 27), ("y_c", 0)]),
    ("240 at T1 T2", [("contactor_load", 240)]),
    ("118 L1 to ground and 0 L2 to ground", [("l1_ground", 118), ("l2_ground", 0)]),
    ("26 volts Y at the unit to C", [("y_outdoor", 26)]),
    ("26 from Y outside to the coil C side", [("y_outdoor", 26)]),
    ("240 across P1 and P2", [("transformer_primary", 240)]),
    ("240 t1-t2", [("contactor_load", 240)]),
    # any two points
    ("240 T1 to compressor C", [("between_cc_t1", 240)]),
    ("compressor t1 to c 240 volts", [("between_cc_t1", 240)]),
    ("nothing from t1 to common", [("between_cc_t1", 0)]),
    ("0 volts from T1 to common on the compressor", [("between_cc_t1", 0)]),
    ("no voltage between t2 and run", [("between_cr_t2", 0)]),
    ("240 between L1 and T2", [("between_l1_t2", 240)]),
    ("got 240 across l1 t2", [("between_l1_t2", 240)]),
    ("240 L1-T2", [("between_l1_t2", 240)]),
    ("240 L2 to T1", [("between_l2_t1", 240)]),
    ("120 from T1 to ground", [("between_g_t1", 120)]),
    ("0 volts T2 to ground", [("between_g_t2", 0)]),
    ("120 from the chassis to T2", [("between_g_t2", 120)]),
    ("l1 to ground 120, t1 to ground 0", [("l1_ground", 120), ("between_g_t1", 0)]),
    ("24 volts from R to Y at the board", [("between_r_y", 24)]),
    ("24 across the stat R to Y", [("stat_ry", 24)]),
    ("0 volts from T2 to the capacitor C", [("between_capc_t2", 0)]),
    ("240 at the compressor C to R", [("between_cc_cr", 240)]),
    ("240 from T1 to R", [("between_cr_t1", 240)]),
    ("3 volts from T2 to R", [("between_cr_t2", 3)]),
    ("120 volts capacitor C to ground", [("between_capc_g", 120)]),
    ("390 herm to fan", [("between_fan_herm", 390)]),
    ("238 from L1 to compressor common", [("between_cc_l1", 238)]),
    ("24 volts from Y to the coil", [("between_k1_yo", 24)]),
    ("24 between the pressure switches and C", [("between_hp_k2", 24)]),
    ("26 volts between R and G", [("between_gt_r", 26)]),
    ("0 G to C", [("g_c", 0)]),
    ("310 volts start to common", [("between_cc_cs", 310)]),
    ("240 volts c to r", [("between_cc_cr", 240)]),
    ("120 on the load side of fuse 1 to ground", [("between_g_u1", 120)]),
    ("240 at fan common to fan run", [("between_fc_fm", 240)]),
    ("0 volts line 1 breaker to ground", [("between_d1_g", 0)]),
    ("24 volts from the Y wire to ground", [("between_g_y", 24)]),
    # two points each, not one pair
    ("120 t1 to ground 120 t2 to ground", [("between_g_t1", 120), ("between_g_t2", 120)]),
]
AMPS = [
    ("14 amps on the run lead", [("through_lead_r", 14)]),
    ("12 amps on the run lead and 6 on the start lead", [("through_lead_r", 12), ("comp_start_lead", 6)]),
    ("5 amps on leg 1 and 14 on leg 2", [("l1_ground", 5), ("l2_ground", 14)]),
    ("0.7 amps on the fan start lead", [("fan_start_lead", 0.7)]),
]


@pytest.mark.parametrize(("note", "meant"), HEARD)
def test_volts_between_two_points_are_heard(note: str, meant: list[tuple[str, float]]) -> None:
    found = understand(note, KB)

    assert [(h.kind, h.about, h.quantity, h.value) for h in found.heard] == [
        (Kind.READING, about, "voltage", value) for about, value in meant
    ]
    assert not any(h.options for h in found.heard)
    assert not found.not_understood


@pytest.mark.parametrize(("note", "meant"), AMPS)
def test_amps_in_a_lead_are_heard(note: str, meant: list[tuple[str, float]]) -> None:
    found = understand(note, KB)

    assert [(h.about, h.quantity, h.value) for h in found.heard] == [(about, "current", v) for about, v in meant]
    assert not found.not_understood


def test_ohms_of_a_winding_stay_ohms() -> None:
    assert [(h.about, h.quantity) for h in understand("c to r 2.4", KB).heard] == [("c_r", "resistance")]


def test_and_joins_two_points_only_behind_between() -> None:
    one = understand("120 to ground on t1 and 118 on t2", KB)
    assert all(h.about != "between_t1_t2" for h in one.heard)


def test_a_name_that_two_parts_share_is_asked_back() -> None:
    (heard,) = understand("24 volts across the pressure switch", KB).heard
    assert {option.about for option in heard.options} == {"hp_switch", "lp_switch"}


def test_no_points_are_heard_where_the_unit_is_not_known() -> None:
    assert not [h for h in understand("240 T1 to compressor C", load()).heard if h.about == "between_cc_t1"]

"""Check or repair: no part is condemned without its own reading, and no reading alone condemns a dear part."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from assistant.reasoning.confirming import confirmation
from assistant.reasoning.diagnosis import (
    CannotTell,
    CheckNext,
    Decision,
    Diagnosis,
    Evidence,
    NoFault,
    Propose,
    Repaired,
    Unwell,
)
from assistant.reasoning.tables import Tables
from knowledge.models.entry import PowerNeed


def look(check: str, *outcomes: str) -> Evidence:
    return Evidence(check, outcomes=outcomes)


def read(check: str, value: float | None) -> Evidence:
    return Evidence(check, value=value, over_limit=value is None)


FAN_HUMS = [look("look_fan", "humming"), look("hear_compressor", "running"), look("look_condenser", "clean"),
            look("look_blower", "running")]  # fmt: skip
GOOD_UNIT = [
    look("ask_thermostat", "calling"), look("look_fan", "turning"), look("hear_compressor", "running"),
    look("look_condenser", "clean"), look("look_contactor", "pulled_in"), look("look_contacts", "fine"),
    read("uf_herm", 45.0), read("uf_fan", 5.0), read("v_pole_1", 0.05), read("v_contactor_load", 238.0),
]  # fmt: skip

GOOD_AIR = [
    look("look_blower", "running"), look("look_filter", "clean"), look("look_indoor_coil", "clean"),
    look("look_airflow", "strong"), look("look_suction_line", "cold"), look("look_condenser_air", "free"),
    look("ask_steady", "steady"), look("look_metering", "txv"), read("g_superheat", 10.0), read("g_subcooling", 10.0),
    read("t_return", 76.0), read("t_wet_bulb", 64.0), read("g_split", 18.0), look("ask_load", "usual"),
    look("ask_size", "fits"), look("look_stat_place", "good"), look("ask_fan_setting", "auto"),
    look("look_ducts", "tight"), look("dt_reversing", "tight"), look("dt_drier", "even"), look("pump_down", "pulls"),
    look("look_cabinet", "tight"), look("ask_schedule", "held"), look("look_trap", "right"), look("look_pan", "whole"),
    look("hear_noise", "none"), look("look_oil", "clean"), look("look_bulb", "tight"), read("g_suction", 130.0),
    read("g_liquid", 385.0),
]  # fmt: skip


@pytest.fixture
def step(tables: Tables, plate: dict[str, float]) -> object:
    def decide(history: Sequence[Evidence | Repaired], **options: object) -> Decision:
        chosen = {"allowed": lambda _: True, **options}
        return Diagnosis(tables, history, plate=plate).decide(**chosen)  # type: ignore[arg-type]

    return decide


def test_a_wrong_setting_is_a_proposal_once_it_was_seen(step) -> None:
    done = step([look("look_blower", "not_running"), look("ask_thermostat", "not_calling"), look("look_fan", "still")])

    assert isinstance(done, Propose)
    assert done.repair == "set_thermostat"


def test_a_capacitor_that_reads_nothing_is_replaced(step) -> None:
    done = step([*FAN_HUMS, read("uf_fan", 0.0)])

    assert isinstance(done, Propose)
    assert (done.repair, done.faults[0]) == ("replace_capacitor", "cap_fan_open")
    assert any("pressure" in line for line in done.consequences)


def test_the_other_section_in_range_does_not_confirm(step) -> None:
    done = step([*FAN_HUMS, read("uf_herm", 45.0)])

    assert not isinstance(done, Propose)


def test_a_section_in_range_acquits_the_capacitor(step, tables: Tables) -> None:
    done = step([*FAN_HUMS, read("uf_fan", 5.0), read("uf_fan", 5.0)])

    assert isinstance(done, CheckNext)
    assert done.check not in tables.kb.repairs["replace_capacitor"].confirm


def test_likely_is_not_confirmed_the_part_is_measured_first(step, tables: Tables) -> None:
    """All the symptoms, nothing measured on the part."""
    history = [
        look("look_fan", "turning"), look("hear_compressor", "humming"), look("look_wiring", "fine"),
        look("look_contacts", "fine"), read("a_compressor_start", 76.0), read("r_s_r", 3.2), read("v_herm_c", 228.0),
    ]  # fmt: skip
    for _ in range(12):
        done = step(history, skipped=["uf_herm", "look_capacitor"])
        assert not (isinstance(done, Propose) and done.repair == "replace_capacitor")
        if not isinstance(done, CheckNext):
            break
        history.append(_good_answer(done.check, tables))


def _good_answer(check: str, tables: Tables) -> Evidence:
    entry = tables.checks[check]
    if entry.answers:
        return look(check, entry.answers[0].outcome)
    return read(check, Diagnosis(tables, []).expected(check).healthy_value)


def test_ohms_without_proof_of_dead_rank_but_do_not_confirm(step) -> None:
    hurried = Evidence("uf_fan", value=0.0, proved=False)
    done = step([*FAN_HUMS, hurried])

    assert isinstance(done, CheckNext)
    assert (done.check, done.retake) == ("uf_fan", True)
    assert isinstance(step([*FAN_HUMS, hurried, read("uf_fan", 0.0)]), Propose)


def test_a_hedged_reading_does_not_confirm(step, tables: Tables) -> None:
    unsure = Evidence("uf_fan", value=0.0, trust=tables.kb.reasoning.hedged_trust)

    assert not isinstance(step([*FAN_HUMS, unsure]), Propose)


def test_a_dear_repair_that_hangs_on_one_reading_waits_for_a_second(step) -> None:
    history = [
        look("look_fan", "still"), look("hear_compressor", "silent"), look("look_breaker", "tripped"),
        look("look_disconnect", "closed"), read("v_coil", 26.0), read("v_contactor_line", 0.0),
        read("v_l1_ground", 0.0), read("v_l2_ground", 0.0), read("r_fan_ground", None), read("r_comp_ground", 40000.0),
    ]  # fmt: skip
    first = step(history)
    again = step([*history, read("r_comp_ground", 41000.0)])

    assert isinstance(first, CheckNext)
    assert (first.check, first.retake) == ("r_comp_ground", True)
    assert isinstance(again, Propose)
    assert again.repair == "replace_compressor"


def test_a_cheap_repair_does_not_wait_for_a_second_reading(step) -> None:
    found = [look("look_fan", "humming"), look("hear_compressor", "running"), look("look_blower", "running")]
    assert isinstance(step([read("uf_fan", 0.0), *found]), Propose)


def test_a_grounded_winding_needs_its_own_reading_not_a_blown_fuse(step) -> None:
    history = [
        look("look_fan", "still"), look("hear_compressor", "humming"), look("hear_compressor", "humming"),
        read("v_disconnect_load", 0.0), read("v_fuse_1", 238.0), read("v_fuse_1", 239.0), read("v_herm_c", 115.0),
    ]  # fmt: skip
    done = step(history)

    assert isinstance(done, CheckNext)
    assert done.check == "r_comp_ground"


def test_a_unit_that_may_be_grounded_is_not_started_for_a_test(step) -> None:
    history = [look("look_fan", "still"), look("hear_compressor", "humming"), read("v_fuse_1", 238.0)]
    done = step(history, allowed=lambda check: check.id == "a_compressor_start")

    assert isinstance(done, CannotTell)


def test_a_unit_clear_of_ground_may_be_started_for_a_test(step) -> None:
    history = [look("look_fan", "turning"), look("hear_compressor", "humming"), read("uf_herm", 45.0)]
    done = step([*history, read("r_comp_ground", None)], allowed=lambda check: check.id == "a_compressor_start")

    assert isinstance(done, CheckNext)
    assert done.check == "a_compressor_start"


def test_a_healthy_unit_is_called_healthy_after_enough_was_seen(step) -> None:
    done = step([*GOOD_UNIT, *GOOD_AIR])

    assert isinstance(done, NoFault)
    assert len(done.because) >= len(GOOD_UNIT)


def test_a_healthy_unit_is_not_called_so_before_the_fan_was_seen(step) -> None:
    unseen = [item for item in (*GOOD_UNIT, *GOOD_AIR) if item.check != "look_fan"]
    done = step(unseen)

    assert isinstance(done, CheckNext)
    assert done.check == "look_fan"


def test_after_the_repair_it_is_shown_that_the_unit_runs(step) -> None:
    repaired = [*FAN_HUMS, read("uf_fan", 0.0), Repaired("replace_capacitor")]
    running = [look("look_fan", "turning"), look("hear_compressor", "running"), look("ask_thermostat", "calling")]

    assert isinstance(step(repaired), CheckNext)
    assert isinstance(step([*repaired, *running, read("uf_herm", 45.0), look("look_contacts", "fine")]), NoFault)


def test_the_same_repair_is_not_proposed_twice(step) -> None:
    """A second blown fuse is a cause not found (29 CFR 1910.334(b)(2))."""
    fuse = [
        look("look_fan", "still"), read("v_disconnect_line", 240.0), read("v_disconnect_load", 0.0),
        read("v_fuse_1", 239.0), read("r_l1_ground", None), read("r_l2_ground", None), read("r_comp_ground", None),
        read("r_fan_ground", None),
    ]  # fmt: skip
    history: list[Evidence | Repaired] = [*fuse]
    first = step(history)
    assert isinstance(first, Propose)
    assert first.repair == "replace_fuses"

    again = step([*history, Repaired("replace_fuses"), *fuse])
    assert not (isinstance(again, Propose) and again.repair == "replace_fuses")


def test_two_readings_that_cannot_both_be_right_are_named_and_one_is_taken_again(
    step, tables: Tables, plate: dict[str, float]
) -> None:
    history = [
        look("look_fan", "still"), look("hear_compressor", "silent"), look("look_contactor", "pulled_in"),
        read("v_contactor_line", 240.0), read("v_contactor_load", 238.0), read("v_pole_1", 239.0),
    ]  # fmt: skip
    said = Diagnosis(tables, history, plate=plate).contradictions()
    done = step(history)

    assert any("load side" in line and "cannot both be right" in line for line in said)
    assert isinstance(done, CheckNext)
    assert done.retake
    assert done.check in {"v_contactor_load", "v_pole_1"}


def test_a_reading_taken_again_is_not_asked_for_a_third_time(step) -> None:
    history = [
        look("look_fan", "still"), look("hear_compressor", "silent"), look("look_contactor", "pulled_in"),
        read("v_contactor_line", 240.0), read("v_contactor_load", 238.0), read("v_pole_1", 239.0),
    ]  # fmt: skip
    asked: list[str] = []
    for _ in range(8):
        done = step(history)
        if not (isinstance(done, CheckNext) and done.retake):
            break
        asked.append(done.check)
        history.append(next(item for item in history if item.check == done.check))

    assert asked
    assert len(asked) == len(set(asked))


def test_consistent_readings_raise_no_doubt(tables: Tables, plate: dict[str, float]) -> None:
    for history in (GOOD_UNIT, [*FAN_HUMS, read("uf_fan", 0.0)]):
        assert Diagnosis(tables, history, plate=plate).contradictions() == ()


def test_when_nothing_can_be_checked_the_answer_is_honest(step, tables: Tables) -> None:
    done = step([look("look_fan", "still"), look("hear_compressor", "silent")], tools_missing=["meter", "clamp"],
                allowed=lambda check: check.needs is PowerNeed.ANY,
                skipped=[c.id for c in tables.kb.checks.values() if c.needs is PowerNeed.ANY])  # fmt: skip

    assert isinstance(done, CannotTell)
    assert len(done.remaining) >= 3


def test_what_fits_nothing_known_ends_in_cannot_tell(step, tables: Tables) -> None:
    """Everything is fed and measures right, and the fan stands: not one of the known faults."""
    history = [
        look("look_fan", "still"), look("look_fan", "still"), look("hear_compressor", "running"),
        look("hear_compressor", "running"), read("uf_fan", 5.0), read("uf_fan", 5.0), read("v_contactor_load", 238.0),
        read("a_fan", 0.9), read("a_fan", 0.9), look("spin_fan", "free"), read("r_fan_main", 24.0),
        read("r_fan_aux", 38.0), read("r_fan_ground", None), look("look_wiring", "fine"),
    ]  # fmt: skip
    for _ in range(60):
        done = step(history)
        assert not isinstance(done, Propose)
        if not isinstance(done, CheckNext):
            break
        history.append(_good_answer(done.check, tables))

    assert isinstance(done, CannotTell)


def test_the_same_history_gives_the_same_answer(step) -> None:
    history = [*FAN_HUMS, read("uf_fan", 4.9)]

    assert step(history) == step(history)


def test_a_single_reading_of_nothing_is_taken_again_before_a_part_is_fitted(step) -> None:
    """Probes that did not touch read nothing too."""
    seen = [
        look("look_fan", "still"), look("hear_compressor", "silent"), look("look_blower", "running"),
        read("v_coil", 0.0), read("v_y_outdoor", 26.5), read("v_hp_switch", 26.4), read("uf_fan", 0.0),
    ]  # fmt: skip
    there = {"power": PowerNeed.DISCHARGED, "setup": "dead_outdoor"}

    once = step(seen, **there)
    twice = step([*seen, read("uf_fan", 0.0)], **there)

    assert isinstance(once, CheckNext)
    assert (once.check, once.retake) == ("uf_fan", True)
    assert isinstance(twice, Propose)
    assert twice.repair == "replace_capacitor"


def test_what_was_said_both_ways_is_settled_before_a_repair_that_hangs_on_it(step) -> None:
    """A tripped breaker: of the usual kind it is reset once, one that guards against leakage sends to find the leak."""
    seen = [
        look("look_fan", "still"), look("look_disconnect", "closed"), look("hear_compressor", "silent"),
        look("look_condenser", "clean"), look("look_blower", "running"), look("look_drain", "dry"),
        read("v_coil", 26.0), read("v_contactor_line", 0.0), read("v_l1_ground", 0.0), look("look_wiring", "fine"),
        read("r_comp_ground", None), read("r_fan_ground", None), read("r_l1_ground", None), read("r_l2_ground", None),
        look("look_breaker", "tripped"), look("look_breaker_kind", "gfci"), look("look_breaker_kind", "plain"),
    ]  # fmt: skip

    open_still = step(seen)
    settled = step([*seen, look("look_breaker_kind", "plain")])

    assert isinstance(open_still, CheckNext)
    assert (open_still.check, open_still.retake) == ("look_breaker_kind", True)
    assert isinstance(settled, Propose)
    assert settled.repair == "restore_breaker"


def test_what_would_mislead_nobody_about_a_repair_is_not_taken_again(step) -> None:
    """That the repair is far from sure makes no look at fan or coil worth another: it shows the same either way."""
    kind, grounds = look("look_breaker_kind", "gfci"), ["r_comp_ground", "r_fan_ground", "r_l1_ground", "r_l2_ground"]
    seen = [
        look("look_fan", "still"), look("look_disconnect", "closed"), look("hear_compressor", "silent"),
        look("look_condenser", "clean"), look("look_blower", "running"), look("look_drain", "dry"),
        read("v_coil", 26.0), read("v_contactor_line", 0.0), read("v_l1_ground", 0.0), look("look_wiring", "fine"),
        *(read(name, None) for name in grounds for _ in range(2)), look("look_breaker", "tripped"), kind, kind, kind,
    ]  # fmt: skip
    found = step(seen)

    assert isinstance(found, Propose)
    assert found.repair == "refer_leakage"
    assert found.probability < 0.8


def test_what_two_of_three_takes_say_confirms(tables: Tables, plate: dict[str, float]) -> None:
    seen = [look("look_blade", "loose"), look("look_blade", "loose"), look("look_blade", "fine")]

    two, one = (Diagnosis(tables, takes, plate=plate).case for takes in (seen, seen[1:]))

    assert confirmation(two, "refit_fan_blade", ("fan_blade_loose",)).confirmed == (seen[1],)
    assert confirmation(one, "refit_fan_blade", ("fan_blade_loose",)).against == ("look_blade",)


def test_a_look_that_a_mended_fault_explains_confirms_no_other(tables: Tables, plate: dict[str, float]) -> None:
    """High static pressure with a full filter says nothing of the ducts until it is read again."""
    high = [look("look_blower", "running"), look("static_total", "high"), look("static_total", "high")]

    filled, other = (
        Diagnosis(tables, [*high, Repaired(repair)], plate=plate).case
        for repair in ("replace_filter", "replace_capacitor")
    )

    assert confirmation(filled, "refer_ducts", ("ducts_too_small",)).confirmed == ()
    assert confirmation(other, "refer_ducts", ("ducts_too_small",)).confirmed == (high[2],)


def test_ice_says_low_air_not_a_dirty_coil(tables: Tables, plate: dict[str, float]) -> None:
    """Any fault that starves the coil of air ices it: seen again when it has thawed."""
    seen = [look("look_blower", "running"), look("look_airflow", "weak")]

    iced, dirty = (
        Diagnosis(tables, [*seen, look("look_indoor_coil", how)], plate=plate).case for how in ("iced", "dirty")
    )

    assert confirmation(iced, "clean_evaporator", ("evaporator_dirty",)).vague == ("look_indoor_coil",)
    assert confirmation(dirty, "clean_evaporator", ("evaporator_dirty",)).confirmed


def test_a_part_that_only_looks_bad_is_measured_too(step) -> None:
    there = {"power": PowerNeed.DISCHARGED, "setup": "dead_outdoor"}
    seen = [*FAN_HUMS, look("look_capacitor", "swollen"), look("look_capacitor", "swollen")]

    done = step(seen, **there)
    measured = step([*seen, read("uf_fan", 0.0)], **there)

    assert isinstance(done, CheckNext)
    assert done.check in {"uf_fan", "uf_herm"}
    assert isinstance(measured, Propose)
    assert measured.repair == "replace_capacitor"


def test_among_the_known_faults_the_likeliest_is_verified_before_giving_up(step) -> None:
    """A capacitor lead off beside a grounded winding: together rarer than something unknown, and yet testable."""
    evidence = [
        look("look_fan", "humming"), look("hear_compressor", "humming"), read("v_disconnect_load", 19.9),
        read("v_fuse_1", 257.0), read("a_herm", 0.01), read("v_l1_ground", 5.9), read("v_l1_ground", 6.1),
        read("a_compressor", 1.28), read("a_compressor", 1.3), read("v_herm_c", 0.0), read("a_fan", 1.22),
        read("r_fan_ground", None),
    ]  # fmt: skip
    found = step(evidence)

    assert isinstance(found, CheckNext)
    assert found.check == "r_comp_ground"


def test_a_look_that_fails_a_proof_twice_is_taken_again_before_giving_up(
    tables: Tables, plate: dict[str, float]
) -> None:
    twice = [*GOOD_UNIT, GOOD_AIR[0], look("dt_return", "warmer"), look("dt_return", "warmer")]
    diagnosis = Diagnosis(tables, twice, plate=plate, unwell=Unwell.LOOKS)
    found = diagnosis.decide(allowed=lambda check: check.id == "dt_return")

    assert isinstance(found, CheckNext)
    assert (found.check, found.retake) == ("dt_return", True)


def test_gauges_that_say_little_one_by_one_confirm_together(tables: Tables, plate: dict[str, float]) -> None:
    steady = [
        look("look_fan", "turning"),
        look("hear_compressor", "running"),
        *GOOD_AIR[:3],
        look("ask_steady", "steady"),
    ]
    slight = [read("x_subcooling", 6.65), read("x_condensing", 5.65)]

    for one in slight:
        case = Diagnosis(tables, [*steady, one], plate=plate).case
        assert not confirmation(case, "recover_charge", ("overcharge",)).confirmed
    case = Diagnosis(tables, [*steady, *slight], plate=plate).case
    assert confirmation(case, "recover_charge", ("overcharge",)).confirmed


def test_a_winding_that_reads_to_ground_twice_is_condemned_at_once(step) -> None:
    found = step([look("look_breaker", "tripped"), read("r_fan_ground", 0.5), read("r_fan_ground", 0.5)])

    assert isinstance(found, Propose)
    assert (found.repair, found.faults[0]) == ("replace_fan_motor", "fan_grounded")


def test_fuses_are_not_replaced_before_everything_behind_them_was_measured_to_ground(step) -> None:
    """What blew them may still be there (29 CFR 1910.334(b)(2), from memory)."""
    found = [
        look("look_fan", "still"), read("v_disconnect_line", 240.0), read("v_disconnect_load", 0.0),
        read("v_fuse_1", 239.0), read("v_fuse_1", 239.0),
    ]  # fmt: skip
    asked = set()
    for _ in range(8):
        done = step(found)
        if isinstance(done, Propose):
            break
        assert isinstance(done, CheckNext)
        asked.add(done.check)
        found.append(read(done.check, None) if done.check.startswith("r_") else look(done.check, GOOD[done.check]))
    assert isinstance(done, Propose)
    assert done.repair == "replace_fuses"
    assert {"r_l1_ground", "r_l2_ground", "r_comp_ground", "r_fan_ground"} <= asked


GOOD = {"look_disconnect": "closed", "look_blower": "running", "hear_compressor": "silent", "look_breaker": "closed"}


def test_a_leg_read_grounded_and_then_clear_is_settled_before_the_breaker_is_reset(step) -> None:
    found = [
        look("look_fan", "still"), look("hear_compressor", "silent"), look("look_blower", "running"),
        read("v_contactor_line", 0.0), read("v_l1_ground", 0.0), look("look_breaker_kind", "plain"),
        look("look_breaker", "tripped"), look("look_breaker", "tripped"), read("r_comp_ground", None),
        read("r_fan_ground", None), read("r_l1_ground", None), read("r_l2_ground", 0.4), read("r_l2_ground", None),
    ]  # fmt: skip
    done = step(found)
    assert isinstance(done, CheckNext)
    assert done.check == "r_l2_ground"


def test_an_open_overload_in_a_hot_compressor_condemns_nothing(step) -> None:
    """It opened because the compressor was overheated; the root is elsewhere."""
    found = [
        look("look_fan", "turning"), look("hear_compressor", "silent"), look("look_wiring", "fine"),
        read("r_c_s", None), read("r_c_s", None), read("r_c_r", None), read("r_c_r", None), read("r_s_r", 3.2),
        read("r_s_r", 3.2),
    ]  # fmt: skip
    asks = step(found)
    hot = step([*found, look("feel_shell", "hot"), look("feel_shell", "hot")])
    assert isinstance(asks, CheckNext)
    assert not (isinstance(hot, Propose) and hot.repair == "replace_compressor")


def test_a_capacitor_that_looks_well_is_not_cleared_of_what_it_reads(step) -> None:
    found = [
        look("look_fan", "humming"), look("hear_compressor", "humming"), read("uf_herm", 0.0), read("uf_fan", 0.0),
        read("uf_herm", 0.0), read("uf_fan", 0.0), look("look_capacitor", "fine"), look("look_capacitor", "fine"),
    ]  # fmt: skip
    done = step(found)
    assert isinstance(done, Propose)
    assert done.repair == "replace_capacitor"

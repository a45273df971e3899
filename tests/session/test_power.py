"""The power state: the order of making safe, what clears it, what is missing, and what contradicts it.

The order is that of published rules, each named beside its test. They were not opened for these tests: the clauses
are those that the steps in knowledge/data/safety/steps.yaml cite; knowledge/data/sources.yaml says how they are known.
"""

from __future__ import annotations

from itertools import permutations

import pytest

from assistant.session import events as e
from assistant.session.power import (
    TABLE,
    Happening,
    missing_steps,
    next_power,
    power_table,
    refusal,
    shows_live,
    steps_to_restart,
)
from assistant.session.state import HELD_DEAD, Power
from assistant.session.steps import switched_off
from knowledge.models.entry import PowerNeed

from .made import CLEAR, DEAD, DISCHARGE, DISCHARGED, ISOLATE, KB, PROVE, Story


def names(steps: object) -> list[str]:
    return [step.id for step in steps]  # type: ignore[attr-defined]


# --- making safe ---


def test_a_visit_begins_not_knowing_the_power_state() -> None:
    assert Story().state.power is Power.UNKNOWN


def test_every_step_in_order_leads_from_unknown_to_charge_removed() -> None:
    story = Story()
    seen = [story.steps([step]).state.power for step in DISCHARGED]
    assert seen == [
        *[Power.UNKNOWN, Power.ISOLATED],
        *[Power.ISOLATED] * 4,
        Power.PROVED_DEAD,
        *[Power.PROVED_DEAD, Power.DISCHARGED],
    ]


def test_the_disconnect_alone_isolates_nothing() -> None:
    """29 CFR 1910.147(d)(3), (4): isolate, then lock and tag."""
    assert Story().steps([("disconnect_open", None)]).state.power is Power.UNKNOWN
    assert Story().steps([("lock_tag", None)]).state.power is Power.UNKNOWN
    assert Story().steps([("lock_tag", None), ("disconnect_open", None)]).state.power is Power.UNKNOWN


@pytest.mark.parametrize("order", list(permutations(PROVE[1:4])))
def test_the_three_zero_readings_come_in_any_order(order: tuple[tuple[str, float], ...]) -> None:
    assert Story().steps([*ISOLATE, PROVE[0], *order, PROVE[4]]).state.power is Power.PROVED_DEAD


@pytest.mark.parametrize("left_out", range(len(DEAD)))
def test_without_any_one_of_the_steps_nothing_is_proved_dead(left_out: int) -> None:
    """NFPA 70E 120.5: tester proved, each conductor to each and to ground, tester proved again."""
    steps = [step for place, step in enumerate(DEAD) if place != left_out]
    assert Story().steps(steps).state.power is not Power.PROVED_DEAD


@pytest.mark.parametrize("swapped", range(len(DEAD) - 1))
def test_two_steps_in_the_wrong_order_prove_nothing_except_among_the_zero_readings(swapped: int) -> None:
    steps = list(DEAD)
    steps[swapped], steps[swapped + 1] = steps[swapped + 1], steps[swapped]
    among_zeros = {swapped, swapped + 1} <= {3, 4, 5}
    proved = Story().steps(steps).state.power is Power.PROVED_DEAD
    assert proved is among_zeros


def test_a_step_out_of_order_can_be_repeated_in_order() -> None:
    story = Story().steps([("tester_after", None), *DEAD])
    assert story.state.power is Power.PROVED_DEAD


@pytest.mark.parametrize("value", [2.0001, 24.0, 118.0, 240.0, -240.0, float("inf"), float("nan")])
@pytest.mark.parametrize("step", ["zero_leg_to_leg", "zero_leg_1", "zero_leg_2"])
@pytest.mark.parametrize("before", [(), ISOLATE, DEAD, DISCHARGED])
def test_voltage_at_a_zero_point_is_live_whatever_was_proved(step: str, value: float, before: tuple[()]) -> None:
    story = Story().steps(before)
    epoch = story.state.epoch
    story.step(step, value)
    assert story.state.power is Power.LIVE
    assert story.state.epoch == epoch + 1
    assert story.state.steps_done == ()
    assert story.state.power_because == step


@pytest.mark.parametrize("value", [0.0, 1.9, 2.0, -2.0])
def test_up_to_the_limit_a_zero_reading_is_zero(value: float) -> None:
    steps = [(step, value if step.startswith("zero") else None) for step, _ in DEAD]
    assert Story().steps(steps).state.power is Power.PROVED_DEAD


@pytest.mark.parametrize("step", ["zero_leg_1", "dc_check"])
def test_a_measuring_step_without_its_reading_does_not_count(step: str) -> None:
    story = Story().steps(DISCHARGED[:4] if step == "zero_leg_1" else DISCHARGED[:-1])
    before = story.state.steps_done
    story.step(step)
    assert story.state.steps_done == before
    assert "reading" in (refusal(story.state, step, KB) or "")


def test_a_dc_reading_above_the_limit_asks_for_the_discharge_again() -> None:
    story = Story().steps([*DEAD, ("discharge", None), ("dc_check", 49.0)])
    assert story.state.power is Power.PROVED_DEAD
    assert names(missing_steps(story.state, PowerNeed.DISCHARGED, KB)) == ["discharge", "dc_check"]
    story.step("dc_check", 4.0)
    assert story.state.power is Power.PROVED_DEAD, "a second look without discharging again is no proof"
    assert story.steps(DISCHARGE).state.power is Power.DISCHARGED


def test_a_charge_that_comes_back_is_no_longer_removed() -> None:
    """Dielectric absorption recharges a capacitor after a short discharge: elementary physics."""
    story = Story().steps([*DISCHARGED, ("dc_check", 31.0)])
    assert story.state.power is Power.PROVED_DEAD


def test_a_negative_dc_reading_is_a_charge_too() -> None:
    assert Story().steps([*DEAD, ("discharge", None), ("dc_check", -48.0)]).state.power is Power.PROVED_DEAD


def test_repeating_a_step_changes_nothing_and_is_kept_once() -> None:
    once, twice = Story().steps(DISCHARGED), Story().steps([step for step in DISCHARGED for _ in range(2)])
    assert names_done(twice) == names_done(once)
    assert twice.state.power is Power.DISCHARGED


def names_done(story: Story) -> list[str]:
    return [done.step for done in story.state.steps_done]


def test_a_step_that_the_knowledge_does_not_know_changes_nothing() -> None:
    story = Story().steps(ISOLATE)
    before = story.state
    story.step("hold_breath")
    assert story.state.power is before.power
    assert story.state.steps_done == before.steps_done
    assert "hold_breath" in (refusal(before, "hold_breath", KB) or "")


# --- losing it ---


@pytest.mark.parametrize("before", [ISOLATE, DEAD, DISCHARGED])
@pytest.mark.parametrize(
    ("kind", "fields", "after"),
    [
        (e.PowerChanged, {"to": "live", "because": "they switched it on"}, Power.LIVE),
        (e.PowerChanged, {"to": "unknown", "because": "breaker somewhere else"}, Power.UNKNOWN),
        (e.VisitResumed, {"knowledge": "k", "program": "p"}, Power.UNKNOWN),
        (e.StepConfirmed, {"step": "power_on", "said": "power on"}, Power.LIVE),
    ],
)
def test_whatever_may_have_brought_power_back_clears_every_proof(
    before: tuple[()], kind: type[e.Event], fields: dict[str, str], after: Power
) -> None:
    story = Story().steps(before)
    epoch = story.state.epoch
    story.add(kind, **fields)
    assert story.state.power is after
    assert story.state.epoch == epoch + 1
    assert story.state.steps_done == ()
    story.steps(DISCHARGED[len(ISOLATE) :])
    assert story.state.power not in HELD_DEAD, "the old isolation counts no more"


def test_power_on_reported_too_early_is_on_all_the_same_but_was_refused() -> None:
    story = Story().steps(DEAD)
    assert "tools" in (refusal(story.state, "power_on", KB) or "")
    story.step("power_on")
    assert story.state.power is Power.LIVE


# --- what is missing ---


def test_the_refusal_names_the_first_missing_step() -> None:
    story = Story()
    for step, value in DISCHARGED:
        later = DISCHARGED[DISCHARGED.index((step, value)) + 1 :]
        for other, other_value in later:
            sentence = refusal(story.state, other, KB, other_value)
            if sentence is not None:
                assert sentence.endswith(".")
                assert KB.steps[step].name in sentence or step.startswith("zero")
                assert "{" not in sentence
        assert refusal(story.state, step, KB, value) is None
        story.step(step, value)


def test_missing_steps_before_dead_and_discharged_work_shrink_one_by_one() -> None:
    story = Story()
    for place, (step, value) in enumerate(DISCHARGED):
        left = [name for name, _ in DISCHARGED[place:]]
        assert names(missing_steps(story.state, PowerNeed.DISCHARGED, KB)) == left
        dead = [name for name, _ in DEAD[place:]]
        assert names(missing_steps(story.state, PowerNeed.DEAD, KB)) == dead
        story.step(step, value)
    assert missing_steps(story.state, PowerNeed.DEAD, KB) == ()
    assert missing_steps(story.state, PowerNeed.DISCHARGED, KB) == ()


def test_looking_from_outside_needs_nothing() -> None:
    assert missing_steps(Story().state, PowerNeed.ANY, KB) == ()


def test_live_work_takes_its_precautions_once_per_epoch() -> None:
    story = Story()
    assert names(missing_steps(story.state, PowerNeed.LIVE, KB)) == ["live_precautions"]
    story.step("live_precautions")
    assert missing_steps(story.state, PowerNeed.LIVE, KB) == ()
    story.add(e.PowerChanged, to="live", because="240 at the line side")
    story.add(e.PowerChanged, to="live", because="off and back on")
    assert names(missing_steps(story.state, PowerNeed.LIVE, KB)) == ["live_precautions"]


def test_who_took_an_unknown_unit_for_live_is_not_asked_again_when_it_shows_live() -> None:
    """29 CFR 1910.333(a)(1), (2): what is not known to be dead is treated as live; the precautions are the same."""
    story = Story().steps([("live_precautions", None)])
    assert story.state.power is Power.UNKNOWN
    story.add(e.PowerChanged, to="live", because="240 at the line side")
    assert story.state.power is Power.LIVE
    assert missing_steps(story.state, PowerNeed.LIVE, KB) == ()


def test_nothing_else_than_the_precautions_outlives_finding_an_unknown_unit_live() -> None:
    story = Story().steps([("live_precautions", None), ("disconnect_open", None)])
    story.add(e.PowerChanged, to="live", because="240 at the line side")
    assert [done.step for done in story.state.steps_done] == ["live_precautions"]


def test_live_work_on_a_dead_unit_waits_for_the_restoring_steps() -> None:
    """29 CFR 1910.333(b)(2)(v): tools and jumpers out, people warned and clear, own locks off, then on."""
    story = Story().steps([*DISCHARGED, ("live_precautions", None)])
    restoring = ["tools_clear", "people_clear", "power_on", "live_precautions"]
    assert names(missing_steps(story.state, PowerNeed.LIVE, KB)) == restoring
    story.steps([*CLEAR, ("power_on", None)])
    assert story.state.power is Power.LIVE
    assert names(missing_steps(story.state, PowerNeed.LIVE, KB)) == ["live_precautions"]


@pytest.mark.parametrize("order", list(permutations(CLEAR)))
def test_tools_and_people_are_cleared_in_either_order(order: tuple[tuple[str, None], ...]) -> None:
    story = Story().steps([*DEAD, *order])
    assert refusal(story.state, "power_on", KB) is None


def test_hands_in_the_unit_again_ask_for_the_clearing_again() -> None:
    story = Story().steps([*DISCHARGED, *CLEAR])
    story.read("uf_fan", 5.0)
    assert "tools" in (refusal(story.state, "power_on", KB) or "")
    assert story.state.power is Power.DISCHARGED, "the proofs of dead stay"


def test_a_look_from_outside_leaves_the_clearing_as_it_is() -> None:
    story = Story().steps([*DEAD, *CLEAR])
    story.find("condenser_coil", "dirty", check="look_condenser")
    assert refusal(story.state, "power_on", KB) is None


def test_the_restart_remembers_what_was_clear_when_power_came_back() -> None:
    story = Story().steps([*DEAD, *CLEAR])
    assert names(steps_to_restart(story.state, KB)) == ["power_on"]
    story.step("power_on")
    assert steps_to_restart(story.state, KB) == ()
    story.add(e.PowerChanged, to="live", because="said twice")
    assert steps_to_restart(story.state, KB) == ()


def test_power_that_came_back_unannounced_leaves_the_clearing_open() -> None:
    story = Story().steps([*DEAD, *CLEAR, ("zero_leg_1", 120.0)])
    assert names(steps_to_restart(story.state, KB)) == ["tools_clear", "people_clear"]


def test_next_power_tells_what_a_step_would_lead_to() -> None:
    state = Story().steps(DEAD[:-1]).state
    assert next_power(state, "tester_after", None, KB) is Power.PROVED_DEAD
    assert next_power(state, "zero_leg_1", 118.0, KB) is Power.LIVE
    assert next_power(state, "discharge", None, KB) is Power.ISOLATED


# --- what contradicts it ---


@pytest.mark.parametrize(
    ("about", "what", "value", "live"),
    [
        ("contactor_line", "voltage", 240.0, True),
        ("l1_ground", "voltage", 119.0, True),
        ("contactor_load", "voltage", 50.0, True),  # 29 CFR 1910.333(a)(1): live parts from 50 V
        ("contactor_load", "voltage", 49.9, False),
        ("contactor_load", "voltage", -240.0, True),
        ("disconnect_line", "voltage", 241.0, False),  # stays live with the disconnect open
        ("supply", "voltage", 241.0, False),
        ("transformer_primary", "voltage", 120.0, False),
        ("contactor_coil", "voltage", 27.0, False),  # 24 volts from indoors stay on
        ("y_outdoor", "voltage", 27.5, False),
        ("y_c", "voltage", 60.0, False),
        ("r_c", "voltage", 28.0, False),
        ("contactor_coil", "voltage", 240.0, True),
        ("capacitor", "voltage_dc", 340.0, False),  # a stored charge is no supply
        ("compressor", "current", 0.2, False),
        ("compressor", "current", 8.4, True),
        ("fan_common", "current", 0.9, True),
        ("blower", "current", 3.0, False),
        ("compressor", "resistance", 240.0, False),
        ("fan", "turning", None, True),
        ("fan", "humming", None, True),
        ("compressor", "running", None, True),
        ("compressor", "hot", None, False),
        ("fan", "still", None, False),
        ("blower", "running", None, False),
        ("fan_blade", "turning", None, False),  # spun by hand
        ("nowhere_known", "voltage", 240.0, True),
        (None, "voltage", 240.0, True),
    ],
)
def test_what_shows_that_the_unit_is_fed(about: str | None, what: str, value: float | None, live: bool) -> None:
    assert shows_live(about, what, value, KB) is live


@pytest.mark.parametrize("steps", [ISOLATE[:1], ISOLATE, DEAD, DISCHARGED])
def test_from_the_open_disconnect_on_nothing_outside_should_be_fed(steps: tuple[tuple[str, float | None], ...]) -> None:
    assert switched_off(Story().steps(steps).state, KB)
    assert not switched_off(Story().state, KB)


# --- the table ---


def test_every_power_state_can_be_reached_and_left() -> None:
    reached, grown = {Power.UNKNOWN}, True
    while grown:
        more = {row.target for row in TABLE if reached.intersection(row.source)} - reached
        reached, grown = reached | more, bool(more)
    assert reached == set(Power)
    for power in Power:
        assert any(power in row.source and row.target is not power for row in TABLE)


def test_no_pair_of_state_and_happening_has_two_rows() -> None:
    pairs = [(source, row.on) for row in TABLE for source in row.source]
    assert len(pairs) == len(set(pairs))


def test_only_rows_towards_safe_keep_the_proofs() -> None:
    safer = [Power.UNKNOWN, Power.LIVE, Power.ISOLATED, Power.PROVED_DEAD, Power.DISCHARGED]
    for row in TABLE:
        if row.target not in HELD_DEAD:
            assert row.new_epoch
            sources = {source for other in TABLE if other.on is row.on for source in other.source}
            assert sources == set(Power), f"{row.on} must count in every state"
            assert row.keeps in {None, "live_work"}, "what makes safe is never kept"
        elif row.on not in {"DC check above its limit", Happening.MORE_TO_PROVE, Happening.MORE_CHARGE}:
            assert all(safer.index(row.target) > safer.index(source) for source in row.source)


def test_the_printed_table_has_a_line_for_every_row() -> None:
    lines = power_table().splitlines()
    assert len(lines) == len(TABLE) + 2
    for row, line in zip(TABLE, lines[2:], strict=True):
        assert row.on in line
        assert f"| {row.target} |" in line
        assert line.count("|") == 6

"""The safety gate: missing steps, barred work, cautions, and what raises and clears a hard stop."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType
from typing import Any

import pytest

from assistant.reasoning.safety import cautions_for, cleared_stops, gate, raised_stops
from assistant.session import events as e
from assistant.session.power import missing_steps
from assistant.session.state import Power
from knowledge.models.entry import PowerNeed, Signal
from knowledge.models.safety import Stop
from tests.session.made import CLEAR, DEAD, DISCHARGED, ISOLATE, KB, NOON, Story, finding, reading


def ids(pairs: tuple[tuple[Stop, str], ...]) -> list[str]:
    return [stop.id for stop, _ in pairs]


def taken(story: Story, check: str, value: float | None, /, **fields: Any) -> e.ReadingTaken:
    return e.ReadingTaken(at=NOON, seq=900, note=90, **reading(story.state, check, value, **fields))


def found(story: Story, about: str, how: str, /, **fields: Any) -> e.FindingMade:
    return e.FindingMade(at=NOON, seq=900, note=90, **finding(story.state, about, how, **fields))


def stopped(*stops: str) -> Story:
    story = Story()
    for stop in stops:
        story.add(e.StopRaised, stop=stop, because="told")
    return story


# --- the gate ---


def test_the_gate_names_the_steps_in_order_and_then_opens() -> None:
    story = Story()
    assert [step.id for step in gate(story.state, PowerNeed.DISCHARGED, KB).missing] == [name for name, _ in DISCHARGED]
    assert not gate(story.state, PowerNeed.DISCHARGED, KB).free
    story.steps(DISCHARGED)
    assert gate(story.state, PowerNeed.DISCHARGED, KB).free
    assert gate(story.state, PowerNeed.DEAD, KB).free


def test_work_for_a_dead_unit_may_be_done_where_the_charge_is_removed_too() -> None:
    assert not gate(Story().steps(ISOLATE).state, PowerNeed.DEAD, KB).free
    assert gate(Story().steps(DEAD).state, PowerNeed.DEAD, KB).free
    assert not gate(Story().steps(DEAD).state, PowerNeed.DISCHARGED, KB).free


def test_every_check_with_the_covers_off_needs_a_power_state() -> None:
    """No panel comes off on an unproved unit: 29 CFR 1910.333(a)(1), dead first or protected for live work."""
    for check in KB.checks.values():
        if check.covers_off:
            assert not gate(Story().state, check.needs, KB).free, check.id


def test_a_stop_bars_live_work_and_shows_no_way_to_energise() -> None:
    for steps in ((), DEAD, DISCHARGED, [*DISCHARGED, *CLEAR]):
        story = stopped("comp_grounded").steps(steps)
        barrier = gate(story.state, PowerNeed.LIVE, KB)
        assert [stop.stop for stop in barrier.barred] == ["comp_grounded"]
        assert barrier.missing == ()
        assert not barrier.free


def test_a_stop_leaves_the_way_to_a_dead_unit_open() -> None:
    story = stopped("comp_grounded", "burnt_terminal")
    barrier = gate(story.state, PowerNeed.DISCHARGED, KB)
    assert barrier.barred == ()
    assert [step.id for step in barrier.missing] == [name for name, _ in DISCHARGED]


def test_a_stop_can_forbid_other_work_than_energising() -> None:
    stop = KB.stops["comp_grounded"].model_copy(update={"id": "x", "forbids": (PowerNeed.DEAD,)})
    kb = replace(KB, stops=MappingProxyType({"x": stop}))
    state = stopped("x").state
    assert gate(state, PowerNeed.DEAD, kb).barred != ()
    assert gate(state, PowerNeed.LIVE, kb).barred == ()


def test_a_stop_of_another_version_of_the_knowledge_bars_energising() -> None:
    assert gate(stopped("never_heard_of").state, PowerNeed.LIVE, KB).barred != ()
    assert gate(stopped("never_heard_of").state, PowerNeed.DEAD, KB).barred == ()


@pytest.mark.parametrize(
    ("steps", "missing"),
    [
        ((), ["tools_clear", "people_clear", "power_on", "live_precautions"]),
        ((("power_on", None),), ["tools_clear", "people_clear", "live_precautions"]),
        ((("power_on", None), ("people_clear", None)), ["tools_clear", "live_precautions"]),
        (DEAD, ["tools_clear", "people_clear", "power_on", "live_precautions"]),
        ((*DEAD, *CLEAR), ["power_on", "live_precautions"]),
        ((*DEAD, *CLEAR, ("power_on", None)), ["live_precautions"]),
        ((*DEAD, *CLEAR, ("power_on", None), ("live_precautions", None)), []),
    ],
)
def test_at_the_restart_live_work_waits_for_all_that_belongs_to_it(steps: Any, missing: list[str]) -> None:
    story = Story().steps(steps)
    story.add(e.PhaseEntered, phase="restart")
    assert [step.id for step in gate(story.state, PowerNeed.LIVE, KB).missing] == missing


# --- cautions ---


def test_every_place_of_every_caution_brings_it() -> None:
    places = 0
    for caution in KB.cautions.values():
        for when in caution.when:
            kind, _, value = when.partition(":")
            state = Story().state
            asked: dict[str, Any] = {}
            if kind == "hazard":
                state = replace(state, hazards=frozenset({value}))
            elif kind == "needs":
                asked["check"] = next(check for check in KB.checks.values() if check.needs == value)
            elif kind == "wait":
                asked["waits"] = (value,)
            else:
                asked[kind] = value
            assert caution in cautions_for(KB, state, **asked), when
            places += 1
    assert places > 20


def test_cautions_that_a_check_or_repair_names_come_with_it() -> None:
    for check in KB.checks.values():
        shown = {caution.id for caution in cautions_for(KB, Story().state, check=check.id)}
        assert set(check.cautions) <= shown
    for repair in KB.repairs.values():
        assert set(repair.cautions) <= {caution.id for caution in cautions_for(KB, Story().state, repair=repair)}


def test_cautions_come_by_the_severity_of_their_signal_word_and_each_once() -> None:
    """ANSI Z535 / ISO 3864 (from memory): danger before warning before caution before notice."""
    order = [Signal.DANGER, Signal.WARNING, Signal.CAUTION, Signal.NOTICE]
    state = replace(Story().state, hazards=frozenset(KB.hazards))
    several = 0
    for check in KB.checks.values():
        shown = cautions_for(KB, state, check=check, repair="replace_contactor", waits=tuple(KB.waits))
        ranks = [order.index(caution.signal) for caution in shown]
        assert ranks == sorted(ranks)
        assert len({caution.id for caution in shown}) == len(shown)
        several += len(set(ranks)) > 2
    assert several > 0


def test_nothing_brings_no_caution_and_unknown_ids_neither() -> None:
    assert cautions_for(KB, Story().state) == ()
    assert cautions_for(KB, Story().state, check="x", repair="y", phase="z", waits=("w",)) == ()


def test_live_work_in_a_wet_place_shows_both_dangers() -> None:
    state = replace(Story().state, hazards=frozenset({"wet"}))
    shown = [caution.id for caution in cautions_for(KB, state, check="v_contactor_line")]
    assert {"live_boundary", "wet_place"} <= set(shown)


# --- raising ---


@pytest.mark.parametrize("stop", [stop for stop in KB.stops.values() if stop.check], ids=lambda stop: stop.id)
def test_a_reading_beyond_the_limit_of_a_stop_raises_it(stop: Stop) -> None:
    story = Story().steps(DISCHARGED)
    assert stop.check is not None
    assert stop.below is not None
    for value, expected in [(0.0, True), (stop.below - 1, True), (stop.below, False), (stop.below * 10, False)]:
        assert (stop.id in ids(raised_stops(KB, story.state, taken(story, stop.check, value)))) is expected
    assert ids(raised_stops(KB, story.state, taken(story, stop.check, None, over_limit=True))) == []


def test_two_megohms_is_where_a_compressor_counts_as_grounded() -> None:
    """Limit as carried in knowledge/data/safety/stops.yaml, source ieee_43 there (quoted, not opened)."""
    story = Story()
    assert ids(raised_stops(KB, story.state, taken(story, "r_comp_ground", 1.99e6))) == ["comp_grounded"]
    assert raised_stops(KB, story.state, taken(story, "r_comp_ground", 2.0e6)) == ()


def test_of_a_range_the_worse_end_counts() -> None:
    story = Story()
    assert raised_stops(KB, story.state, taken(story, "r_comp_ground", 1.0e6, high=9.0e6)) != ()


@pytest.mark.parametrize("doubts", [("unsure",), ("misheard",), ("approximate", "spelling")])
def test_a_doubtful_word_raises_a_stop_too(doubts: tuple[str, ...]) -> None:
    story = Story()
    assert ids(raised_stops(KB, story.state, taken(story, "r_fan_ground", 40.0, doubts=doubts))) == ["fan_grounded"]
    assert ids(raised_stops(KB, story.state, found(story, "wiring", "burnt", doubts=doubts))) == ["burnt_terminal"]


def test_a_reading_that_was_not_asked_for_raises_its_stop_too() -> None:
    story = Story()
    assert ids(raised_stops(KB, story.state, taken(story, "r_comp_ground", 40.0, check=None))) == ["comp_grounded"]
    elsewhere = taken(story, "r_coil", 12.0)
    assert raised_stops(KB, story.state, elsewhere) == ()


@pytest.mark.parametrize("unproved", [True, False])
def test_a_reading_on_an_unproved_unit_raises_its_stop_too(unproved: bool) -> None:
    story = Story()
    assert raised_stops(KB, story.state, taken(story, "r_comp_ground", 40.0, proved=not unproved)) != ()


def test_a_finding_raises_the_stop_of_the_wider_part() -> None:
    part = KB.subjects["wiring"].model_copy(update={"id": "lead_s", "part_of": "wiring"})
    tip = part.model_copy(update={"id": "lead_s_tip", "part_of": "lead_s"})
    kb = replace(KB, subjects=MappingProxyType({**KB.subjects, "lead_s": part, "lead_s_tip": tip}))
    story = Story()
    for about in ("wiring", "lead_s", "lead_s_tip"):
        assert ids(raised_stops(kb, story.state, found(story, about, "burnt"))) == ["burnt_terminal"]
    assert raised_stops(kb, story.state, found(story, "drain_pan", "burnt")) == ()


def test_parts_that_name_each_other_as_the_wider_one_do_not_hang_the_gate() -> None:
    wiring = KB.subjects["wiring"]
    ring = {name: wiring.model_copy(update={"id": name, "part_of": other}) for name, other in ("ab", "ba")}
    kb = replace(KB, subjects=MappingProxyType({**KB.subjects, **ring}))
    story = Story()
    assert raised_stops(kb, story.state, found(story, "a", "burnt")) == ()


def test_an_answer_to_a_look_raises_the_stop_of_what_was_looked_at() -> None:
    story = Story()
    assert ids(raised_stops(KB, story.state, found(story, "contactor", "burnt", check="look_wiring"))) == [
        "burnt_terminal"
    ]


@pytest.mark.parametrize(("about", "how"), [("wiring", "burnt"), ("electrics", "wet"), ("disconnect_inside", "burnt")])
def test_a_finding_raises_its_stop_and_its_denial_does_not(about: str, how: str) -> None:
    story = Story()
    assert len(raised_stops(KB, story.state, found(story, about, how))) == 1
    assert raised_stops(KB, story.state, found(story, about, how, negated=True)) == ()
    assert raised_stops(KB, story.state, found(story, about, "good")) == ()


def test_a_standing_stop_is_not_raised_again() -> None:
    story = stopped("burnt_terminal")
    assert raised_stops(KB, story.state, found(story, "wiring", "burnt")) == ()


def test_the_second_set_of_fuses_raises_a_stop_proposed_or_done() -> None:
    """29 CFR 1910.334(b)(2): no re-energising by replacing fuses again until it is found safe."""
    story = Story()
    done = {"said": "new fuses", "proposed": False}
    first = story.add(e.RepairDone, repair="replace_fuses", **done)
    assert raised_stops(KB, story.state, first) == (), "its own trace in the state is no second time"
    other = story.add(e.RepairDone, repair="replace_contactor", **done)
    assert raised_stops(KB, story.state, other) == ()
    proposal = {"cause": ("fuse_weak",), "probability": 0.9, "evidence": ("OL",)}
    proposed = e.RepairProposed(at=NOON, seq=900, note=90, repair="replace_fuses", **proposal)
    assert ids(raised_stops(KB, story.state, proposed)) == ["second_blown_fuse"]
    before = story.state
    second = story.add(e.RepairDone, repair="replace_fuses", **done)
    assert ids(raised_stops(KB, before, second)) == ids(raised_stops(KB, story.state, second)) == ["second_blown_fuse"]


def test_events_that_say_nothing_about_the_unit_raise_nothing() -> None:
    story = Story()
    for event in story.visit.events:
        assert raised_stops(KB, story.state, event) == ()
    assert raised_stops(KB, story.state, e.FreeNote(at=NOON, text="burnt toast")) == ()


# --- clearing ---


def test_a_re_test_that_passes_on_a_proved_unit_clears_its_stop_and_no_other() -> None:
    story = stopped("comp_grounded", "fan_grounded", "burnt_terminal").steps(DISCHARGED)
    assert ids(cleared_stops(KB, story.state, taken(story, "r_comp_ground", 2.0e7))) == ["comp_grounded"]
    assert ids(cleared_stops(KB, story.state, taken(story, "r_fan_ground", None, over_limit=True))) == ["fan_grounded"]
    look = found(story, "wiring", "good", check="look_wiring", outcomes=("fine",))
    assert ids(cleared_stops(KB, story.state, look)) == ["burnt_terminal"]


def test_one_re_test_clears_all_stops_that_wait_for_it() -> None:
    story = stopped("comp_grounded", "second_blown_fuse").steps(DISCHARGED)
    story.add(e.ReadingTaken, **reading(story.state, "r_fan_ground", 2.0e7))
    assert ids(cleared_stops(KB, story.state, taken(story, "r_comp_ground", 2.0e7))) == [
        "comp_grounded",
        "second_blown_fuse",
    ]


def test_a_stop_that_does_not_stand_is_not_cleared() -> None:
    story = Story().steps(DISCHARGED)
    assert cleared_stops(KB, story.state, taken(story, "r_comp_ground", 2.0e7)) == ()


@pytest.mark.parametrize(
    ("value", "fields"),
    [
        (1.99e6, {}),
        (0.0, {}),
        (1.0e6, {"high": 5.0e7}),
        (None, {}),
        (2.0e7, {"doubts": ("unsure",)}),
        (2.0e7, {"doubts": ("misheard",)}),
        (2.0e7, {"doubts": ("approximate",)}),
        (2.0e7, {"doubts": ("spelling",)}),
        (2.0e7, {"doubts": ("assumed", "unsure")}),
        (2.0e7, {"proved": False}),
        (2.0e7, {"epoch": 7}),
        (2.0e7, {"check": None}),
        (2.0e7, {"check": "r_fan_ground"}),
        (2.0e7, {"check": "no_such_check"}),
    ],
)
def test_what_does_not_clear_a_stop(value: float | None, fields: dict[str, Any]) -> None:
    story = stopped("comp_grounded").steps(DISCHARGED)
    assert cleared_stops(KB, story.state, taken(story, "r_comp_ground", value, **fields)) == ()


def test_a_bare_answer_to_the_re_test_clears_its_stop() -> None:
    story = stopped("comp_grounded").steps(DISCHARGED)
    assert cleared_stops(KB, story.state, taken(story, "r_comp_ground", 2.0e7, doubts=("assumed",))) != ()


@pytest.mark.parametrize("steps", [(), ISOLATE, DEAD])
def test_an_event_that_claims_to_be_proved_does_not_clear_where_the_state_is_not(steps: Any) -> None:
    story = stopped("comp_grounded").steps(steps)
    assert cleared_stops(KB, story.state, taken(story, "r_comp_ground", 2.0e7, proved=True)) == ()


def test_a_re_test_from_before_power_came_back_clears_nothing() -> None:
    story = stopped("comp_grounded").steps(DISCHARGED)
    old = taken(story, "r_comp_ground", 2.0e7)
    story.add(e.PowerChanged, to="live", because="on")
    story.steps(DISCHARGED)
    assert story.state.power is Power.DISCHARGED
    assert cleared_stops(KB, story.state, old) == ()


@pytest.mark.parametrize(
    "fields",
    [
        {"outcomes": ("burnt",)},
        {"outcomes": ("fine", "burnt")},
        {"outcomes": ()},
        {"outcomes": ("fine",), "negated": True},
        {"outcomes": ("fine",), "doubts": ("unsure",)},
    ],
)
def test_a_look_that_leaves_anything_open_clears_nothing(fields: dict[str, Any]) -> None:
    story = stopped("burnt_terminal").steps(DEAD)
    assert cleared_stops(KB, story.state, found(story, "wiring", "good", check="look_wiring", **fields)) == ()


def test_a_look_does_not_pass_a_measuring_re_test() -> None:
    story = stopped("comp_grounded").steps(DISCHARGED)
    look = found(story, "comp_ground", "good", check="r_comp_ground", outcomes=("fine",))
    assert cleared_stops(KB, story.state, look) == ()


def test_a_re_test_below_a_limit() -> None:
    stop = KB.stops["comp_grounded"].model_copy(update={"id": "hot", "retest_at_least": None, "retest_below": 100.0})
    kb = replace(KB, stops=MappingProxyType({"hot": stop}))
    story = stopped("hot").steps(DISCHARGED)
    cases: list[tuple[float | None, dict[str, Any], bool]] = [
        (99.0, {}, True),
        (100.0, {}, False),
        (90.0, {"high": 110.0}, False),
        (None, {"over_limit": True}, False),
    ]
    for value, fields, cleared in cases:
        assert bool(cleared_stops(kb, story.state, taken(story, "r_comp_ground", value, **fields))) is cleared


def test_every_stop_can_be_cleared_by_its_re_test_while_it_stands() -> None:
    """The re-test itself must not need what the stop forbids: otherwise the stop could never end."""
    for stop in KB.stops.values():
        retest = KB.checks[stop.retest]
        assert retest.needs not in stop.forbids, stop.id
        story = stopped(stop.id).steps(DISCHARGED)
        assert missing_steps(story.state, retest.needs, KB) == ()
        if stop.retest_outcomes:
            event: Any = found(story, retest.about, "good", check=retest.id, outcomes=stop.retest_outcomes[:1])
        else:
            event = taken(story, retest.id, (stop.retest_at_least or 0.0) + 1.0)
        for other in stop.also_retests:
            assert ids(cleared_stops(KB, story.state, event)) == []
            story.add(e.ReadingTaken, **reading(story.state, other, (stop.retest_at_least or 0.0) + 1.0))
        assert ids(cleared_stops(KB, story.state, event)) == [stop.id]

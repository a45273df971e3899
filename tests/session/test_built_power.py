"""What is told of how the unit is built changes which safety steps there are, never what was not proved."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from assistant.session import events as e
from assistant.session.fold import Visit, fold
from assistant.session.state import Power
from assistant.session.steps import group_of, missing_steps
from knowledge.models.entry import PowerNeed

from .made import DEAD, DISCHARGED, KB

AT = datetime(2026, 7, 1, 10, tzinfo=UTC)
OPENED = e.VisitOpened(at=AT, visit="invented", unit_kind="split_psc_240", knowledge="x", program="x")


def told(option: str, choice: str, note: int = 0) -> e.BuiltTold:
    return e.BuiltTold(at=AT, note=note, option=option, choice=choice, said="invented")


def steps(done: list[tuple[str, float | None]]) -> list[e.AnyEvent]:
    return [e.StepConfirmed(at=AT, step=step, value=value, said="done") for step, value in done]


KIT = told("hard_start", "kit")
START = [("discharge_start", None), ("dc_check_start", 2.0)]


def names(state: object, need: PowerNeed) -> list[str]:
    return [step.id for step in missing_steps(state, need, KB)]  # type: ignore[arg-type]


def test_a_start_capacitor_is_discharged_and_read_by_itself() -> None:
    state = fold([OPENED, KIT, *steps(list(DEAD))], KB)
    assert names(state, PowerNeed.DISCHARGED) == ["discharge", "discharge_start", "dc_check", "dc_check_start"]
    state = fold([OPENED, KIT, *steps([*DISCHARGED])], KB)
    assert state.power is Power.PROVED_DEAD
    in_turn = [*DEAD, ("discharge", None), START[0], ("dc_check", 1.0), START[1]]
    assert fold([OPENED, KIT, *steps(in_turn)], KB).power is Power.DISCHARGED


def test_without_a_kit_nothing_of_it_is_asked() -> None:
    state = fold([OPENED, *steps(list(DISCHARGED))], KB)
    assert state.power is Power.DISCHARGED
    assert "discharge_start" not in {step.id for step in group_of(state, KB, "remove_charge")}


def test_a_kit_told_late_takes_back_that_all_charge_is_removed() -> None:
    state = fold([OPENED, *steps(list(DISCHARGED)), KIT], KB)
    assert state.power is Power.PROVED_DEAD
    assert names(state, PowerNeed.DISCHARGED) == ["discharge", "discharge_start", "dc_check", "dc_check_start"]
    assert not names(state, PowerNeed.DEAD)


def test_a_high_reading_on_the_start_capacitor_asks_for_both_again() -> None:
    in_turn = [*DEAD, ("discharge", None), START[0], ("dc_check", 1.0), ("dc_check_start", 90.0)]
    state = fold([OPENED, KIT, *steps(in_turn)], KB)
    assert state.power is Power.PROVED_DEAD
    assert "discharge_start" in names(state, PowerNeed.DISCHARGED)


def test_taking_back_what_steps_hang_on_leaves_nothing_proved() -> None:
    note = told("hard_start", "kit", note=1)
    events = [OPENED, note, *steps(list(DEAD)), e.NoteTakenBack(at=AT, note=2, taken_back=1, because="undo")]
    live = Visit(KB, events[:-1]).extended(events[-1:]).state
    assert live.power is Power.UNKNOWN
    assert live.power == fold(events, KB).power
    assert not live.steps_done


@pytest.mark.parametrize("option", ["contactor_poles", "float_fitted"])
def test_what_no_step_hangs_on_changes_no_proof(option: str) -> None:
    choice = KB.units["split_psc_240"].options
    last = next(one.choices[-1].id for one in choice if one.id == option)
    assert fold([OPENED, *steps(list(DISCHARGED)), told(option, last)], KB).power is Power.DISCHARGED

"""Every hard stop: raised by the right answers and by no others, cleared by its re-test alone, proved and undoubted."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any, Literal

import pytest

from assistant.reasoning.safety import cleared_stops, gate, raised_stops
from assistant.session import events as e
from assistant.session.power import confirmed
from assistant.session.state import Stop, VisitState
from assistant.session.steps import CHAIN, group_of
from knowledge import load
from knowledge.models.entry import Closed, Id, PowerNeed
from tests.knowledge.case_files import cases

AT = datetime(2025, 7, 14, 15, 0, tzinfo=UTC)
SINCE = AT + timedelta(minutes=1)
STEPS = {"live": 0, "dead": 2, "discharged": 3}
"""Power proved -> how many groups of the chain were done."""


class Answer(Closed):
    check: Id | None = None
    reads: float | None = None
    over_limit: bool = False
    about: Id | None = None
    state: Id | None = None
    repair: Id | None = None
    done_before: tuple[Id, ...] = ()
    passed_before: tuple[Id, ...] = ()
    """Re-tests over limit since the stop was raised."""
    doubt: str | None = None
    power: Literal["live", "dead", "discharged"] = "discharged"


class StopCase(Closed):
    stop: Id
    raised_by: tuple[Answer, ...]
    not_raised_by: tuple[Answer, ...]
    cleared_by: tuple[Answer, ...]
    not_cleared_by: tuple[Answer, ...]


class StopCases(Closed):
    cases: tuple[StopCase, ...]


FILE = cases("safety/stops.yaml", StopCases).cases


def each(field: str) -> list[tuple[str, Answer]]:
    return [(case.stop, answer) for case in FILE for answer in getattr(case, field)]


def name(value: Any) -> str:
    if not isinstance(value, Answer):
        return str(value)
    before = (*value.done_before, *value.passed_before)
    said = [value.check, value.about, value.state, value.repair, value.doubt, *before, value.power]
    number = "OL" if value.over_limit else value.reads
    return "-".join(str(part) for part in (*said, number) if part is not None)


def visit(answer: Answer) -> VisitState:
    """Return a visit whose unit is proved as far as the answer says, with the repairs done before."""
    kb, state = load(), VisitState(visit="invented", unit_kind="split_psc_240")
    for group in CHAIN[: STEPS[answer.power]]:
        for step in group_of(state, kb, group):
            value = None if step.at_most is None else 0.0
            state = confirmed(state, e.StepConfirmed(at=AT, step=step.id, value=value, said="done"), kb)
    done = tuple(e.RepairDone(seq=1, at=AT, repair=id_, said="done", proposed=True) for id_ in answer.done_before)
    latest = {check: event(Answer(check=check, over_limit=True), state, SINCE) for check in answer.passed_before}
    return replace(state, repairs=done, latest=latest)  # type: ignore[arg-type]


def event(answer: Answer, state: VisitState, at: datetime = AT) -> e.AnyEvent:
    kb = load()
    doubts = (answer.doubt,) if answer.doubt else ()
    stand: dict[str, Any] = {"at": at, "said": "as the case says", "phase": "finding", "epoch": state.epoch}
    if answer.repair:
        return e.RepairDone(seq=2, at=AT, repair=answer.repair, said="done", proposed=True)
    proof: dict[str, Any] = {"doubts": doubts, "power": state.power.value, "proved": True}
    if answer.check:
        check = kb.checks[answer.check]
        quantity = kb.quantities[check.quantity or ""]
        return e.ReadingTaken(
            about=check.about,
            quantity=quantity.id,
            value=answer.reads,
            over_limit=answer.over_limit,
            unit=quantity.unit,
            check=check.id,
            **stand,
            **proof,
        )
    looked = next((check for check in kb.checks.values() if check.about == answer.about and check.answers), None)
    outcomes = tuple(given.outcome for given in looked.answers if answer.state in given.states) if looked else ()
    return e.FindingMade(
        about=answer.about or "",
        state=answer.state or "",
        check=looked.id if looked else None,
        outcomes=outcomes,
        **stand,
        **proof,
    )


def raised(answer: Answer) -> set[str]:
    state = visit(answer)
    return {stop.id for stop, _ in raised_stops(load(), state, event(answer, state))}


def cleared(stop: str, answer: Answer) -> set[str]:
    state = replace(visit(answer), stops=(Stop(stop, "raised before", AT),))
    return {gone.id for gone, _ in cleared_stops(load(), state, event(answer, state))}


def test_every_stop_has_cases_of_all_four_kinds() -> None:
    assert [case.stop for case in FILE] == list(load().stops)
    for case in FILE:
        assert case.raised_by
        assert case.not_raised_by
        assert case.cleared_by
        assert case.not_cleared_by


@pytest.mark.parametrize(("stop", "answer"), each("raised_by"), ids=name)
def test_a_stop_is_raised(stop: str, answer: Answer) -> None:
    assert stop in raised(answer)


@pytest.mark.parametrize(("stop", "answer"), each("not_raised_by"), ids=name)
def test_a_stop_is_not_raised_by_another_answer(stop: str, answer: Answer) -> None:
    assert stop not in raised(answer)


@pytest.mark.parametrize(("stop", "answer"), each("cleared_by"), ids=name)
def test_a_stop_is_cleared_by_its_retest(stop: str, answer: Answer) -> None:
    assert cleared(stop, answer) == {stop}


@pytest.mark.parametrize(("stop", "answer"), each("not_cleared_by"), ids=name)
def test_a_stop_is_cleared_by_nothing_less(stop: str, answer: Answer) -> None:
    assert cleared(stop, answer) == set()


@pytest.mark.parametrize("stop", list(load().stops))
def test_a_standing_stop_forbids_energising_and_leaves_its_retest_free(stop: str) -> None:
    kb = load()
    need = kb.checks[kb.stops[stop].retest].needs
    state = replace(visit(Answer(power="discharged")), stops=(Stop(stop, "raised before", AT),))
    assert not gate(state, PowerNeed.LIVE, kb).free
    assert gate(state, need, kb).free

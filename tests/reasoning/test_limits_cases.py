"""The limits against their sourced cases: one case file for each file of limits, every limit with a case."""

from __future__ import annotations

from collections import Counter
from pathlib import Path
from typing import Annotated, Any, Literal

import pytest
from pydantic import BaseModel, ConfigDict, Field, model_validator

from assistant.reasoning import limits
from assistant.reasoning.limits import Forecast, LimitResult, Verdict
from knowledge.base import DATA, KnowledgeBase, load
from knowledge.models.source import Known
from knowledge.reader import read_model

CASES = Path(__file__).parents[1] / "knowledge" / "cases" / "limits"
Open = Literal["open"]


class Closed(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, strict=True)


class Expect(Closed):
    low: float | None = None
    high: float | None = None
    unit: str | None = None
    typical: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()
    value: float | None = None
    word: str = ""
    ok: bool | None = None
    says: str = ""
    """Words that the sentence must contain."""


class Load(Closed):
    amps: float
    volts: float
    limit: str = "capacitance_under_load"


class Drop(Closed):
    rest_v: float
    load_v: float
    starting: bool


class Replace(Closed):
    marked_uf: float | None
    marked_v: float | None
    offered_uf: float | None
    offered_v: float | None


class Cool(Closed):
    air_f: float | None
    shell: tuple[tuple[float, float], ...]


class Case(Closed):
    name: Annotated[str, Field(pattern=r"^\S+( \S+){3,}$")]
    source: str
    known: Known
    expect: Expect
    plate: dict[str, float] = Field(default_factory=dict)
    readings: dict[str, float] = Field(default_factory=dict)
    given: dict[str, float] = Field(default_factory=dict)
    """Inputs of the formula by its own names."""
    reading: float | Open | None = None
    limit: str | None = None
    check: str | None = None
    winding: tuple[float | Open, float | Open, float | Open] | None = None
    """C-R, C-S, S-R"""
    load: Load | None = None
    drop: Drop | None = None
    replace: Replace | None = None
    fuse: float | None = None
    cool: Cool | None = None
    touch: Cool | None = None
    hold: dict[str, float] | None = None

    @model_validator(mode="after")
    def _one_question(self) -> Case:
        asked = [k for k in QUESTIONS if getattr(self, k) is not None]
        if len(asked) != 1:
            raise ValueError(f"a case asks exactly one of {', '.join(QUESTIONS)}, not {asked or 'nothing'}")
        if not self.expect.model_fields_set:
            raise ValueError("expect must name something")
        return self


QUESTIONS = ("limit", "check", "winding", "load", "drop", "replace", "fuse", "cool", "touch", "hold")


class CaseFile(Closed):
    cases: tuple[Case, ...]


def _read() -> list[Case]:
    return [case for path in sorted(CASES.glob("*.yaml")) for case in read_model(path, CaseFile).cases]


ALL = _read()


@pytest.mark.parametrize("case", ALL, ids=lambda case: case.name)
def test_limit_case(case: Case) -> None:
    got = _answer(load(), case)
    for field in case.expect.model_fields_set:
        wanted = getattr(case.expect, field)
        if field == "says":
            assert wanted in got["says"]
        elif isinstance(wanted, float) and not isinstance(wanted, bool):
            assert got[field] == pytest.approx(wanted, abs=0.006 * max(1, abs(wanted) / 10)), field
        else:
            assert got[field] == wanted, field


def test_every_file_of_limits_has_its_file_of_cases_and_every_limit_a_case() -> None:
    assert {p.name for p in CASES.glob("*.yaml")} == {p.name for p in (DATA / "limits").glob("*.yaml")}
    kb = load()
    met = {case.limit for case in ALL} | {kb.checks[case.check].limit for case in ALL if case.check}
    by_function = {
        "winding": "winding_sum",
        "replace": "capacitor_replacement",
        "fuse": "fuse_maximum",
        "cool": "cool_down",
        "touch": "touch_cool_down",
        "hold": "discharge_time",
    }
    met |= {by_function[q] for q in by_function if any(getattr(case, q) is not None for case in ALL)}
    met |= {case.load.limit for case in ALL if case.load is not None}
    met |= {"voltage_drop_start" if c.drop.starting else "voltage_drop_run" for c in ALL if c.drop}
    assert set(kb.limits) - met == set()


def test_case_names_are_unique_and_sources_are_in_the_bibliography() -> None:
    assert [name for name, count in Counter(case.name for case in ALL).items() if count > 1] == []
    assert {case.source for case in ALL} <= set(load().sources)


def _answer(kb: KnowledgeBase, case: Case) -> dict[str, Any]:
    if case.hold is not None:
        return {"value": limits.hold_seconds(kb, case.hold)}
    cooling = case.cool or case.touch
    if cooling is not None:
        target = limits.TOUCH_COOL_DOWN if case.touch else "cool_down"
        forecast = limits.cool_down_forecast(kb, cooling.shell, cooling.air_f, target)
        value = forecast.minutes if isinstance(forecast, Forecast) else None
        return {"value": value, "says": forecast.sentence}
    if case.load is not None:
        value, verdict = limits.load_capacitance(kb, case.load.limit, case.load.amps, case.load.volts, case.plate)
        return {"value": value} | _of_verdict(verdict)
    direct = _direct_verdict(kb, case)
    if direct is not None:
        return _of_verdict(direct)
    result = (
        limits.limit_for(kb, case.limit, case.plate, case.readings, given=case.given)
        if case.limit is not None
        else limits.limit_for_check(kb, case.check or "", case.plate, case.readings)
    )
    assert result is not None
    return _of_limit(result) | (_judged(result, case.reading) if case.reading is not None else {})


def _direct_verdict(kb: KnowledgeBase, case: Case) -> Verdict | None:
    if case.winding is not None:
        return limits.winding_check(kb, *(None if ohm == "open" else float(ohm) for ohm in case.winding))
    if case.drop is not None:
        return limits.voltage_drop_check(kb, case.drop.rest_v, case.drop.load_v, case.drop.starting)
    if case.replace is not None:
        part = case.replace
        return limits.replacement_capacitor(kb, part.marked_uf, part.marked_v, part.offered_uf, part.offered_v)
    return limits.fuse_check(kb, case.fuse, case.plate) if case.fuse is not None else None


def _judged(result: LimitResult, reading: float | Open) -> dict[str, Any]:
    value = None if reading == "open" else float(reading)
    return _of_verdict(limits.judge(result, value, over_limit=value is None))


def _of_verdict(verdict: Verdict) -> dict[str, Any]:
    return {"word": verdict.word, "ok": verdict.ok, "says": verdict.sentence}


def _of_limit(result: LimitResult) -> dict[str, Any]:
    fields = ("low", "high", "unit", "typical", "missing")
    return {field: getattr(result, field) for field in fields}

"""What a technician finds with each fault, written down beside the knowledge, leads to that fault and its repair."""

from __future__ import annotations

import numpy as np
import pytest
from pydantic import Field

from assistant.engine.matching import outcome_of_value
from assistant.reasoning.diagnosis import CheckNext, Diagnosis, Evidence, Propose
from assistant.reasoning.predicted import shown_value
from assistant.reasoning.tables import Tables
from knowledge import load
from knowledge.models.entry import Closed, Id, Text
from tests.knowledge.built_tables import tables_of
from tests.knowledge.case_files import CASES, cases


class Found(Closed):
    check: Id
    finds: Id | None = None
    reads: float | None = None
    over_limit: bool = False

    def evidence(self) -> Evidence:
        outcomes = (self.finds,) if self.finds else outcome_of_value(load().checks[self.check], self.reads)
        return Evidence(self.check, self.reads, over_limit=self.over_limit, outcomes=outcomes)


class FaultCase(Closed):
    name: Text
    fault: Id
    evidence: tuple[Found, ...]
    top: tuple[Id, ...] = ()
    """Faults that nobody could tell apart on this evidence; one of them must lead."""
    refrigerant: str = "R-410A"
    complaint: Id | None = None
    """What was complained of, where the fault is noticed by that alone: a noise."""
    built: dict[Id, Id] = Field(default_factory=dict)
    """Option -> choice, where the fault is for some units only."""


class FaultCases(Closed):
    cases: tuple[FaultCase, ...]


MOST_MORE = 8
"""More checks than these are not what a technician would do after what is written down."""

FILES = sorted(path.name for path in (CASES / "faults").glob("*.yaml"))
ALL = [case for name in FILES for case in cases(f"faults/{name}", FaultCases).cases]


@pytest.mark.parametrize("case", ALL, ids=lambda case: f"{case.fault}: {case.name}")
def test_what_is_found_leads_to_the_fault_and_its_repair(
    case: FaultCase, tables: Tables, plate: dict[str, float]
) -> None:
    tables = tables_of(case.built) if case.built else tables
    words = {"refrigerant": case.refrigerant}
    evidence = [found.evidence() for found in case.evidence]
    diagnosis = Diagnosis(tables, evidence, plate=plate, words=words, complaints=complaints(case))

    leading = diagnosis.suspects(1)[0]
    assert leading.faults[0] in (case.top or (case.fault,))
    assert leading.repair == tables.kb.faults[case.fault].repair
    assert proposed(case, tables, plate) == leading.repair


def complaints(case: FaultCase) -> tuple[str, ...]:
    return (case.complaint,) if case.complaint else ()


def proposed(case: FaultCase, tables: Tables, plate: dict[str, float]) -> str:
    """Return the repair that comes in the end: what is still asked for shows what this fault alone makes it show."""
    history = [found.evidence() for found in case.evidence]
    written = {evidence.check: evidence for evidence in history}
    for _ in range(MOST_MORE):
        words = {"refrigerant": case.refrigerant}
        diagnosis = Diagnosis(tables, history, plate=plate, words=words, complaints=complaints(case))
        step = diagnosis.decide(allowed=lambda _: True)
        if isinstance(step, Propose):
            return step.repair
        assert isinstance(step, CheckNext), (step, [evidence.check for evidence in history])
        history.append(written.get(step.check) or shown(diagnosis, step.check, case.fault))
    raise AssertionError([evidence.check for evidence in history])


def shown(diagnosis: Diagnosis, check: str, fault: str) -> Evidence:
    """Return what a check most probably shows with one fault."""
    tables, row = diagnosis.tables, diagnosis.tables.row_of[(fault,)]
    if check in tables.predictions.senses:
        names = [answer.outcome for answer in tables.checks[check].answers]
        return Evidence(check, outcomes=(names[int(np.argmax(tables.seen(check)[row]))],))
    value = shown_value(diagnosis.case, check, row)
    return Evidence(check, value=value, over_limit=value is None)


def test_every_fault_has_its_case() -> None:
    assert {case.fault for case in ALL} == set(load().faults)


def test_the_cases_stand_in_the_file_that_mirrors_their_fault(tables: Tables) -> None:
    for name in FILES:
        for case in cases(f"faults/{name}", FaultCases).cases:
            assert tables.kb.files[f"fault:{case.fault}"].name == name

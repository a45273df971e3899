"""What a technician finds with each fault, written down beside the knowledge, leads to that fault and its repair."""

from __future__ import annotations

import pytest

from assistant.engine.matching import outcome_of_value
from assistant.reasoning.diagnosis import Diagnosis, Evidence, Propose
from assistant.reasoning.tables import Tables
from knowledge import load
from knowledge.models.entry import Closed, Id, Text
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


class FaultCases(Closed):
    cases: tuple[FaultCase, ...]


FILES = sorted(path.name for path in (CASES / "faults").glob("*.yaml"))
ALL = [case for name in FILES for case in cases(f"faults/{name}", FaultCases).cases]


@pytest.mark.parametrize("case", ALL, ids=lambda case: f"{case.fault}: {case.name}")
def test_what_is_found_leads_to_the_fault_and_its_repair(
    case: FaultCase, tables: Tables, plate: dict[str, float]
) -> None:
    words = {"refrigerant": case.refrigerant}
    diagnosis = Diagnosis(tables, [found.evidence() for found in case.evidence], plate=plate, words=words)
    step = diagnosis.decide(allowed=lambda _: True)

    leading = diagnosis.suspects(1)[0]
    assert leading.faults[0] in (case.top or (case.fault,))
    assert leading.repair == tables.kb.faults[case.fault].repair
    assert isinstance(step, Propose), step
    assert step.repair == tables.kb.faults[case.fault].repair


def test_every_fault_has_its_case(tables: Tables) -> None:
    assert {case.fault for case in ALL} == set(tables.kb.faults)


def test_the_cases_stand_in_the_file_that_mirrors_their_fault(tables: Tables) -> None:
    for name in FILES:
        for case in cases(f"faults/{name}", FaultCases).cases:
            assert tables.kb.files[f"fault:{case.fault}"].name == name

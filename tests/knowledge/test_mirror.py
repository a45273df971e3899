"""Each file of the knowledge whose content can be right or wrong has its file of cases."""

from __future__ import annotations

import pytest

from knowledge.base import DATA
from tests.knowledge.case_files import CASES

PATTERNS = (
    "phrases/*.yaml",
    "checks/*.yaml",
    "faults/*.yaml",
    "repairs/*.yaml",
    "limits/*.yaml",
    "calculations/*.yaml",
    "refrigerants/refrigerants.yaml",
    "tables/*.yaml",
    "safety/steps.yaml",
    "safety/stops.yaml",
    "safety/cautions.yaml",
    "units/*.yaml",
    "visit/*.yaml",
    "electrical_tables.yaml",
    "heat_stress.yaml",
    "practice/*.yaml",
)
CARRYING = sorted(path.relative_to(DATA).as_posix() for pattern in PATTERNS for path in DATA.glob(pattern))


@pytest.mark.parametrize("name", CARRYING)
def test_a_file_of_the_knowledge_has_its_file_of_cases(name: str) -> None:
    assert (CASES / name).is_file(), f"write tests/knowledge/cases/{name}"


def test_no_file_of_cases_is_left_behind() -> None:
    cased = {path.relative_to(CASES).as_posix() for path in CASES.glob("**/*.yaml")}
    known = {path.relative_to(DATA).as_posix() for path in DATA.glob("**/*.yaml")}
    assert cased - known == set()

"""Every repair: which answers accept it, which do not. Checked against the knowledge, then by the diagnosis itself."""

from __future__ import annotations

from typing import Any

import pytest
from pydantic import Field

from assistant.reasoning.confirming import confirms
from assistant.reasoning.evidence import Evidence
from assistant.reasoning.likelihood import Likelihood
from knowledge import load
from knowledge.models.entry import Closed, Id, Text
from tests.knowledge.built_tables import tables_of
from tests.knowledge.case_files import CASES, cases


class Refused(Closed):
    check: Id
    because: Text
    reads: float | None = None
    over_limit: bool = False
    finds: Id | None = None
    plate: dict[Id, float] = Field(default_factory=dict)
    built: dict[Id, Id] = Field(default_factory=dict)


class Accepted(Refused):
    fault: Id


class RepairCase(Closed):
    repair: Id
    accepts: tuple[Accepted, ...]
    refuses: tuple[Refused, ...]


class RepairCases(Closed):
    cases: tuple[RepairCase, ...]


FILES = sorted(path.name for path in (CASES / "repairs").glob("*.yaml"))
FILE = [case for name in FILES for case in cases(f"repairs/{name}", RepairCases).cases]
ACCEPTED = [(case.repair, answer) for case in FILE for answer in case.accepts]
REFUSED = [(case.repair, answer) for case in FILE for answer in case.refuses]


def name(value: Any) -> str:
    if isinstance(value, Refused):
        said = value.finds or ("OL" if value.over_limit else f"{value.reads:g}")
        return f"{value.check}-{said}"
    return str(value)


def evidence(answer: Refused) -> Evidence:
    outcomes = (answer.finds,) if answer.finds else ()
    return Evidence(answer.check, answer.reads, over_limit=answer.over_limit, outcomes=outcomes)


def test_every_repair_has_answers_that_accept_and_answers_that_refuse_it() -> None:
    assert [case.repair for case in FILE] == list(load().repairs)
    assert all(case.accepts and case.refuses for case in FILE)


@pytest.mark.parametrize(("repair", "answer"), [*ACCEPTED, *REFUSED], ids=name)
def test_an_answer_is_one_that_its_check_can_give(repair: str, answer: Refused) -> None:
    kb = load()
    check = kb.checks[answer.check]
    assert [answer.reads is not None, answer.over_limit, answer.finds is not None].count(True) == 1
    if answer.finds:
        assert answer.finds in {given.outcome for given in check.answers}
    elif answer.over_limit:
        assert kb.quantities[check.quantity or ""].over_limit
    else:
        low, high = check.plausible or kb.quantities[check.quantity or ""].plausible
        assert low <= (answer.reads or 0) <= high
    assert set(answer.plate) <= set(kb.plate_items)


@pytest.mark.parametrize(("repair", "answer"), ACCEPTED, ids=name)
def test_a_repair_is_accepted_on_its_own_part_reading_wrong_as_the_fault_predicts(
    repair: str, answer: Accepted
) -> None:
    tables = tables_of(answer.built)
    assert tables.kb.faults[answer.fault].repair == repair
    assert answer.check in load().repairs[repair].confirm
    assert confirms(tables, Likelihood(tables, answer.plate), evidence(answer), (answer.fault,)) == 1


@pytest.mark.parametrize(("repair", "answer"), REFUSED, ids=name)
def test_a_repair_is_not_accepted_on_a_good_reading_nor_on_another_part(repair: str, answer: Refused) -> None:
    tables = tables_of(answer.built)
    kb = tables.kb
    faults = [fault.id for fault in kb.faults.values() if fault.repair == repair]
    likelihood = Likelihood(tables, answer.plate)
    on_the_part = answer.check in kb.repairs[repair].confirm
    proving = [fault for fault in faults if confirms(tables, likelihood, evidence(answer), (fault,)) == 1]
    assert not (on_the_part and proving)

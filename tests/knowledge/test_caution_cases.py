"""What is said at a job that can hurt someone, and that it is not drowned in what does not belong there."""

from __future__ import annotations

from dataclasses import replace

import pytest

from assistant.reasoning.safety import cautions_for
from assistant.session.state import VisitState
from knowledge import load
from knowledge.models.entry import Closed, Id, PowerNeed, Text
from knowledge.models.safety import Caution
from tests.knowledge.case_files import cases


class CautionCase(Closed):
    job: Text
    says: tuple[Id, ...]
    silent: tuple[Id, ...]
    because: Text


class CautionCases(Closed):
    cases: tuple[CautionCase, ...]


FILE = cases("safety/cautions.yaml", CautionCases).cases


def said(job: str) -> tuple[Caution, ...]:
    kind, _, named = job.partition(":")
    kb, state = load(), VisitState()
    match kind:
        case "check":
            return cautions_for(kb, state, check=kb.checks[named])
        case "repair":
            return cautions_for(kb, state, repair=kb.repairs[named])
        case "refrigerant":
            return cautions_for(kb, state, refrigerant=kb.refrigerants[named].id)
        case "hazard":
            return cautions_for(kb, replace(state, hazards=frozenset({kb.hazards[named].id})))
        case _:
            return cautions_for(kb, state, waits=[kb.waits[named].id])


@pytest.mark.parametrize("case", FILE, ids=lambda case: case.job)
def test_a_job_brings_its_cautions_and_no_others_that_would_be_noise(case: CautionCase) -> None:
    shown = {caution.id for caution in said(case.job)}
    assert set(case.silent) <= set(load().cautions)
    assert set(case.says) - shown == set()
    assert set(case.silent) & shown == set()


def test_every_repair_and_every_hazard_has_a_case() -> None:
    kb = load()
    cased = {case.job for case in FILE}
    harmless = {"set_thermostat", "thermostat_power", "refer_supply", "repair_unit_wiring"}
    assert {f"repair:{repair}" for repair in kb.repairs} - cased == {f"repair:{repair}" for repair in harmless}
    assert {f"hazard:{hazard}" for hazard in kb.hazards} <= cased


def test_every_caution_is_expected_by_some_case() -> None:
    expected = {caution for case in FILE for caution in case.says}
    assert set(load().cautions) - expected == set()


@pytest.mark.parametrize("check", list(load().checks))
def test_every_live_check_warns_of_shock_and_arc_and_every_dead_one_of_other_sources(check: str) -> None:
    needs = load().checks[check].needs
    shown = {caution.id for caution in said(f"check:{check}")}
    assert ({"live_boundary", "arc_flash"} <= shown) == (needs is PowerNeed.LIVE)
    assert ("second_source" in shown) == (needs in {PowerNeed.DEAD, PowerNeed.DISCHARGED})
    assert needs is not PowerNeed.DISCHARGED or "stored_charge" in shown


@pytest.mark.parametrize("case", FILE, ids=lambda case: case.job)
def test_the_worst_comes_first(case: CautionCase) -> None:
    order = ["danger", "warning", "caution", "notice"]
    ranks = [order.index(caution.signal) for caution in said(case.job)]
    assert ranks == sorted(ranks)

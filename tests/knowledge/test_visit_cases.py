"""Plate values, waits and the fixed list of proofs."""

from __future__ import annotations

import pytest

from assistant.language.models import Kind
from assistant.language.understand import understand
from knowledge import load
from knowledge.models.entry import Closed, Id, PowerNeed, Text
from tests.knowledge.case_files import cases


class Plate(Closed):
    item: Id
    takes: tuple[float, ...]
    asks_back: tuple[float, ...]
    name: Text
    because: Text
    source: Id


class Waiting(Closed):
    wait: Id
    low: float
    high: float
    name: Text
    because: Text
    source: Id


class Unnamed(Closed):
    said: Text
    item: Id | None
    """None where it must fill no plate item."""
    value: float | None = None
    """In the canonical unit."""


class WaitSaid(Closed):
    said: Text
    wait: Id | None
    """None where it is no request about a wait."""
    wish: Id = "wait"
    """wait, timer (how long), end_wait"""
    minutes: float | None = None


class VisitCases(Closed):
    waits_said: tuple[WaitSaid, ...]
    plate: tuple[Plate, ...]
    unnamed: tuple[Unnamed, ...]
    waits: tuple[Waiting, ...]


class Proof(Closed):
    proof: Id
    phase: Id
    check: Id | None = None


class ProofCases(Closed):
    proofs: tuple[Proof, ...]


VISIT = cases("visit/visit.yaml", VisitCases)
PROOFS = cases("visit/close_out.yaml", ProofCases).proofs


@pytest.mark.parametrize("case", VISIT.plate, ids=lambda case: case.item)
def test_usual_plate_values_are_plausible_and_slips_are_not(case: Plate) -> None:
    plausible = load().plate_items[case.item].plausible
    assert plausible is not None
    low, high = plausible
    assert all(low <= value <= high for value in case.takes)
    assert not any(low <= value <= high for value in case.asks_back)


@pytest.mark.parametrize("case", VISIT.unnamed, ids=lambda case: case.said)
def test_a_unit_alone_makes_print_or_site_of_a_number(case: Unnamed) -> None:
    filled = [one for one in understand(case.said, load()).heard if one.kind is Kind.PLATE and one.value is not None]
    assert [one.about for one in filled] == ([case.item] if case.item else [])
    if case.value is not None:
        assert filled[0].value == pytest.approx(case.value, rel=1e-6)


def test_every_item_that_is_filled_by_its_unit_alone_has_its_cases() -> None:
    assert {case.item for case in VISIT.unnamed} - {None} == {
        item.id for item in load().plate_items.values() if item.unnamed_from or item.quantity == "mass"
    }


def test_every_source_is_in_the_bibliography() -> None:
    cited = {case.source for case in VISIT.plate} | {case.source for case in VISIT.waits}
    assert cited <= set(load().sources)


def test_every_plate_number_has_its_case() -> None:
    numbers = {item.id for item in load().plate_items.values() if not item.text}
    assert {case.item for case in VISIT.plate} == numbers


@pytest.mark.parametrize("case", VISIT.waits, ids=lambda case: case.wait)
def test_a_wait_is_as_long_as_the_trade_waits(case: Waiting) -> None:
    wait = load().waits[case.wait]
    assert case.low <= wait.minutes <= case.high
    assert wait.span is None or wait.span[0] <= wait.minutes <= wait.span[1]


@pytest.mark.parametrize("case", VISIT.waits_said, ids=lambda case: case.said)
def test_a_wait_is_begun_asked_after_and_ended_in_words(case: WaitSaid) -> None:
    found = understand(case.said, load())
    waits = [one for one in found.heard if one.kind is Kind.REQUEST and one.text is not None]
    assert [(one.text, one.about, one.value) for one in waits] == (
        [(case.wait, case.wish, case.minutes)] if case.wait else []
    )
    if case.wait:
        assert not [one for one in found.heard if one.kind is Kind.READING]
        assert found.not_understood == ()


def test_every_wait_can_be_begun_in_words() -> None:
    assert {case.wait for case in VISIT.waits_said if case.wish == "wait"} - {None} == set(load().waits)


def test_every_wait_has_its_case() -> None:
    assert {case.wait for case in VISIT.waits} == set(load().waits)


def test_the_list_of_proofs_is_complete_and_in_order() -> None:
    shipped = [(proof.id, proof.phase.value, proof.check) for proof in load().close_out.values()]
    assert [(case.proof, case.phase, case.check) for case in PROOFS] == shipped


def test_a_measured_proof_is_taken_live_and_judged() -> None:
    kb = load()
    for proof in kb.close_out.values():
        if proof.check:
            assert kb.checks[proof.check].needs is PowerNeed.LIVE
            assert proof.limit == kb.checks[proof.check].limit
            assert proof.quantity == kb.checks[proof.check].quantity
            assert proof.about == kb.checks[proof.check].about


def test_securing_asks_for_jumpers_ground_and_covers() -> None:
    asked = " ".join(proof.ask.casefold() for proof in load().close_out.values() if proof.phase.value == "securing")
    for word in ("jumpers", "ground", "cover", "lock off", "strap"):
        assert word in asked

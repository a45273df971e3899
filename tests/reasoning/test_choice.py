"""Which check: information is never negative, minutes count, and what cannot be done is never asked."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.reasoning.choice import Standing, cost_after, expected_cost, information, minutes_for, repair_minutes
from assistant.reasoning.diagnosis import CheckNext, Diagnosis, Evidence
from assistant.reasoning.tables import HEALTHY, UNKNOWN, Tables, compile_tables
from knowledge.base import load
from knowledge.models.entry import PowerNeed

TABLES = compile_tables(load(), "split_psc_240")
COSTS = TABLES.kb.reasoning.costs
looks = sorted(name for name, check in TABLES.checks.items() if check.answers)


def a_look(name: str) -> st.SearchStrategy[Evidence]:
    outcomes = st.sampled_from([a.outcome for a in TABLES.checks[name].answers])
    return outcomes.map(lambda outcome: Evidence(name, outcomes=(outcome,)))


history = st.lists(st.sampled_from(looks).flatmap(a_look), max_size=5, unique_by=lambda evidence: evidence.check)


@settings(max_examples=40, deadline=None)
@given(history)
def test_information_is_never_negative_nor_more_than_there_is_to_know(items: list[Evidence]) -> None:
    belief = Diagnosis(TABLES, items).case.probability
    classes = TABLES.classes @ belief
    entropy = -sum(p * np.log2(p) for p in classes if p > 0)

    for bits in information(TABLES, belief).values():
        assert 0 <= bits <= entropy + 1e-3


def test_information_is_the_mutual_information_of_its_definition() -> None:
    """Checked against the sum over classes and outcomes written out, for one look."""
    belief, span = TABLES.prior, TABLES.outcomes.span["look_fan"]
    joint = (TABLES.classes * belief) @ TABLES.outcomes.probability[:, span].astype(float)
    independent = np.outer(joint.sum(axis=1), joint.sum(axis=0))
    expected = float(np.nansum(np.where(joint > 0, joint * np.log2(np.maximum(joint, 1e-30) / independent), 0.0)))

    assert information(TABLES, belief)["look_fan"] == pytest.approx(expected, abs=1e-4)


def test_nothing_is_learnt_about_what_is_certain() -> None:
    certain = np.zeros(len(TABLES.rows))
    certain[TABLES.row_of[("coil_open",)]] = 1.0

    assert max(information(TABLES, certain).values()) < 1e-6


@settings(max_examples=60, deadline=None)
@given(
    history,
    st.sets(st.sampled_from(sorted(TABLES.checks))),
    st.sets(st.sampled_from(sorted({tool for check in TABLES.checks.values() for tool in check.tools}))),
    st.sets(st.sampled_from(list(PowerNeed)), max_size=3),
)
def test_a_skipped_barred_or_impossible_check_is_never_asked(
    items: list[Evidence], skipped: set[str], missing: set[str], barred: set[PowerNeed]
) -> None:
    step = Diagnosis(TABLES, items).decide(
        allowed=lambda check: check.needs not in barred, skipped=skipped, tools_missing=missing
    )
    if isinstance(step, CheckNext):
        check = TABLES.checks[step.check]
        assert step.check not in skipped
        assert not set(check.tools) & missing
        assert check.needs not in barred
        assert not set(step.alternatives) & skipped


def test_the_first_checks_are_cheap_looks() -> None:
    """A technician looks and listens before he opens anything (common practice, no source)."""
    items: list[Evidence] = []
    setup = None
    for _ in range(4):
        diagnosis = Diagnosis(TABLES, items, complaints=["nothing_runs_outside"])
        step = diagnosis.decide(allowed=lambda _: True, setup=setup)
        assert isinstance(step, CheckNext)
        check = TABLES.checks[step.check]
        setup = check.setup
        assert check.needs is PowerNeed.ANY
        best = int(np.argmax(TABLES.seen(step.check)[TABLES.row_of[("coil_open",)]]))
        items.append(Evidence(step.check, outcomes=(check.answers[best].outcome,)))


def test_staying_where_one_stands_costs_only_the_check() -> None:
    check = TABLES.checks["v_coil"]
    here = minutes_for(check, Standing(PowerNeed.LIVE, check.setup), COSTS)
    away = minutes_for(check, Standing(PowerNeed.DEAD, "dead_outdoor"), COSTS)

    assert here == pytest.approx(check.minutes + COSTS.care[PowerNeed.LIVE])
    assert away == pytest.approx(here + COSTS.setup[check.setup] + COSTS.power[PowerNeed.LIVE])


def test_a_discharged_unit_is_dead_already() -> None:
    check = TABLES.checks["r_coil"]

    assert minutes_for(check, Standing(PowerNeed.DISCHARGED, check.setup), COSTS) == minutes_for(
        check, Standing(PowerNeed.DEAD, check.setup), COSTS
    )


def test_every_set_up_group_has_its_minutes() -> None:
    assert {check.setup for check in TABLES.checks.values()} <= set(COSTS.setup)


def test_expected_cost_is_the_cost_of_a_certain_repair() -> None:
    certain = np.zeros(len(TABLES.rows))
    certain[TABLES.row_of[("cap_fan_open",)]] = 1.0

    repair = TABLES.kb.repairs["replace_capacitor"]
    assert expected_cost(TABLES, certain) == pytest.approx(repair_minutes(repair, COSTS))


def test_expected_cost_in_order_of_probability_per_cost_beats_every_other_order() -> None:
    """P/C is optimal for independent repairs (Kadane and Simon); three repairs, all orders by brute force."""
    from itertools import permutations  # needed for this one check only

    mix = {"cap_fan_open": 0.5, "coil_open": 0.3, "comp_locked": 0.2}
    belief = np.zeros(len(TABLES.rows))
    for fault, share in mix.items():
        belief[TABLES.row_of[(fault,)]] = share
    chance = {TABLES.kb.faults[f].repair: p for f, p in mix.items()}

    def cost_of(order: tuple[str, ...]) -> float:
        left, total = 1.0, 0.0
        for name in order:
            total += left * repair_minutes(TABLES.kb.repairs[name], COSTS)
            left -= chance[name]
        return total + left * COSTS.refer

    orders = [order for length in range(len(chance) + 1) for order in permutations(chance, length)]
    assert expected_cost(TABLES, belief) == pytest.approx(min(cost_of(order) for order in orders))


def test_nobody_is_charged_for_trying_every_repair_on_a_unit_that_is_probably_well() -> None:
    belief = np.zeros(len(TABLES.rows))
    belief[HEALTHY] = 1.0

    assert expected_cost(TABLES, belief) == pytest.approx(COSTS.refer)


def test_a_telling_check_lowers_the_expected_cost(tables: Tables) -> None:
    items = [Evidence("look_fan", outcomes=("humming",)), Evidence("hear_compressor", outcomes=("running",))]
    belief = Diagnosis(tables, items).case.probability

    assert cost_after(tables, belief, "uf_fan") < expected_cost(tables, belief)


def test_healthy_and_unknown_are_classes_of_their_own() -> None:
    assert TABLES.classes.sum(axis=0) == pytest.approx(1)
    assert TABLES.classes[-2, HEALTHY] == 1
    assert TABLES.classes[-1, UNKNOWN] == 1

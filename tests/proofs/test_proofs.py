"""A fast slice of each proof; the commands ``python -m tests.proofs.NAME`` run them whole."""

from __future__ import annotations

from itertools import permutations

import numpy as np
import pytest

from assistant.reasoning.choice import expected_cost, repair_order
from assistant.reasoning.tables import Tables, compile_tables
from knowledge.base import load

from .bayes_network import APART_AT_MOST, BITS_APART_AT_MOST, apart
from .left_out import without
from .optimum import WORST_AT_MOST, cost_of, optimum, own_move, ratios
from .planning_problem import Problem, drawn_problem
from .printer import network, played


@pytest.fixture(scope="module")
def tables() -> Tables:
    return compile_tables(load(), "split_psc_240")


@pytest.mark.parametrize("seed", range(4))
def test_the_engine_agrees_with_a_bayesian_network_library(tables: Tables, seed: int) -> None:
    belief, bits = apart(tables, seed)

    assert belief <= APART_AT_MOST
    assert bits <= BITS_APART_AT_MOST


def _price_of(problem: Problem, order: tuple[int, ...]) -> float:
    left, total = 1.0, 0.0
    for r in order:
        total += left * float(problem.cost[r])
        left -= float(problem.prior[r])
    return total


@pytest.mark.parametrize("seed", range(5))
def test_probability_per_cost_is_the_cheapest_of_all_orders(tables: Tables, seed: int) -> None:
    """J. B. Kadane and H. A. Simon 1977 (from memory): optimal for independent actions while one of them cures."""
    problem = drawn_problem(tables, np.random.default_rng(seed), faults=6, checks=2)
    cheapest = min(_price_of(problem, order) for order in permutations(range(6)))
    order = tuple(problem.repair_ids.index(name) for name in repair_order(problem, problem.prior))

    assert expected_cost(problem, problem.prior) == pytest.approx(cheapest, rel=1e-9)
    assert _price_of(problem, order) == pytest.approx(cheapest, rel=1e-9)


@pytest.mark.parametrize("seed", [3, 12])
def test_the_choice_is_near_the_exact_optimum(tables: Tables, seed: int) -> None:
    problem = drawn_problem(tables, np.random.default_rng(seed), faults=5, checks=6)
    own, chart = ratios(problem)

    assert 1.0 - 1e-5 <= own <= WORST_AT_MOST
    assert chart <= 1.0


def test_the_optimum_of_a_single_check_is_what_can_be_worked_out_by_hand(tables: Tables) -> None:
    """One check, two repairs: ask or not, then the cheaper order; written out."""
    problem = drawn_problem(tables, np.random.default_rng(1), faults=2, checks=1)
    (check,) = problem.minutes
    joint = problem.prior[:, None] * problem.given(check)
    asked = problem.minutes[check] + sum(_cheaper(problem, joint[:, k]) for k in (0, 1))

    assert optimum(problem) == pytest.approx(min(asked, _cheaper(problem, problem.prior)), rel=1e-5)
    assert cost_of(problem, lambda b, a: own_move(problem, b, a)) >= optimum(problem) * (1.0 - 1e-5)


def _cheaper(problem: Problem, weight: np.ndarray) -> float:
    first, second = problem.cost
    return float(min(weight.sum() * first + weight[1] * second, weight.sum() * second + weight[0] * first))


def test_on_a_public_network_most_choices_are_those_of_the_exact_computation() -> None:
    found = [played(network(), seed) for seed in (22, 23)]

    assert sum(one.same for one in found) >= 0.8 * sum(one.all for one in found)


def test_an_unknown_fault_seldom_ends_in_a_wrong_part(tables: Tables) -> None:
    """Three faults whose neighbours were condemned in their place before a part had to be shown fed and alone."""
    found = [without(tables, fault, 3, 700) for fault in ("fuse_1_aged", "charge_lost", "transformer_open")]

    assert sum(len(v.needless) for result in found for v in result.visits) <= 2

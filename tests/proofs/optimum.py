"""How near the choice comes to the exact optimum: ``python -m tests.proofs.optimum [problems]``.

Each problem has eight faults and ten noisy checks of the unit. The optimum is exact: Bellman's equation over every set
of repairs tried and every set of answers (R. Bellman, Dynamic Programming, 1957; from memory). The policy is the
project's own: the check that tells most per minute, done where it is expected to be cheaper than repairing now. The
flowchart asks the checks in one fixed order, quickest first, until a repair is 85 % sure.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from functools import partial
from itertools import product

import numpy as np

from assistant.reasoning.choice import by_bits_per_minute, information, repair_order, saving
from assistant.reasoning.circuit import Floats
from assistant.reasoning.tables import compile_tables
from knowledge.base import load

from .planning_problem import Problem, drawn_problem

MEAN_AT_MOST, WORST_AT_MOST, CHART_AT_MOST = 1.03, 1.06, 0.85
SURE = 0.85

Answers = tuple[int, ...]
"""Per check: 0 = not asked, 1 = good, 2 = odd."""
Move = Callable[[Floats, Answers], str]
"""(belief, answers) -> the check to ask or the repair to do."""


def optimum(problem: Problem) -> float:
    """Return the least expected minutes until cured, over all ways of asking and repairing."""
    checks = list(problem.minutes)
    given = np.stack([problem.given(name) for name in checks])
    answers = np.array(list(product(range(3), repeat=len(checks))), dtype=np.int8)
    weight = np.repeat(problem.prior[None, :], len(answers), axis=0)
    for k in range(len(checks)):
        for outcome in (0, 1):
            weight[answers[:, k] == outcome + 1] *= given[k][:, outcome]
    level = (answers > 0).sum(axis=1)
    step = 3 ** np.arange(len(checks))[::-1]
    faults = len(problem.prior)
    value = np.zeros((1 << faults, len(answers)), dtype=np.float32)
    for left in sorted(range(1, 1 << faults), key=int.bit_count):
        inside = [f for f in range(faults) if left >> f & 1]
        mass = weight[:, inside].sum(axis=1)
        best = np.min([problem.cost[f] * mass + value[left ^ 1 << f] for f in inside], axis=0)
        for asked in range(len(checks), -1, -1):
            here = np.flatnonzero(level == asked)
            for k, name in enumerate(checks):
                at = here[answers[here, k] == 0]
                after = value[left, at + step[k]] + value[left, at + 2 * step[k]]
                best[at] = np.minimum(best[at], problem.minutes[name] * mass[at] + after)
            value[left, here] = best[here]
    return float(value[-1, 0])


def cost_of(problem: Problem, move: Move) -> float:
    """Return the expected minutes until cured of a policy, every branch followed to its end."""
    checks = list(problem.minutes)

    def follow(belief: Floats, answers: Answers) -> float:
        choice = move(belief, answers)
        if choice in problem.repair_ids:
            fault = problem.repair_ids.index(choice)
            left = belief.copy()
            left[fault] = 0.0
            rest = float(left.sum())
            return float(problem.cost[fault]) + (rest * follow(left / rest, answers) if rest > 1e-9 else 0.0)
        k = checks.index(choice)
        total = problem.minutes[choice]
        for outcome, joint in enumerate((belief[:, None] * problem.given(choice)).T):
            chance = float(joint.sum())
            if chance > 1e-9:
                told = (*answers[:k], outcome + 1, *answers[k + 1 :])
                total += chance * follow(joint / chance, told)
        return total

    return follow(problem.prior, (0,) * len(checks))


def own_move(problem: Problem, belief: Floats, answers: Answers) -> str:
    """Do what the diagnosis does: the most telling check per minute, where it saves more than it costs."""
    bits = information(problem, belief)
    open_checks = {name: bits[name] for name, told in zip(problem.minutes, answers, strict=True) if not told}
    ranked = by_bits_per_minute(open_checks, problem.minutes.__getitem__)
    if ranked and saving(problem, belief, ranked[0], problem.minutes[ranked[0]]) > 0.0:
        return ranked[0]
    return repair_order(problem, belief)[0]


def chart_move(problem: Problem, belief: Floats, answers: Answers) -> str:
    """Ask in a fixed order until one repair is sure enough."""
    best = repair_order(problem, belief)[0]
    needed = belief[problem.repair_ids.index(best)]
    order = sorted(problem.minutes, key=problem.minutes.__getitem__)
    untold = [name for name in order if not answers[list(problem.minutes).index(name)]]
    return best if needed >= SURE or not untold else untold[0]


def ratios(problem: Problem) -> tuple[float, float]:
    """Return the policy's cost as a share of the optimum and of the flowchart."""
    own = cost_of(problem, partial(own_move, problem))
    return own / optimum(problem), own / cost_of(problem, partial(chart_move, problem))


def main(problems: int) -> int:
    """Print the ratios; exit 1 where one is missed."""
    tables = compile_tables(load(), "split_psc_240")
    found = []
    for seed in range(problems):
        found.append(ratios(drawn_problem(tables, np.random.default_rng(seed))))
        print(f"problem {seed:2}: {found[-1][0]:.4f} of the optimum, {found[-1][1]:.3f} of the flowchart", flush=True)
    best, chart = np.array(found).T
    print(f"mean {best.mean():.4f} (at most {MEAN_AT_MOST}), worst {best.max():.4f} (at most {WORST_AT_MOST}), "
          f"of the flowchart {chart.mean():.3f} (at most {CHART_AT_MOST})")  # fmt: skip
    missed = best.mean() > MEAN_AT_MOST or best.max() > WORST_AT_MOST or chart.mean() > CHART_AT_MOST
    return int(missed)


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 20))

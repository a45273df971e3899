"""A public network that is none of ours: ``python -m tests.proofs.printer [cases]``.

A public printer troubleshooting network (76 nodes; ``win95pts`` of the bnlearn repository, here as carried in the
pgmpy wheel, MIT licence, tests/data). Twenty-five roots are faults, nine are configuration and known. Our way,
hypotheses of at most two faults and checks that depend on them alone, asks the project's own code what each check
tells; the exact way computes it by junction tree. The question is the same, how much a check tells about each
fault, summed over the faults. Both should pick the same check in at least 80 % of the decisions.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass, replace
from itertools import combinations
from pathlib import Path

import numpy as np

from assistant.reasoning.belief import updated
from assistant.reasoning.choice import information
from assistant.reasoning.circuit import Floats
from assistant.reasoning.likelihood import Fit
from assistant.reasoning.outcomes import Outcomes
from knowledge.base import load

from .agrum import gum
from .planning_problem import Prices, Problem, Rates, outcomes_of

BIF = Path(__file__).parents[1] / "data" / "win95pts.bif"
SAME_AT_LEAST, LOST_AT_MOST = 0.8, 0.08
STEPS = 5
CONFIGURATION = (
    "NetPrint", "DSApplctn", "PrtPScript", "TrTypFnts", "PrntrAccptsTrtyp", "EPSGrphc", "PTROFFLINE", "PrtMpTPth",
    "PrtThread",
)  # fmt: skip


@dataclass(frozen=True)
class Decisions:
    same: int
    all: int
    lost: float
    """Sum over the decisions of the share of information that the choice gave away."""


def network() -> gum.BayesNet:
    return gum.loadBN(str(BIF))


def faults_of(bn: gum.BayesNet) -> list[str]:
    roots = [bn.variable(n).name() for n in bn.nodes() if not bn.parents(n)]
    return [name for name in roots if name not in CONFIGURATION]


def checks_of(bn: gum.BayesNet) -> list[str]:
    """Return what a person can see: the nodes nothing follows from."""
    return [bn.variable(n).name() for n in bn.nodes() if not bn.children(n)]


def enumerated(bn: gum.BayesNet, configuration: dict[str, int]) -> Problem:
    """Return the network in our form: no fault, one, or two; every check depends on them alone."""
    faults, checks = faults_of(bn), checks_of(bn)
    sets = [(), *((f,) for f in faults), *combinations(faults, 2)]
    odds = {name: float(bn.cpt(name).toarray()[1] / bn.cpt(name).toarray()[0]) for name in faults}
    prior = np.array([np.prod([odds[name] for name in there]) for there in sets])
    blocks = {name: np.zeros((len(sets), bn.variable(name).domainSize())) for name in checks}
    inference = gum.LazyPropagation(bn)
    inference.setTargets(set(checks))
    for h, there in enumerate(sets):
        inference.setEvidence({**configuration, **{name: int(name in there) for name in faults}})
        for name in checks:
            blocks[name][h] = inference.posterior(name).toarray()
    needed = np.array([[float(name in there) for there in sets] for name in faults])
    classes = np.concatenate([needed / np.maximum(needed.sum(axis=0), 1.0), np.zeros((2, len(sets)))])
    classes[-2, 0] = 1.0
    kb = load()
    prices = Prices(dict.fromkeys(faults, next(iter(kb.repairs.values()))), Rates(kb.reasoning.costs))
    return Problem(prices, tuple(faults), classes, outcomes_of(blocks, classes), prior / prior.sum(), {})


def own_information(problem: Problem, belief: Floats) -> dict[str, float]:
    """Return the same sum from our form of the network: one yes-or-no question for each fault."""
    total = dict.fromkeys(problem.outcomes.span, 0.0)
    for there in problem.classes[: len(problem.repair_ids)] > 0:
        classes = np.stack([there, ~there]).astype(float)
        asked = replace(problem, classes=classes, outcomes=about(problem.outcomes, classes))
        for name, bits in information(asked, belief).items():
            total[name] += bits
    return total


def about(outcomes: Outcomes, classes: Floats) -> Outcomes:
    """Return outcomes planned for another question."""
    kind, row = np.nonzero(classes)
    share, start = classes[kind, row].astype(np.float32), np.flatnonzero(np.diff(kind, prepend=-1))
    return replace(outcomes, row=row, share=share, start=start)


def exact_information(bn: gum.BayesNet, known: dict[str, int], open_checks: list[str]) -> dict[str, float]:
    """Return the bits that each check tells about the faults, summed over them."""
    faults = faults_of(bn)
    inference = gum.LazyPropagation(bn)
    inference.setTargets({*faults, *open_checks})
    inference.setEvidence(known)
    before = _entropy(inference, faults)
    chances = {name: inference.posterior(name).toarray() for name in open_checks}
    bits = {}
    for name in open_checks:
        after = 0.0
        for outcome, chance in enumerate(chances[name]):
            if chance > 1e-9:
                inference.setEvidence({**known, name: outcome})
                after += chance * _entropy(inference, faults)
        bits[name] = max(0.0, before - after)
    return bits


def _entropy(inference: gum.LazyPropagation, faults: list[str]) -> float:
    share = np.array([inference.posterior(name).toarray() for name in faults])
    return float(-(share * np.log2(np.maximum(share, 1e-30))).sum())


def played(bn: gum.BayesNet, seed: int) -> Decisions:
    """Follow one drawn case by the exact choice, and see what our way would have asked each time."""
    rng = np.random.default_rng(seed)
    truth = _drawn(bn, rng)
    known = {name: truth[name] for name in CONFIGURATION}
    problem = enumerated(bn, known)
    belief, same, lost = problem.prior, 0, 0.0
    open_checks = checks_of(bn)
    told: list[Fit] = []
    decisions = 0
    for _ in range(STEPS):
        exact = exact_information(bn, known, open_checks)
        best = max(exact, key=lambda name: exact[name])
        if exact[best] < 1e-3:
            break  # nothing is left to be learnt: no decision
        ours = own_information(problem, belief)
        mine = max(open_checks, key=lambda name: ours[name])
        decisions += 1
        same += mine == best
        lost += 1.0 - exact[mine] / exact[best]
        known[best] = truth[best]
        open_checks.remove(best)
        seen: Floats = problem.given(best)[:, truth[best]]
        told.append(Fit(seen, np.zeros_like(seen)))
        belief = updated(problem.prior, told)
    return Decisions(same, decisions, lost)


def _drawn(bn: gum.BayesNet, rng: np.random.Generator) -> dict[str, int]:
    found: dict[str, int] = {}
    for n in bn.topologicalOrder():
        name = bn.variable(n).name()
        given = {bn.variable(p).name(): found[bn.variable(p).name()] for p in bn.parents(n)}
        share = np.asarray(bn.cpt(name)[given] if given else bn.cpt(name).toarray(), dtype=float)
        found[name] = int(rng.choice(share.size, p=share / share.sum()))
    return found


def main(cases: int) -> int:
    """Print how often the choice is the same; exit 1 where that is too seldom."""
    bn = network()
    found = []
    for seed in range(cases):
        found.append(played(bn, seed))
        print(f"case {seed:2}: {found[-1].same} of {found[-1].all}", flush=True)
    decisions = sum(one.all for one in found)
    same, lost = sum(one.same for one in found) / decisions, sum(one.lost for one in found) / decisions
    print(f"{decisions} decisions: same check in {same:.1%} (at least {SAME_AT_LEAST:.0%}), "
          f"information given away {lost:.1%} (at most {LOST_AT_MOST:.0%})")  # fmt: skip
    return int(same < SAME_AT_LEAST or lost > LOST_AT_MOST)


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 25))

"""The engine against a general-purpose library: ``python -m tests.proofs.bayes_network [histories]``.

The same model is built as a Bayesian network in pyAgrum (https://agrum.gitlab.io, LGPL): one node for what is wrong,
one for what is needed, one per piece of evidence. Looks are nodes with their outcomes; readings enter as likelihoods.
Posteriors agree to 1e-9; the information of a look about what is needed agrees to the tables' single precision.
"""

from __future__ import annotations

import sys

import numpy as np

from assistant.reasoning.belief import form_belief
from assistant.reasoning.choice import information
from assistant.reasoning.circuit import Floats
from assistant.reasoning.evidence import Evidence
from assistant.reasoning.likelihood import Likelihood, likelihood_for
from assistant.reasoning.tables import Tables, compile_tables
from knowledge.base import load
from knowledge.models.check import Sense

from .agrum import gum

APART_AT_MOST, BITS_APART_AT_MOST = 1e-9, 1e-3
WRONG, NEEDED = "wrong", "needed"


def network(tables: Tables, likelihood: Likelihood, evidence: list[Evidence]) -> tuple[gum.BayesNet, dict[str, object]]:
    """Return the network and what is known about its nodes."""
    bn = gum.BayesNet("visit")
    bn.add(gum.LabelizedVariable(WRONG, WRONG, len(tables.rows)))
    bn.add(gum.LabelizedVariable(NEEDED, NEEDED, len(tables.classes)))
    bn.cpt(WRONG).fillWith((tables.prior / tables.prior.sum()).tolist())
    bn.addArc(WRONG, NEEDED)
    bn.cpt(NEEDED)[:] = np.ascontiguousarray(tables.classes.T)
    known: dict[str, object] = {}
    for item in evidence:
        if isinstance(tables.checks[item.check].measure, Sense):
            known[item.check] = _add_look(bn, tables, likelihood, item)
        else:
            bn.add(gum.LabelizedVariable(item.check, item.check, 2))
            bn.addArc(WRONG, item.check)
            fit = likelihood.fit(item).total
            odds = fit / fit.max()
            bn.cpt(item.check)[:] = np.stack([odds, 1.0 - odds], axis=1)
            known[item.check] = 0
    return bn, known


def _add_look(bn: gum.BayesNet, tables: Tables, likelihood: Likelihood, item: Evidence) -> list[float]:
    names = [answer.outcome for answer in tables.checks[item.check].answers]
    bn.add(gum.LabelizedVariable(item.check, item.check, len(names)))
    bn.addArc(WRONG, item.check)
    table = np.stack([likelihood.fit(Evidence(item.check, outcomes=(name,))).total for name in names], axis=1)
    bn.cpt(item.check)[:] = table / table.sum(axis=1, keepdims=True)
    return [1.0 if name in item.outcomes else 0.0 for name in names]


def drawn_evidence(tables: Tables, rng: np.random.Generator, most: int = 6) -> list[Evidence]:
    """Return answers to a few checks, drawn without any sense."""
    checks = rng.choice(sorted(tables.checks), size=int(rng.integers(1, most + 1)), replace=False)
    return [_drawn_answer(tables, rng, str(name)) for name in checks]


def _drawn_answer(tables: Tables, rng: np.random.Generator, name: str) -> Evidence:
    check = tables.checks[name]
    if check.answers:
        return Evidence(name, outcomes=(str(rng.choice([answer.outcome for answer in check.answers])),))
    if check.quantity == "resistance" and rng.random() < 0.4:
        return Evidence(name, over_limit=True)
    low, high = check.plausible or (0.0, 500.0)
    return Evidence(name, value=float(rng.uniform(low, min(high, 1e4))))


def apart(tables: Tables, seed: int) -> tuple[float, float]:
    """Return the largest difference of a posterior, and of the bits of a look about what is needed."""
    rng = np.random.default_rng(seed)
    likelihood = likelihood_for(tables, ())
    evidence = drawn_evidence(tables, rng)
    belief = form_belief(tables, likelihood, evidence).probability
    bn, known = network(tables, likelihood, evidence)
    exact = _posterior(bn, known, WRONG)
    look = next(name for name in tables.predictions.senses if name not in known)
    _add_look(bn, tables, likelihood, Evidence(look))
    inference = gum.LazyPropagation(bn)
    inference.setEvidence(known)
    joint = _joint(inference, look)
    product = joint.sum(axis=1, keepdims=True) * joint.sum(axis=0, keepdims=True)
    bits = float((joint[joint > 0] * np.log2(joint[joint > 0] / product[joint > 0])).sum())
    return float(np.abs(belief - exact).max()), abs(information(tables, belief)[look] - bits)


def _posterior(bn: gum.BayesNet, known: dict[str, object], node: str) -> Floats:
    inference = gum.LazyPropagation(bn)
    inference.setEvidence(known)
    return np.asarray(inference.posterior(node).toarray())


def _joint(inference: gum.LazyPropagation, look: str) -> Floats:
    inference.addJointTarget({NEEDED, look})
    joint = inference.jointPosterior({NEEDED, look})
    table = np.asarray(joint.toarray())
    return table if joint.names[-1] == NEEDED else table.T


def main(histories: int) -> int:
    """Print the largest differences; exit 1 where they are too large."""
    tables = compile_tables(load(), "split_psc_240")
    found = np.array([apart(tables, seed) for seed in range(histories)])
    belief, bits = found.max(axis=0)
    print(f"{histories} random histories: posterior apart by {belief:.1e} (at most {APART_AT_MOST:.0e}), "
          f"bits by {bits:.1e} (at most {BITS_APART_AT_MOST:.0e})")  # fmt: skip
    return int(belief > APART_AT_MOST or bits > BITS_APART_AT_MOST)


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 100))

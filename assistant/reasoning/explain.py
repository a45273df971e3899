"""Why: what was found, what a good unit gives, what the fault gives, what speaks against, what is ruled out."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from .belief import updated
from .case import Case
from .circuit import Bools
from .confirming import main_faults
from .evidence import Evidence
from .predicted import row_name, shown, shown_near
from .readout import found
from .stretch import between_live_and_dead
from .tables import HEALTHY, Tables

if TYPE_CHECKING:
    from .conflict import Conflict

DECISIVE = 4
SPEAKS = 3.0
"""Likelihood ratio from which a reading counts as speaking for or against."""
RULED_OUT = 0.05
"""A fault counts as ruled out when its probability fell below this share of its prior."""
REMAINING = 4
EXCLUDED = 4
"""Names of ruled out faults that are said of one reading; the rest is counted."""


def leading_row(case: Case, faults: tuple[str, ...]) -> int:
    """Return the likeliest hypothesis that is one of these faults alone, or all of them together."""
    rows = [int(h) for fault in faults for h in np.flatnonzero(case.tables.alone[fault])]
    rows += [case.tables.row_of[faults]] if faults in case.tables.row_of else []
    return max(rows, key=lambda h: case.probability[h])


def decisive(case: Case, repair: str) -> tuple[str, ...]:
    """Return the readings that carry a repair: got, good unit, this fault, and what each of them shuts out.

    Ordered by what each one does: how far the odds of the repair fall when it is left out.
    """
    needed = case.tables.needing(repair) > 0
    row = leading_row(case, main_faults(case.tables, case.probability, repair))
    weighed = []
    for evidence, fit in case.fits:
        without = updated(case.belief.start, (other for _, other in case.fits if other is not fit))
        rival = int(np.argmax(np.where(needed | _unknown(case), -1.0, without)))
        fall = _log_odds(case.probability[needed].sum()) - _log_odds(without[needed].sum())
        weighed.append((fall, evidence, rival))
    best = sorted((item for item in weighed if item[0] > 0), key=lambda item: -item[0])
    lines = [line for line in (_comparison(case, evidence, row, rival) for _, evidence, rival in best) if line]
    return tuple(lines[:DECISIVE])


def _unknown(case: Case) -> Bools:
    return np.array([row.unknown for row in case.tables.rows])


def _log_odds(probability: float) -> float:
    kept = min(max(float(probability), 1e-12), 1.0 - 1e-12)
    return float(np.log(kept / (1.0 - kept)))


def _comparison(case: Case, evidence: Evidence, row: int, rival: int) -> str:
    """Return got, good unit, this fault and what it shuts out as a sentence; empty where all of them read alike."""
    kb, check = case.tables.kb, case.tables.checks[evidence.check]
    fault, other = shown_near(case, evidence, row), shown_near(case, evidence, rival)
    healthy = shown(case, check.id, HEALTHY)
    if fault == healthy == other:
        return ""
    line = kb.reasoning.sentences["reading"].format(
        check=check.name, found=found(kb, evidence), healthy=healthy, fault=fault
    )
    if rival != HEALTHY and other != fault:
        line += kb.reasoning.sentences["runner_up"].format(other=row_name(case.tables, rival), value=other)
    return line


def chain(case: Case, faults: tuple[str, ...]) -> tuple[str, ...]:
    """Return what follows from the faults, in order of time."""
    return case.tables.consequences(leading_row(case, faults))


def explain(case: Case, repair: str) -> tuple[str, ...]:
    """Return the whole reason for a repair as sentences."""
    kb = case.tables.kb
    faults = main_faults(case.tables, case.probability, repair)
    events = (kb.faults[faults[0]].name, *chain(case, faults[:1]))
    told = kb.reasoning.sentences["chain"].format(chain=" → ".join(events))
    return (*decisive(case, repair), *between_live_and_dead(case), told)


def why_not(case: Case, fault: str) -> tuple[str, ...]:
    """Return the readings that speak against a fault, strongest first: got, good unit, this fault, what fits better."""
    row = leading_row(case, (fault,))
    mine = case.tables.has_fault[case.tables.fault_ids.index(fault)] > 0
    without = np.where(mine | _unknown(case), -1.0, case.probability)
    best = int(np.argmax(without))
    ratio = [(float(fit.total[row] / fit.total[best]), evidence) for evidence, fit in case.fits]
    against = sorted((pair for pair in ratio if pair[0] < 1.0 / SPEAKS), key=lambda pair: pair[0])
    return tuple(line for line in (_comparison(case, e, row, best) for _, e in against) if line)


def exclusions(case: Case) -> tuple[str, ...]:
    """Return what is ruled out and by what, one sentence for each reading that ruled something out."""
    tables, kb = case.tables, case.tables.kb
    start = tables.has_fault @ tables.prior
    by: dict[Evidence, list[str]] = {}
    best = [float(fit.total.max()) for _, fit in case.fits]
    for f, fault in enumerate(tables.fault_ids):
        if case.fault_probability[fault] >= RULED_OUT * start[f] or not case.fits:
            continue
        row = tables.row_of[(fault,)]
        support = [(float(fit.total[row]) / top, e) for (e, fit), top in zip(case.fits, best, strict=True)]
        least, evidence = min(support, key=lambda pair: pair[0])
        if least < 1.0 / SPEAKS:
            by.setdefault(evidence, []).append(fault)
    say = kb.reasoning.sentences["excluded"]
    return tuple(
        say.format(faults=_likeliest(case, names), check=tables.checks[e.check].name, found=found(kb, e))
        for e, names in by.items()
    )


def _likeliest(case: Case, faults: list[str]) -> str:
    """Return the names of the faults that one would have thought of first, and how many more there are."""
    kb = case.tables.kb
    first = sorted(faults, key=lambda fault: -kb.faults[fault].prior)[:EXCLUDED]
    more = len(faults) - len(first)
    names = ", ".join(kb.faults[fault].name for fault in first)
    return f"{names} {kb.reasoning.sentences['and_more'].format(count=more)}" if more else names


def remaining(case: Case) -> tuple[str, ...]:
    """Return the likeliest faults that are left, with their rank words."""
    tables, say = case.tables, case.tables.kb.reasoning.sentences
    top = sorted(case.fault_probability.items(), key=lambda item: -item[1])[:REMAINING]
    return tuple(say["remaining"].format(name=tables.kb.faults[f].name, word=rank_word(tables, p)) for f, p in top)


def rank_word(tables: Tables, probability: float) -> str:
    """Return the word for a probability."""
    return next(rank.word for rank in tables.kb.reasoning.ranks if probability >= rank.at_least)


def seen_good(case: Case) -> tuple[str, ...]:
    """Return what was found on the unit."""
    kb = case.tables.kb
    say = kb.reasoning.sentences["seen_good"]
    return tuple(say.format(check=case.tables.checks[e.check].name, found=found(kb, e)) for e, _ in case.fits)


def said(case: Case, conflict: Conflict) -> str:
    """Return a conflict as a sentence."""
    kb, checks = case.tables.kb, case.tables.checks
    if conflict.other is None:
        one, found_so = checks[conflict.one.check].name, found(kb, conflict.one)
        return kb.reasoning.sentences["odd_one_out"].format(one=one, one_found=found_so)
    return kb.reasoning.sentences["contradiction"].format(
        one=checks[conflict.one.check].name,
        one_found=found(kb, conflict.one),
        other=checks[conflict.other.check].name,
        other_found=found(kb, conflict.other),
        again=checks[conflict.again.check].name,
    )

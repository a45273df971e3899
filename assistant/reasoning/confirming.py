"""Has the part itself read wrong the way its fault predicts? No part is condemned without."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import chain

import numpy as np

from knowledge.models.check import Microfarad, Ohms, Residual, Sense
from knowledge.models.repair import Repair

from .belief import average
from .case import Case
from .circuit import Floats
from .evidence import Evidence, segments
from .likelihood import Likelihood
from .tables import HEALTHY, Tables

MISTAKE = 0.2
"""Evidence does not read as in a good unit where it would be a mistake there with at least this probability."""
CLEARS = 0.5
"""A good reading clears a fault that the check would confirm with at least this probability."""
MAIN_SHARE = 0.2
"""Faults with at least this share of their repair's probability must be confirmed as a group."""


@dataclass(frozen=True)
class Confirmation:
    """How the confirming checks of a repair stand."""

    confirmed: tuple[Evidence, ...]
    unproved: tuple[str, ...]
    """Read wrong as predicted, but with the power state not proved: to be taken again."""
    against: tuple[str, ...]
    """Read as in a good unit."""
    vague: tuple[str, ...]
    """Answered, but saying neither."""
    wanting: tuple[str, ...]
    """Not answered yet or answered both ways, and needed before what read wrong says anything about this part."""
    unfit: tuple[str, ...]
    """Needed like that, but not read as in a good unit."""


def main_faults(tables: Tables, belief: Floats, repair: str) -> tuple[str, ...]:
    """Return the faults that carry a repair's probability, likeliest first."""
    mass = {f: float(tables.has_fault[k] @ belief) for k, f in enumerate(tables.fault_ids)}
    mine = {f: m for f, m in mass.items() if tables.kb.faults[f].repair == repair}
    best = max(mine.values())
    return tuple(sorted((f for f, m in mine.items() if m >= MAIN_SHARE * best), key=lambda f: -mine[f]))


def confirms(tables: Tables, likelihood: Likelihood, evidence: Evidence, faults: tuple[str, ...]) -> int:
    """Return 1 where evidence reads wrong as one of ``faults`` predicts, -1 where it reads as good, 0 between.

    Wrong means: far likelier under the fault than in a good unit, and than under other single faults on average.
    Where the fault only leaves the test points floating, no reading there confirms it.
    """
    fit = likelihood.fit(evidence)
    faults = tuple(name for name in faults if not _floats(tables, evidence.check, name))
    if not faults:
        return 0
    deciding = tables.kb.reasoning.deciding
    verdicts = [_verdict(tables, fit.total, name) for name in faults]
    good, special = max(verdicts)
    if good >= deciding.confirm_ratio and special >= deciding.specific_ratio:
        return 1
    return -1 if good <= 1.0 / deciding.confirm_ratio else 0


def _verdict(tables: Tables, total: Floats, fault: str) -> tuple[float, float]:
    """Return how many times likelier the evidence is under the fault than in a good unit, and than elsewhere."""
    own = average(tables, total, tables.alone[fault])
    others = tables.elsewhere[tables.kb.faults[fault].repair]
    return own / float(total[HEALTHY]), own / average(tables, total, others)


def _floats(tables: Tables, check: str, fault: str) -> bool:
    if not tables.measures(check):
        return False
    held = tables.holding(check)
    k, p = held.column[check], held.predictions
    source = np.minimum(p.settled_source[:, k], p.active_source[:, k])[tables.alone[fault]]
    return bool((source > tables.kb.reasoning.errors.ghost_ohm).all())


def _usable(case: Case, repair: str) -> list[Evidence]:
    """Return evidence that may speak about a repair's part, of each check what stands since it was taken last.

    Readings of a running unit from before another repair no longer say what the unit does; a part measured by
    itself still does, where what was mended would not have made it read so. Nothing from before the same repair counts.
    """
    out: dict[str, Evidence] = {}
    mended: list[str] = []
    for part in reversed(segments(case.history)):
        if part.repair == repair:
            break
        if part.repair is not None:
            mended.append(part.repair)
        for item in part.evidence:
            how = case.tables.kb.checks[item.check].measure
            of_itself = isinstance(how, Ohms | Microfarad) or (isinstance(how, Sense) and how.fact is None)
            if part.repair is None or (of_itself and not _explained(case, item, mended)):
                out.setdefault(item.check, item)
    return list(out.values())


def _explained(case: Case, evidence: Evidence, mended: Sequence[str]) -> bool:
    """Return True where a fault that one of these repairs mends makes evidence far likelier than a good unit does."""
    total, kb = case.likelihood.fit(evidence).total, case.tables.kb
    faults = [fault.id for fault in kb.faults.values() if fault.repair in mended]
    return any(_verdict(case.tables, total, name)[0] >= kb.reasoning.deciding.confirm_ratio for name in faults)


def confirmation(case: Case, repair: str, faults: tuple[str, ...]) -> Confirmation:
    """Return how the confirming checks of a repair stand for these faults.

    One fault has to be confirmed for itself: a reading that speaks for one of them and a good one that clears it do not
    add up to another.
    """
    standing = [_confirmation(case, repair, fault) for fault in faults]
    confirmed = next((state for state in standing if state.confirmed), None)
    return confirmed or Confirmation(
        (),
        _together(state.unproved for state in standing),
        _together(state.against for state in standing),
        _together(state.vague for state in standing),
        _together(state.wanting for state in standing),
        _together(state.unfit for state in standing),
    )


def _together(listed: Iterable[tuple[str, ...]]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(chain.from_iterable(listed)))


def _confirmation(case: Case, repair: str, fault: str) -> Confirmation:
    kb = case.tables.kb
    usable = {evidence.check: evidence for evidence in _usable(case, repair)}
    confirmed: list[Evidence] = []
    unproved, against, vague, wanting, unfit = (list[str]() for _ in range(5))
    for evidence in (usable[check] for check in kb.repairs[repair].confirm if check in usable):
        verdict = confirms(case.tables, case.likelihood, evidence, (fault,))
        given = [check for check in kb.repairs[repair].given.get(evidence.check, ()) if check in case.tables.checks]
        open_ = [check for check in given if check not in usable or check in case.disputed]
        odd = [check for check in given if check in usable and not as_good(case, usable[check])]
        if verdict < 0:
            against += [evidence.check] if _power(case.tables, evidence.check, fault) >= CLEARS else []
        elif verdict == 0 or _is_what_many_end_in(kb.repairs[repair], evidence):
            vague.append(evidence.check)
        elif not evidence.proved or evidence.trust < kb.reasoning.deciding.confirm_trust:
            unproved.append(evidence.check)
        elif odd or open_:
            wanting += open_
            unfit += odd
        else:
            confirmed.append(evidence)
    measured = any(not case.is_look(evidence.check) for evidence in confirmed)
    # a part that looks well is not cleared of what was measured on it
    cleared = tuple(check for check in against if not (measured and case.is_look(check)))
    if not confirmed and not (cleared or wanting or unfit):
        confirmed = _together_confirm(case, [usable[check] for check in vague], fault)
    return Confirmation(() if cleared else tuple(confirmed), *map(tuple, (unproved, cleared, vague, wanting, unfit)))


def _together_confirm(case: Case, vague: Sequence[Evidence], fault: str) -> list[Evidence]:
    """Return gauge readings that one by one say nothing for sure, where together they read wrong as predicted."""
    gauges = [one for one in vague if isinstance(case.tables.checks[one.check].measure, Residual) and one.proved]
    if len(gauges) < 2:
        return []
    total = np.prod([case.likelihood.fit(one).total for one in gauges], axis=0)
    good, special = _verdict(case.tables, total, fault)
    deciding = case.tables.kb.reasoning.deciding
    return gauges if good >= deciding.confirm_ratio and special >= deciding.specific_ratio else []


def _is_what_many_end_in(repair: Repair, evidence: Evidence) -> bool:
    """Return True where a look reads wrong in a way that this repair's fault shares with many others: iced."""
    confirming = repair.confirm_as.get(evidence.check)
    return confirming is not None and not set(evidence.outcomes) <= set(confirming)


def as_good(case: Case, evidence: Evidence) -> bool:
    """Return True where evidence reads as in a good unit."""
    return float(case.likelihood.fit(evidence).error[HEALTHY]) < MISTAKE


def confirming_power(tables: Tables, check: str, faults: tuple[str, ...]) -> float:
    """Return the probability that a check confirms one of these faults if the fault is there, usual plate values."""
    return max(_power(tables, check, fault) for fault in faults)


@lru_cache(maxsize=1024)
def _power(tables: Tables, check: str, fault: str) -> float:
    usual = tuple((scale.plate, scale.base) for scale in tables.kb.reasoning.plate_scales)
    likelihood = Likelihood(tables, dict(usual))
    share = 0.0
    for row in np.flatnonzero(tables.alone[fault]):
        weight = float(tables.prior[row] / tables.prior[tables.alone[fault]].sum())
        for evidence, chance in _likely_readings(tables, likelihood, check, int(row)):
            if confirms(tables, likelihood, evidence, (fault,)) > 0:
                share += weight * chance
    return share


def _likely_readings(tables: Tables, likelihood: Likelihood, check: str, row: int) -> list[tuple[Evidence, float]]:
    """Return what a check would show under a hypothesis, with probabilities."""
    if check in tables.predictions.senses:
        shares = tables.seen(check)[row]
        names = [answer.outcome for answer in tables.checks[check].answers]
        return [(Evidence(check, outcomes=(n,)), float(p)) for n, p in zip(names, shares, strict=True) if p > 0]
    if check not in tables.column:
        return [(Evidence(check, round(tables.shifts.expected(check, row, None), 2)), 1.0)]
    k = tables.column[check]
    weight = float(tables.weight[row, k])
    out = []
    for values, share in zip(likelihood.expected(check), (weight, 1.0 - weight), strict=True):
        value = float(values[row])
        if share > 0:
            over = bool(np.isnan(value))
            out.append((Evidence(check, None if over else value, over_limit=over), share))
    return out

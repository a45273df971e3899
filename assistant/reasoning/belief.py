"""Bayesian belief over the hypotheses, always recomputed from the whole history."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from .circuit import Bools, Floats
from .evidence import Evidence, History, Said, Segment, Unwell, segments
from .likelihood import Fit, Likelihood
from .tables import HEALTHY, UNKNOWN, Tables

SEEN_BAD = 2.0
"""Evidence reads bad where a fault makes it at least this many times likelier than a good unit does."""


@dataclass(frozen=True)
class Belief:
    """Posterior over the H hypotheses, and what made it."""

    probability: Floats
    """(H,) sums to 1."""
    start: Floats
    """(H,) belief at the beginning of the current segment."""
    current: Segment
    fits: tuple[tuple[Evidence, Fit], ...]
    """Evidence of the current segment with its likelihoods."""


def normalised(weights: Floats) -> Floats:
    """Return weights as probabilities."""
    out: Floats = weights / weights.sum()
    return out


def average(tables: Tables, total: Floats, rows: Bools) -> float:
    """Return the mean likelihood of evidence over some of the H rows, by their priors."""
    weight = tables.prior[rows]
    return float(weight @ total[rows] / weight.sum())


def updated(start: Floats, fits: Iterable[Fit]) -> Floats:
    """Return the posterior after independent pieces of evidence; their order does not matter."""
    log = np.log(np.maximum(start, 1e-300))
    for fit in fits:
        log = log + np.log(np.maximum(fit.total, 1e-300))
    return normalised(np.exp(log - log.max()))


def form_belief(
    tables: Tables,
    likelihood: Likelihood,
    history: History,
    complaints: Sequence[str] = (),
    *,
    unwell: Unwell = Unwell.NO,
) -> Belief:
    """Return the belief after a history; complaints are weak evidence for the unit as it was found.

    ``unwell``: the unit as it is now has failed a proof, so that it is hardly healthy. Where
    the unit itself failed it, that goes for every fault that leaves its air cold.
    """
    parts = segments(history)
    expected = _noticed(tables, complaints)
    belief = expected
    for number, part in enumerate(parts):
        fits = [(e, _taken(likelihood, part.takes[e.check])) for e in part.evidence]
        hints = _hints(tables, likelihood, complaints, part) if number == 0 else []
        start = updated(belief, hints)
        if part.repair is None:
            start = _not_healthy(tables, start, unwell)
        belief = updated(start, (fit for _, fit in fits))
        if part.repair is None:
            return Belief(belief, start, part, tuple(fits))
        taken_later = {e.check for later in parts[number + 1 :] for e in later.evidence}
        found = [fit.total for e, fit in fits if e.check not in taken_later]
        belief = repaired(tables, belief, part.repair, expected, found)
    raise AssertionError("a history ends with a segment that no repair closes")


def _noticed(tables: Tables, complaints: Sequence[str]) -> Floats:
    """Return the prior without most of what nobody complained of: a rattling panel warms no house."""
    out = tables.prior.copy()
    if not complaints:
        return out
    for number, name in enumerate(tables.fault_ids):
        noticed = tables.kb.faults[name].noticed_as
        if noticed and not set(noticed) & set(complaints):
            out[tables.has_fault[number] > 0] *= tables.kb.reasoning.priors.unnoticed
    return normalised(out)


def _taken(likelihood: Likelihood, takes: Sequence[Said]) -> Fit:
    """Return the likelihoods of a check however often it was taken.

    Takes that disagree are each evidence, and each may be the wrong one; the doubt is about the last.
    """
    *others, last = (likelihood.fit(evidence, take) for evidence, take in takes)
    if not others:
        return last
    total = np.prod([fit.total for fit in (*others, last)], axis=0)
    return Fit(likelihood.with_average(total), last.error)


def _not_healthy(tables: Tables, belief: Floats, unwell: Unwell) -> Floats:
    if unwell is Unwell.NO:
        return belief
    out = belief.copy()
    errors = tables.kb.reasoning.errors
    out[tables.cold if unwell is Unwell.UNIT else HEALTHY] *= errors.sense * errors.repeated
    return normalised(out)


def _hints(tables: Tables, likelihood: Likelihood, complaints: Sequence[str], part: Segment) -> list[Fit]:
    """Return what the complaints point at, but for checks that were really done."""
    answered = {e.check for e in part.evidence}
    out = []
    for name in complaints:
        complaint = tables.kb.complaints[name]
        for check, outcomes in complaint.hints.items():
            if check not in answered and check in tables.checks:
                out.append(likelihood.hint(check, outcomes, complaint.trust))
    return out


def repaired(
    tables: Tables, belief: Floats, repair: str, expected: Floats | None = None, found: Sequence[Floats] = ()
) -> Floats:
    """Push each hypothesis to what is left of it once its faults with this repair are gone.

    ``expected``: (H,) what was to be expected of this visit before anything was found, the prior if not given;
    ``found``: (H,) likelihoods of each piece of evidence from before the repair.

    A small share stays: a repair may not take. The unknown stays unknown. How far a fault that is left has gone, and
    which protection it trips, is open again, as is the moment in which the restarted unit is met.
    """
    fails = tables.kb.reasoning.deciding.repair_fails
    before, after = tables.kinds_after(repair)
    out = np.where(before == after, 1.0, fails) * belief
    moved = np.bincount(after, weights=belief - out, minlength=int(tables.kind.max()) + 1)
    out += moved[tables.kind] * tables.kind_share
    mass = np.bincount(tables.group, weights=out)
    left = normalised(mass[tables.group] * tables.moment_share)
    return _with_any_second(tables, left, repair, tables.prior if expected is None else expected, found)


def _with_any_second(tables: Tables, belief: Floats, repair: str, expected: Floats, found: Sequence[Floats]) -> Floats:
    """Where all seems cured, let any other single fault be there still, as far as it fits what was found before.

    Not every pair is a hypothesis of its own.
    """
    known = repair in tables.repair_ids
    mended = tables.needing(repair) > 0 if known else np.zeros(len(belief), bool)
    others = expected * tables.singles * ~mended
    others[HEALTHY] = 0.0
    if mended.any():
        for total in found:
            others *= _beside(tables, total, mended & tables.singles)
    moved = tables.kb.reasoning.priors.pairs * float(belief[HEALTHY]) / float(expected @ tables.singles)
    out: Floats = belief + moved * others
    unknown, out[UNKNOWN] = belief[UNKNOWN], 0.0
    out = normalised(out) * (1.0 - unknown)
    out[UNKNOWN] = unknown
    return out


def _beside(tables: Tables, total: Floats, mended: Bools) -> Floats:
    """Return (H,) how many times likelier evidence is with a row's fault beside the mended one than without it.

    What reads bad is explained by either of the two, whichever explains it better; what reads good both must allow.
    """
    alone = average(tables, total, mended)
    healthy = float(total[HEALTHY])
    either, both = np.maximum(total, alone), np.minimum(total, alone)
    out: Floats = np.where(either >= SEEN_BAD * healthy, either, both) / alone
    return out

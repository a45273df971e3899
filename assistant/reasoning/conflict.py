"""Readings that hardly can be right together with the others, and which of them to take again."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

from .belief import normalised, updated
from .case import Case
from .circuit import Floats
from .evidence import Evidence
from .likelihood import Fit
from .tables import UNKNOWN


@dataclass(frozen=True)
class Conflict:
    """``one`` is probably a gross error because of ``other``; ``again`` is the cheaper of them to repeat."""

    one: Evidence
    other: Evidence | None
    """None where no single other reading is to blame: then only ``one`` itself is worth taking again."""
    again: Evidence
    doubt: float
    """Probability that ``one`` is a gross error; for a pair, that one of the two is."""


def doubts(case: Case) -> list[tuple[float, Evidence, Fit]]:
    """Return the evidence since the last repair with the probability that it is a gross error, worst first.

    Judged by the known hypotheses alone: an unknown fault may do much, but it cannot make a motor run without supply.
    """
    belief = case.known
    found = [(float(belief @ fit.error), e, fit) for e, fit in case.fits]
    return sorted(found, key=lambda item: -item[0])


def _known(belief: Floats) -> Floats:
    without = belief.copy()
    without[UNKNOWN] = 0.0
    return normalised(without)


def conflicts(case: Case) -> tuple[Conflict, ...]:
    """Return the readings that are too likely wrong, each with its opponent, and pairs of which one must be wrong."""
    return (*_wrong(case), *_torn(case))


def _torn(case: Case) -> tuple[Conflict, ...]:
    """Return the pair of readings that hardly are both right, though neither is suspect enough by itself."""
    belief, limit = _known(case.probability), case.tables.kb.reasoning.deciding.both_right
    pairs = [
        (float(belief @ ((1.0 - f.error) * (1.0 - g.error))), a, b) for (a, f), (b, g) in combinations(case.fits, 2)
    ]
    both, one, other = min(pairs, key=lambda pair: pair[0], default=(1.0, None, None))
    if one is None or other is None or both >= limit:
        return ()
    return (Conflict(one, other, _cheaper(case, one, other), 1.0 - both),)


def _wrong(case: Case) -> tuple[Conflict, ...]:
    """Return the readings that are too likely wrong by the limit in the knowledge, each with its opponent."""
    limit = case.tables.kb.reasoning.deciding.doubt
    found = []
    for doubt, evidence, fit in doubts(case):
        if doubt < limit:
            break
        other = _opponent(case, fit, doubt)
        again = evidence if other is None else _cheaper(case, evidence, other)
        if len(case.fits) > 1:
            found.append(Conflict(evidence, other, again, doubt))
    return tuple(found)


_RELIEVED = 0.5
"""Share of the doubt that must go with the other reading, before that one is held against the first."""


def _opponent(case: Case, fit: Fit, doubt: float) -> Evidence | None:
    """Return the reading without which the one of ``fit`` would be least doubtful; None where none makes much of it."""
    others = [(e, f) for e, f in case.fits if f is not fit]

    def doubt_without(left_out: Fit) -> float:
        belief = updated(case.belief.start, (f for _, f in case.fits if f is not left_out))
        return float(_known(belief) @ fit.error)

    left, other = min(((doubt_without(f), e) for e, f in others), key=lambda pair: pair[0], default=(doubt, None))
    return other if left <= _RELIEVED * doubt else None


def _cheaper(case: Case, one: Evidence, other: Evidence) -> Evidence:
    """Return what to repeat: not what was repeated already; what the technician was unsure of, else the quicker."""
    checks = case.tables.checks
    fresh = [e for e in (one, other) if e.check not in case.settled] or [one, other]
    hedged = [e for e in fresh if e.trust < 1.0]
    return min(hedged or fresh, key=lambda e: (checks[e.check].minutes, e.check))

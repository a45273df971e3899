"""What was found, as the reasoning takes it in: readings, looks and repairs, in order."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import Enum
from typing import TypeAlias

AGREE = 0.15
"""Two readings of one check agree when they lie within this share of the larger one."""
MOST_TAKES = 3
"""A check answered this often is not asked for again, agreed or not."""


@dataclass(frozen=True, slots=True)
class Evidence:
    """One reading or finding that answers a check."""

    check: str
    value: float | None = None
    """Canonical unit of the check's quantity."""
    high: float | None = None
    """Upper end where a range was given."""
    over_limit: bool = False
    outcomes: tuple[str, ...] = ()
    """Outcomes of a look, listen or ask check that the words leave possible."""
    trust: float = 1.0
    proved: bool = True
    """False: taken while the power state it needs was not proved; it ranks but does not confirm."""
    times: int = 1
    """How often the check was answered like this since the last repair; for a caller that keeps only the last one."""
    spread: float = 0.0
    """More standard deviation than the check's own, in its unit: the target it is compared with is a typical one."""

    def agrees(self, other: Evidence) -> bool:
        """Return True where two answers to the same check say the same: an outcome in common, or nearly one value."""
        if self.outcomes or other.outcomes:
            return bool(set(self.outcomes) & set(other.outcomes))
        if self.over_limit or other.over_limit or self.value is None or other.value is None:
            return self.over_limit == other.over_limit
        return abs(self.value - other.value) <= AGREE * max(abs(self.value), abs(other.value))


@dataclass(frozen=True, slots=True)
class Repaired:
    """A repair that was done; evidence after it is judged on the repaired unit."""

    repair: str


class Take(Enum):
    """How far the last answer to a check is backed by the answers before it."""

    ONCE = "once"
    AGREED = "agreed"
    """At least one more take says the same."""
    DISPUTED = "disputed"
    """Another take says otherwise, and none the same."""


History: TypeAlias = Sequence[Evidence | Repaired]


@dataclass(frozen=True, slots=True)
class Segment:
    """The evidence between two repairs: the last of each check counts."""

    evidence: tuple[Evidence, ...]
    takes: Mapping[str, Take]
    """Check -> how its last answer is backed."""
    settled: frozenset[str]
    """Checks that need not be taken again: two takes agree, or it was taken often enough."""
    repair: str | None
    """What ended the segment; None for the current one."""


def segments(history: History) -> tuple[Segment, ...]:
    """Return the history cut at its repairs; at least one segment, the last one is the current one."""
    out: list[Segment] = []
    answers: dict[str, list[Evidence]] = {}
    for item in history:
        if isinstance(item, Repaired):
            out.append(_segment(answers, item.repair))
            answers = {}
        else:
            answers.setdefault(item.check, []).append(item)
    return (*out, _segment(answers, None))


def _segment(answers: Mapping[str, Sequence[Evidence]], repair: str | None) -> Segment:
    takes = {check: _take(given) for check, given in answers.items()}
    often = {check for check, given in answers.items() if len(given) >= MOST_TAKES}
    agreed = {check for check, take in takes.items() if take is Take.AGREED}
    return Segment(tuple(given[-1] for given in answers.values()), takes, frozenset(agreed | often), repair)


def _take(given: Sequence[Evidence]) -> Take:
    *before, last = given
    if last.times > 1 or any(last.agrees(other) for other in before):
        return Take.AGREED
    return Take.DISPUTED if before else Take.ONCE

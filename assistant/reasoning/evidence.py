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
    passing: bool = False
    """True for what passes by itself, like ice: another answer later does not contradict it, and counts more."""
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


class Unwell(Enum):
    """What the proofs of performance since the last repair say."""

    NO = "no"
    """None of them fails."""
    LOOKS = "looks"
    """Only proofs by looks fail: a root fault is left, whichever."""
    UNIT = "unit"
    """A reading or the air of the unit itself fails: what leaves its air cold does not explain that."""


class Take(Enum):
    """How far an answer to a check is backed by the other answers to it."""

    ONCE = "once"
    AGREED = "agreed"
    """At least one more take says the same."""


History: TypeAlias = Sequence[Evidence | Repaired]


Said: TypeAlias = tuple[Evidence, Take]
"""One of the things that the takes of a check say, and how far it is backed."""


@dataclass(frozen=True, slots=True)
class Segment:
    """The evidence between two repairs."""

    evidence: tuple[Evidence, ...]
    """What each check says: what two takes agree on, else the last answer."""
    takes: Mapping[str, tuple[Said, ...]]
    """Check -> what its takes say, what stands at the end; more than one thing where the takes disagree."""
    settled: frozenset[str]
    """Checks that need not be taken again: two takes agree, or it was taken often enough."""
    exhausted: frozenset[str]
    """Checks that were taken often enough, agreed or not."""
    repair: str | None
    """What ended the segment; None for the current one."""

    @property
    def disputed(self) -> frozenset[str]:
        """Checks whose takes disagree, none of them backed, or several by as many."""
        lasting = {check: [one for one, _ in said if not one.passing] for check, said in self.takes.items()}
        return frozenset(check for check, said in lasting.items() if len(said) > 1 and check not in self.settled)


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
    takes = {check: _said(given) for check, given in answers.items()}
    often = {check for check, given in answers.items() if _is_often(given)}
    agreed = {check: sum(t is Take.AGREED and not one.passing for one, t in said) for check, said in takes.items()}
    tied = {check for check, things in agreed.items() if things > 1}
    settled = {check for check, things in agreed.items() if things == 1} | (often - tied)
    said = tuple(listed[-1][0] for listed in takes.values())
    return Segment(said, takes, frozenset(settled), frozenset(often - tied), repair)


def _is_often(given: Sequence[Evidence]) -> bool:
    """Return True where a check was answered often enough; what passes is waited for somewhat longer."""
    return len(given) >= 2 * MOST_TAKES or sum(not one.passing for one in given) >= MOST_TAKES


def _said(given: Sequence[Evidence]) -> tuple[Said, ...]:
    """Return the different things that the takes of one check say, the last one at the end.

    Takes that agree are one thing, judged by the latest of them. Where the last answer is backed, what most takes say
    stands: alone, or beside what as many say. One that is not stands before what two others agree on. What passes by
    itself stands before everything else.
    """
    lasting = [one for one in given if not one.passing]
    if 0 < len(lasting) < len(given):
        passed = next(one for one in reversed(given) if one.passing)
        return (passed, Take.ONCE), *_said(lasting)
    groups: list[list[Evidence]] = []
    for one in reversed(given):
        like = next((group for group in groups if group[0].agrees(one)), None)
        if like is None:
            groups.append([one])
        else:
            like.append(one)
    times = [max(len(group), group[0].times) for group in groups]
    said = [(group[0], Take.AGREED if n > 1 else Take.ONCE) for group, n in zip(groups, times, strict=True)]
    if times[0] > 1:
        return tuple(one for one, n in reversed([*zip(said, times, strict=True)]) if n == max(times))
    backed = [one for one in said if one[1] is Take.AGREED]
    return (*(one for one in reversed(said) if one not in backed), *backed)

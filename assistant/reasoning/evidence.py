"""What was found, as the reasoning takes it in: readings, looks and repairs, in order."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias


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
    """How often the check was answered since the last repair; for a caller that keeps only the last answer."""


@dataclass(frozen=True, slots=True)
class Repaired:
    """A repair that was done; evidence after it is judged on the repaired unit."""

    repair: str


History: TypeAlias = Sequence[Evidence | Repaired]


@dataclass(frozen=True, slots=True)
class Segment:
    """The evidence between two repairs: the last of each check counts."""

    evidence: tuple[Evidence, ...]
    repeated: frozenset[str]
    """Checks taken at least twice here."""
    repair: str | None
    """What ended the segment; None for the current one."""


def segments(history: History) -> tuple[Segment, ...]:
    """Return the history cut at its repairs; at least one segment, the last one is the current one."""
    out: list[Segment] = []
    latest: dict[str, Evidence] = {}
    repeated: set[str] = set()
    for item in history:
        if isinstance(item, Repaired):
            out.append(Segment(tuple(latest.values()), frozenset(repeated), item.repair))
            latest, repeated = {}, set()
            continue
        if item.check in latest or item.times > 1:
            repeated.add(item.check)
        latest[item.check] = item
    out.append(Segment(tuple(latest.values()), frozenset(repeated), None))
    return tuple(out)

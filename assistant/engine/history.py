"""From the standing events of a visit to what the diagnosis needs."""

from __future__ import annotations

from functools import lru_cache

from assistant.language.models import Doubt
from assistant.reasoning.diagnosis import Diagnosis, Evidence, Repaired
from assistant.reasoning.tables import Tables
from assistant.session import events as e
from assistant.session.state import VisitState
from knowledge import KnowledgeBase

from .context import plate_values
from .matching import outcome_of_value


def diagnosis_of(state: VisitState, kb: KnowledgeBase, tables: Tables) -> Diagnosis:
    """Return the belief after everything that stands; recomputed only when evidence, repairs or plate changed."""
    history = _history(state, kb)
    complaints = tuple(dict.fromkeys(reported.complaint for reported in state.complaints))
    return _diagnosis(_Tables(tables), history, complaints, tuple(sorted(plate_values(state).items())))


class _Tables:
    """Tables compare by identity, so that they can be part of a cache key."""

    def __init__(self, tables: Tables) -> None:
        self.tables = tables

    def __hash__(self) -> int:
        return id(self.tables)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Tables) and other.tables is self.tables


@lru_cache(maxsize=8)
def _diagnosis(
    box: _Tables,
    history: tuple[Evidence | Repaired, ...],
    complaints: tuple[str, ...],
    plate: tuple[tuple[str, float], ...],
) -> Diagnosis:
    return Diagnosis(box.tables, history, complaints=complaints, plate=dict(plate))


def _history(state: VisitState, kb: KnowledgeBase) -> tuple[Evidence | Repaired, ...]:
    """Evidence and repairs in order; of a check repeated between two repairs only the last counts."""
    repairs = sorted(state.repairs, key=lambda done: done.seq)
    marks = [done.seq for done in repairs]
    entries: list[tuple[int, Evidence | Repaired]] = [(done.seq, Repaired(done.repair)) for done in repairs]
    seen: set[tuple[str, int]] = set()
    observations: list[e.ReadingTaken | e.FindingMade] = [*state.readings, *state.findings]
    for observed in sorted(observations, key=lambda one: one.seq, reverse=True):
        if observed.check is None:
            continue
        span = sum(1 for mark in marks if mark < observed.seq)
        if (observed.check, span) in seen:
            continue
        evidence = _evidence(observed, kb)
        if evidence is not None:
            seen.add((observed.check, span))
            entries.append((observed.seq, evidence))
    return tuple(entry for _, entry in sorted(entries, key=lambda pair: pair[0]))


def _evidence(observed: e.ReadingTaken | e.FindingMade, kb: KnowledgeBase) -> Evidence | None:
    check = kb.checks[observed.check or ""]
    if check.energised and not observed.proved:
        return None  # a still fan on an isolated unit says nothing
    trust = kb.reasoning.hedged_trust if Doubt.UNSURE.value in observed.doubts else 1.0
    if isinstance(observed, e.FindingMade):
        if not observed.outcomes:
            return None
        return Evidence(check.id, outcomes=observed.outcomes, trust=trust, proved=observed.proved)
    if check.answers:
        outcomes = outcome_of_value(check, observed.value)
        return Evidence(check.id, outcomes=outcomes, trust=trust, proved=observed.proved) if outcomes else None
    return Evidence(
        check.id,
        value=observed.value,
        high=observed.high,
        over_limit=observed.over_limit,
        trust=trust,
        proved=observed.proved,
    )

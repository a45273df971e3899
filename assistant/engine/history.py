"""From the standing events of a visit to what the diagnosis needs."""

from __future__ import annotations

from functools import lru_cache
from itertools import chain

from assistant.language.models import Doubt
from assistant.reasoning.diagnosis import Diagnosis, Evidence, Repaired, Unwell
from assistant.reasoning.tables import Tables
from assistant.session import events as e
from assistant.session.state import VisitState
from knowledge import KnowledgeBase

from .context import plate_values, plate_words
from .matching import outcome_of_value
from .proving import unwell


def diagnosis_of(state: VisitState, kb: KnowledgeBase, tables: Tables) -> Diagnosis:
    """Return the belief after everything that stands; recomputed only when evidence, repairs or plate changed."""
    history = history_of(state, kb)
    complaints = tuple(dict.fromkeys(reported.complaint for reported in state.complaints))
    plate, words = (tuple(sorted(read(state).items())) for read in (plate_values, plate_words))
    return _diagnosis(_Tables(tables), history, complaints, plate, words, unwell(state, kb))


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
    words: tuple[tuple[str, str], ...],
    unwell: Unwell,  # part of the cache key
) -> Diagnosis:
    given = dict(plate)
    return Diagnosis(box.tables, history, complaints=complaints, plate=given, words=dict(words), unwell=unwell)


def history_of(state: VisitState, kb: KnowledgeBase) -> tuple[Evidence | Repaired, ...]:
    """Evidence and repairs in order; of a check repeated before a repair only the last answer counts.

    Since the last repair the last few answers are told apart, as it matters whether they agree.

    The cost grows with checks and repairs, not with the length of the visit.
    """
    history: list[Evidence | Repaired] = []
    has, repairable = {*kb.checks, *kb.points.solved}, set(kb.repairs)
    since = 0
    for repair, before in zip((*state.repairs, None), (*state.before_repairs, state.latest), strict=True):
        answers = before.values() if repair is not None else chain.from_iterable(state.takes.values())
        span = sorted((seen for seen in answers if seen.seq > since), key=lambda seen: seen.seq)
        here = (seen for seen in span if seen.check in has)  # not what was asked of another way of building it
        history += [evidence for evidence in (_evidence(seen, kb) for seen in here) if evidence is not None]
        if repair is not None:
            if repair.repair in repairable:
                history.append(Repaired(repair.repair))
            since = repair.seq
    return tuple(history)


def _evidence(observed: e.ReadingTaken | e.FindingMade, kb: KnowledgeBase) -> Evidence | None:
    check = kb.checks[observed.check or ""]
    trust = kb.reasoning.hedged_trust if Doubt.UNSURE.value in observed.doubts else 1.0
    if isinstance(observed, e.FindingMade):
        if not observed.outcomes:
            return None
        return Evidence(check.id, outcomes=observed.outcomes, trust=trust, proved=observed.proved)
    if check.answers:
        outcomes = outcome_of_value(check, observed.value)
        if not outcomes:
            return None
        return Evidence(check.id, observed.value, outcomes=outcomes, trust=trust, proved=observed.proved)
    return Evidence(
        check.id,
        value=observed.value,
        high=observed.high,
        over_limit=observed.over_limit,
        trust=trust,
        proved=observed.proved,
    )

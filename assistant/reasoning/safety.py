"""The safety gate: what must be done before, what is forbidden, which cautions go with it, what stops it.

A gate, never a probability: nothing here reads what the diagnosis believes.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from assistant.session import events as e
from assistant.session.phases import standing_against
from assistant.session.power import missing_steps, steps_to_restart
from assistant.session.state import Stop as StandingStop
from assistant.session.state import VisitState
from knowledge import KnowledgeBase
from knowledge.models.check import Check
from knowledge.models.entry import PowerNeed, Signal
from knowledge.models.repair import Repair
from knowledge.models.safety import Caution, SafetyStep, Stop
from knowledge.models.visit import Phase

StepView = SafetyStep
"""A step as the gate shows it. ``say`` of the discharging step has the place ``{hold_s}`` to be filled."""

_SEVERITY = {signal: rank for rank, signal in enumerate(Signal)}


@dataclass(frozen=True, slots=True)
class Gate:
    """What stands between the technician and a piece of work."""

    missing: tuple[SafetyStep, ...]
    """Steps still to be done, in order. Empty where the work is barred by energising: no step leads there."""
    barred: tuple[StandingStop, ...]
    """Standing stops that forbid the work."""

    @property
    def free(self) -> bool:
        """True where the work may be done now."""
        return not self.missing and not self.barred


def gate(state: VisitState, need: PowerNeed, kb: KnowledgeBase) -> Gate:
    """Return the steps that are missing and the stops that forbid work in the power state ``need``.

    While the visit is at the restart, live work also waits for everything that belongs to putting power back
    on.
    """
    against = standing_against(state, need, kb)
    barred = tuple(stop for stop in state.stops if stop.stop in against)
    if barred and need is PowerNeed.LIVE:
        return Gate((), barred)
    missing = missing_steps(state, need, kb)
    if need is PowerNeed.LIVE and state.phase == Phase.RESTART:
        restoring = steps_to_restart(state, kb)
        missing = (*restoring, *(step for step in missing if step.group != "restore"))
    return Gate(missing, barred)


def cautions_for(
    kb: KnowledgeBase,
    state: VisitState,
    *,
    check: Check | str | None = None,
    repair: Repair | str | None = None,
    phase: str | None = None,
    waits: Iterable[str] = (),
    refrigerant: str | None = None,
) -> tuple[Caution, ...]:
    """Return the cautions that belong to this work in this place, the most severe signal word first.

    The hazards of the place come from the state. An id that the knowledge does not have brings nothing.
    """
    job_check = kb.checks.get(check) if isinstance(check, str) else check
    job_repair = kb.repairs.get(repair) if isinstance(repair, str) else repair
    triggers = {f"hazard:{hazard}" for hazard in state.hazards} | {f"wait:{wait}" for wait in waits}
    named: set[str] = set()
    if refrigerant is not None:
        triggers.add(f"refrigerant:{refrigerant}")
    if phase is not None:
        triggers.add(f"phase:{phase}")
    if job_check is not None:
        triggers |= {f"check:{job_check.id}", f"needs:{job_check.needs}"}
        named |= set(job_check.cautions)
    if job_repair is not None:
        triggers |= {f"repair:{job_repair.id}", f"needs:{job_repair.needs}"}
        named |= set(job_repair.cautions)
    found = [caution for caution in kb.cautions.values() if caution.id in named or triggers.intersection(caution.when)]
    return tuple(sorted(found, key=lambda caution: _SEVERITY[caution.signal]))


def raised_stops(kb: KnowledgeBase, state: VisitState, event: e.AnyEvent) -> tuple[tuple[Stop, str], ...]:
    """Return the hard stops that one event calls for and that do not stand yet, each with the reason.

    ``state`` may be from before or after the event. Doubts do not matter here: a stop is raised on a hedged
    word too.
    """
    standing = {stop.stop for stop in state.stops}
    found = [
        (stop, because)
        for stop in kb.stops.values()
        if stop.id not in standing and (because := _calls_for(kb, state, stop, event)) is not None
    ]
    return tuple(sorted(found, key=lambda pair: _SEVERITY[pair[0].signal]))


def cleared_stops(kb: KnowledgeBase, state: VisitState, event: e.AnyEvent) -> tuple[tuple[Stop, str], ...]:
    """Return the standing stops that one event clears, each with the reason.

    Only the stop's own re-test clears it, when it passes, is beyond doubt, and the power state it needs is
    proved in the current epoch: both by the event's own word and by ``state``. A stop with several re-tests is
    cleared by the last of them.
    """
    if not isinstance(event, e.ReadingTaken | e.FindingMade) or not _beyond_doubt(kb, state, event):
        return ()
    return tuple(
        (kb.stops[standing.stop], f"{kb.checks[event.check or ''].name}: {event.said}")
        for standing in state.stops
        if standing.stop in kb.stops and event.check in kb.stops[standing.stop].retests
        if _passes(kb.stops[standing.stop], event)
        if set(open_retests(kb, state, standing)) <= {event.check}
    )


def open_retests(kb: KnowledgeBase, state: VisitState, standing: StandingStop) -> tuple[str, ...]:
    """Return the re-tests of a standing stop that have not passed beyond doubt since it was raised."""
    stop = kb.stops.get(standing.stop)
    if stop is None:
        return ()
    passed = {
        seen.check
        for seen in (state.latest.get(check) for check in stop.retests)
        if seen is not None and seen.at > standing.at and _beyond_doubt(kb, state, seen) and _passes(stop, seen)
    }
    return tuple(check for check in stop.retests if check not in passed)


def _calls_for(kb: KnowledgeBase, state: VisitState, stop: Stop, event: e.AnyEvent) -> str | None:
    match event:
        case e.ReadingTaken() if stop.check is not None and stop.check in _checks_of(kb, event):
            low = event.value
            high = event.value if event.high is None else event.high
            too_low = stop.below is not None and low is not None and low < stop.below
            too_high = stop.at_least is not None and high is not None and high >= stop.at_least
            return event.said if too_low or too_high else None
        case e.FindingMade() if stop.about is not None and not event.negated:
            hit = event.state in stop.states and stop.about in set(_subjects_of(kb, event))
            return event.said if hit else None
        case e.RepairDone() | e.RepairProposed() if stop.repeats_repair == event.repair:
            return _second_time(kb, state, event)
        case _:
            return None


def _second_time(kb: KnowledgeBase, state: VisitState, event: e.RepairDone | e.RepairProposed) -> str | None:
    earlier = [done for done in state.repairs if done.repair == event.repair and done != event]
    if not earlier:
        return None
    name = kb.repairs[event.repair].done if event.repair in kb.repairs else event.repair
    return f"{name} already once in this visit"


def _checks_of(kb: KnowledgeBase, event: e.ReadingTaken) -> set[str]:
    """The check a reading answers, and those it would answer if it had been asked for."""
    same = {check.id for check in kb.checks_about.get((event.about, event.quantity), ())}
    return same | ({event.check} if event.check else set())


def _subjects_of(kb: KnowledgeBase, event: e.FindingMade) -> Iterator[str]:
    """What a finding is about, up to the widest subject; the subject of the check it answers too."""
    yield from _chain(kb, event.about)
    check = kb.checks.get(event.check or "")
    yield from _chain(kb, check.about if check is not None else None)


def _chain(kb: KnowledgeBase, subject: str | None) -> Iterator[str]:
    seen: set[str] = set()
    while subject is not None and subject not in seen:
        seen.add(subject)
        yield subject
        entry = kb.subjects.get(subject)
        subject = entry.part_of if entry is not None else None


def _beyond_doubt(kb: KnowledgeBase, state: VisitState, event: e.ReadingTaken | e.FindingMade) -> bool:
    check = kb.checks.get(event.check or "")
    if check is None or not event.proved or event.epoch != state.epoch:
        return False
    return set(event.doubts) <= set(kb.power_rules.certain_enough) and not missing_steps(state, check.needs, kb)


def _passes(stop: Stop, event: e.ReadingTaken | e.FindingMade) -> bool:
    if isinstance(event, e.FindingMade):
        left = set(event.outcomes)
        return not event.negated and bool(left) and left <= set(stop.retest_outcomes)
    if stop.retest_at_least is None and stop.retest_below is None:
        return False
    if event.over_limit or event.value is None:
        return event.over_limit and stop.retest_below is None
    high = event.value if event.high is None else event.high
    enough = stop.retest_at_least is None or event.value >= stop.retest_at_least
    return enough and (stop.retest_below is None or high < stop.retest_below)

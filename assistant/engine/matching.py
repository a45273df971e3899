"""Which check, and which of its outcomes, a reading or finding answers."""

from __future__ import annotations

from collections.abc import Iterator

from assistant.dialogue.numbers import amount
from assistant.dialogue.quantities import System
from assistant.language.models import Heard
from assistant.session import events as e
from assistant.session.state import VisitState
from knowledge import KnowledgeBase
from knowledge.models.check import Check
from knowledge.points import lead_check_id, lead_id, pair_check_id


def subject_chain(kb: KnowledgeBase, subject: str) -> Iterator[str]:
    """Yield the subject and the wider ones it is part of, narrowest first."""
    seen: set[str] = set()
    current: str | None = subject
    while current is not None and current not in seen and current in kb.subjects:
        seen.add(current)
        yield current
        current = kb.subjects[current].part_of


def subject_name(kb: KnowledgeBase, subject: str | None) -> str:
    """Return what a technician calls a subject or plate item; the id itself where it is neither."""
    known = kb.subjects.get(subject or "") or kb.plate_items.get(subject or "")
    return known.name if known is not None else subject or ""


def check_for_reading(kb: KnowledgeBase, state: VisitState, item: Heard) -> Check | None:
    """Return the check a reading answers: the one asked if it fits, else the first about the same thing."""
    if item.about is None or item.quantity is None:
        return None
    found = kb.checks_about.get((item.about, item.quantity), ()) or _of_points(kb, item.about, item.quantity)
    asked = _asked_check(kb, state)
    if asked is not None and asked in found:
        return asked
    return found[0] if found else None


def _of_points(kb: KnowledgeBase, about: str, quantity: str) -> tuple[Check, ...]:
    """Return the check made for a pair of test points or a conductor that no curated check is about."""
    lead = kb.points.clamped(about)
    made = lead_check_id(lead_id(lead.id)) if lead is not None else pair_check_id(about)
    check = kb.checks[made] if made in kb.points.solved else None
    return (check,) if check is not None and check.quantity == quantity else ()


def check_for_finding(kb: KnowledgeBase, state: VisitState, item: Heard) -> Check | None:
    """Return the look, listen or ask check whose answers know this state of this subject (or of what it is part of)."""
    if item.about is None or item.state is None:
        return None
    asked = _asked_check(kb, state)
    for subject in subject_chain(kb, item.about):
        found = [check for check in kb.sensed_about.get(subject, ()) if item.state in _states(check)]
        if asked is not None and asked in found:
            return asked
        if found:
            return found[0]
    return None


def outcomes_of_finding(check: Check, item: Heard) -> tuple[str, ...]:
    """Return the outcomes that the words leave possible; "not humming" leaves all but humming."""
    said = tuple(answer.outcome for answer in check.answers if item.state in answer.states)
    if not item.negated:
        return said
    return tuple(answer.outcome for answer in check.answers if answer.outcome not in said)


def outcome_of_value(check: Check, value: float | None) -> tuple[str, ...]:
    """Return the outcome whose number range holds the value (canonical unit); empty where none does."""
    if value is None:
        return ()
    return tuple(
        answer.outcome
        for answer in check.answers
        if (answer.at_least is not None or answer.below is not None)
        and (answer.at_least is None or value >= answer.at_least)
        and (answer.below is None or value < answer.below)
    )


def observed_words(kb: KnowledgeBase, observed: e.ReadingTaken | e.FindingMade, units: System = "us") -> str:
    """Return a reading with its unit, or a finding as its check names it."""
    if isinstance(observed, e.ReadingTaken):
        return amount(kb, observed.quantity, observed.value, over_limit=observed.over_limit, system=units)
    return outcome_names(kb, kb.checks[observed.check or ""], observed.outcomes, observed.state) or observed.state


def outcome_names(kb: KnowledgeBase, check: Check, outcomes: tuple[str, ...], state: str | None = None) -> str:
    """Return the names of the outcomes; the word that was said where it leaves several of them on purpose."""
    if state in check.either and state in kb.states and len(outcomes) > 1:
        return kb.states[state].name
    return " or ".join(answer.name for answer in check.answers if answer.outcome in outcomes)


def _asked_check(kb: KnowledgeBase, state: VisitState) -> Check | None:
    asked = state.asked
    if asked is None:
        return None
    if asked.kind == "check":
        return kb.checks[asked.id]
    if asked.kind == "close_out":
        check_id = kb.close_out[asked.id].check
        return kb.checks[check_id] if check_id else None
    return None


def _states(check: Check) -> set[str]:
    return {state for answer in check.answers for state in answer.states}

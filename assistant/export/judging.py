"""What a reading or look should have been, and how it is called against that."""

from __future__ import annotations

from assistant.dialogue.quantities import limit_in
from assistant.reasoning.limits import LimitResult, judge, limit_for, limit_for_check, pedigree
from assistant.session import events as e
from knowledge import KnowledgeBase
from knowledge.models.check import Answer as CheckAnswer
from knowledge.models.check import Sense

from .record import Record
from .sections import Judged
from .wording import listed

IN_RANGE = "in range"
GOOD = "good"
"""State that marks the answer of a look check as the one of a sound unit."""
MOSTLY, AT_TIMES = 0.6, 0.15
"""Shares of sound units: what most show is in order, what some show says nothing."""


def judged_reading(record: Record, reading: e.ReadingTaken) -> Judged:
    """Return the limit of the reading's check with the verdict on it; empty where the check has no limit."""
    if reading.check is None:
        return Judged()
    limit = limit_for_check(record.kb, reading.check, record.plate, record.readings)
    if limit is None:
        return _by_answer(record.kb, reading)
    verdict = judge(limit, reading.value, reading.over_limit)
    word, ok = verdict.word, verdict.ok
    if reading.high is not None:
        upper = judge(limit, reading.high, reading.over_limit)
        if upper.word != word:
            word, ok = f"{word} to {upper.word}", False if False in {ok, upper.ok} else None
    return Judged(
        low=limit.low,
        high=limit.high,
        should_be=limit_in(record.kb, limit, record.units).window,
        verdict=word,
        ok=ok,
        in_order=ok is True or (word == IN_RANGE and limit.condemns),
        basis=basis(record.kb, limit),
    )


def judged_look(record: Record, finding: e.FindingMade) -> Judged:
    """Return the outcome a look, listen or ask check had, in words; good where the knowledge marks it so."""
    answers = _answers(record.kb, finding.check)
    met = [answer for answer in answers if answer.outcome in finding.outcomes]
    if not met:
        return Judged()
    fine = {_fine(record.kb, finding.check, answer) for answer in met}
    ok = fine.pop() if len(fine) == 1 else None
    check = record.kb.checks[finding.check or ""]
    vague = len(met) > 1 and finding.state in check.either and finding.state in record.kb.states
    said = record.kb.states[finding.state].name if vague else listed((answer.name for answer in met), "or")
    return Judged(verdict=said, ok=ok, in_order=ok is True)


def window_of(record: Record, limit_id: str | None) -> str:
    """Return the limits of a limit rule in words; empty where there are none."""
    limit = limit_for(record.kb, limit_id, record.plate, record.readings) if limit_id else None
    return limit_in(record.kb, limit, record.units).window if limit else ""


def basis(kb: KnowledgeBase, limit: LimitResult) -> str:
    """Return formula, assumed plate values and pedigree: ``marked µF ± 6 % (common practice, no source)``."""
    assumed = f"; typical {listed(limit.assumed)} assumed, plate not read" if limit.assumed else ""
    return f"{limit.shown}{assumed} ({pedigree(kb, limit.sources)})"


def _by_answer(kb: KnowledgeBase, reading: e.ReadingTaken) -> Judged:
    """A reading of a check without a limit may still fall into one of its named outcomes."""
    for answer in _answers(kb, reading.check):
        if _inside(answer, reading.value):
            fine = _fine(kb, reading.check, answer)
            return Judged(verdict=answer.name, ok=fine, in_order=fine is True)
    return Judged()


def _fine(kb: KnowledgeBase, check_id: str | None, answer: CheckAnswer) -> bool | None:
    """True for what a sound unit shows, False for what it hardly ever shows, None for what says neither."""
    if GOOD in answer.states:
        return True
    check = kb.checks.get(check_id or "")
    normally = check.measure.normally if check is not None and isinstance(check.measure, Sense) else {}
    if not normally:
        return False
    share = normally.get(answer.outcome, 0.0)
    return True if share >= MOSTLY else None if share >= AT_TIMES else False


def _inside(answer: CheckAnswer, value: float | None) -> bool:
    low, high = answer.at_least, answer.below
    if value is None or (low is None and high is None):
        return False
    return (low is None or value >= low) and (high is None or value < high)


def _answers(kb: KnowledgeBase, check_id: str | None) -> tuple[CheckAnswer, ...]:
    check = kb.checks.get(check_id) if check_id else None
    return check.answers if check else ()

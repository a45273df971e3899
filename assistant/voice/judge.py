"""Which of the hypotheses was said, and whether it may be believed, must be asked back, or is no note at all."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from assistant.language.models import Context, Doubt, Heard, Kind, Understood
from assistant.language.plausibility import usual
from assistant.language.understand import understand
from knowledge import KnowledgeBase
from knowledge.models.spoken import Trust
from speech.messages import Phrase

_WORD_COST = 1.0
"""A word that means nothing weighs as much as this many ranks of the recogniser's own list."""
_NO_MEANING_COST = 4.0
_UNLIKELY_COST = 3.0
_RANK_COST = 0.35
_UNUSUAL_COST = 1.0
"""A state nobody says of the part, a quantity nobody measures there, a number far from the usual ones."""
_FAR = 10.0
"""Widths of the usual window from which on a number is far from it."""
_ANSWER_GAIN = 0.5
"""What answers the pending question is likelier than what does not."""

_THOUSAND = 1000
_MOST_THEMES = 2
_MOST_ITEMS = 3
"""A spoken note with more items than that is about too much."""
_THEMES = dict.fromkeys((Kind.COMPLAINT, Kind.FINDING, Kind.READING), Kind.FINDING)
"""What technicians say in one breath."""


class Belief(StrEnum):
    """What is done with a phrase."""

    ACCEPT = "accept"
    ASK = "ask"
    """Asked back before anything is made of it."""
    REJECT = "reject"
    NOISE = "noise"
    """Rejected, and the noise is the likely reason."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """What was made of a phrase."""

    belief: Belief
    text: str = ""
    other: str = ""
    """The other thing that it may be, where there is one."""
    confidence: float = 0.0


@dataclass(frozen=True, slots=True)
class _Candidate:
    text: str
    understood: Understood
    cost: float

    @property
    def meaning(self) -> tuple[object, ...]:
        return tuple(_meaning(item) for item in self.understood.heard)


def judge(phrase: Phrase, kb: KnowledgeBase, context: Context, *, asked_back: bool = False) -> Verdict:
    """Return what to do with a phrase, given what was asked and what is plausible here.

    Among the recogniser's hypotheses the one that means something, answers the question and is plausible wins.
    ``asked_back``: the voice itself asked, so a lone yes or no answers that.
    A second one that means something else of the same kind is asked back, never chosen by lot.
    """
    trust = kb.spoken.trust
    if phrase.dictated is not None and phrase.hypotheses:
        return Verdict(Belief.ACCEPT, phrase.dictated, confidence=0.0)
    candidates = _ranked(phrase, kb, context)
    noisy = phrase.snr_db < trust.snr_ask_db
    if not candidates or phrase.fit < trust.fit_reject:
        return Verdict(Belief.NOISE if noisy else Belief.REJECT)
    best = candidates[0]
    if not best.understood.heard or best.understood.not_understood or _themes(best) > _MOST_THEMES:
        return Verdict(Belief.NOISE if noisy else Belief.REJECT)
    if _is_forced(best, phrase, trust):
        return Verdict(Belief.NOISE if noisy else Belief.REJECT)
    has_rival = any(_rivals(best, one) for one in candidates[1:])
    confidence = phrase.fit  # how sure it is that nothing else was said is weighed below
    # a single word has little sound to be told by: "help" and "no" differ in one vowel
    enough = trust.fit_accept if " " in best.text else trust.fit_word
    clear = phrase.fit >= enough and phrase.sure >= trust.sure_accept and phrase.talk == 0 and not noisy
    first = best.text == phrase.hypotheses[0].text
    plain = first and not _is_weighty(best) and not _is_loose(best, kb, context) and _themes(best) <= 1
    plain = plain and (asked_back or not _answers_nothing(best, context))
    if clear and plain and not has_rival:
        return Verdict(Belief.ACCEPT, best.text, confidence=confidence)
    return Verdict(Belief.ASK, best.text, _runner_up(candidates), confidence)


def _is_forced(best: _Candidate, phrase: Phrase, trust: Trust) -> bool:
    """True for a long note that is sure of nothing: talk, forced into the words of notes."""
    is_long = len(best.text.split()) >= trust.long_words
    return is_long and phrase.sure < trust.sure_long and phrase.fit < trust.fit_long


def _runner_up(candidates: Sequence[_Candidate]) -> str:
    """Return what is read back after a no: the next one that makes sense and means something else."""
    sensible = (one for one in candidates[1:] if one.understood.heard and not one.understood.not_understood)
    return next(
        (one.text for one in sensible if one.meaning != candidates[0].meaning and _themes(one) <= _MOST_THEMES), ""
    )


def _ranked(phrase: Phrase, kb: KnowledgeBase, context: Context) -> list[_Candidate]:
    found: list[_Candidate] = []
    ranks: dict[object, int] = {}
    for one in phrase.hypotheses:
        understood = understand(one.text, kb, context)
        candidate = _Candidate(one.text, understood, 0.0)
        # the same said in other words does not make what is heard less likely
        rank = ranks.setdefault((candidate.meaning, understood.not_understood), len(ranks))
        found.append(replace(candidate, cost=_RANK_COST * rank + _cost(understood, kb, context)))
    return sorted(found, key=lambda candidate: candidate.cost)


def _is_weighty(candidate: _Candidate) -> bool:
    """True where a wrong hearing would change the unit's state: always asked back (safety steps ask by themselves)."""
    return any(item.kind in {Kind.REPAIR, Kind.POWER} for item in candidate.understood.heard)


def _answers_nothing(candidate: _Candidate, context: Context) -> bool:
    """True for a lone "no" or "same" where nothing was asked: more likely another word misheard ("help")."""
    return context.asked is None and all(item.kind is Kind.ANSWER for item in candidate.understood.heard)


def _is_loose(candidate: _Candidate, kb: KnowledgeBase, context: Context) -> bool:
    """True for what is too easily misheard: about a guessed place that answers no question, or hardly ever said."""
    if any(item.kind is Kind.CORRECTION for item in candidate.understood.heard):
        return False  # place and unit are those of the last note
    return any(
        _is_thousandfold(item, kb)
        or _is_unusual(item, kb)
        or _is_far_off(item, kb, context)
        or (Doubt.ASSUMED in item.doubts and not _is_asked_for(item, context))
        for item in candidate.understood.heard
    )


def _is_thousandfold(item: Heard, kb: KnowledgeBase) -> bool:
    """True for a number in thousands of its unit: "twenty k ohms" is one soft sound away from "twenty two ohms"."""
    if item.kind is not Kind.READING or item.quantity is None:
        return False
    return any(
        item.said_unit in unit.written and unit.factor == _THOUSAND for unit in kb.quantities[item.quantity].units
    )


def _is_asked_for(item: Heard, context: Context) -> bool:
    """True where the open question gives what was left out: the unit of a number, the part of a finding."""
    asked = context.asked
    if item.kind is Kind.READING:
        return asked is not None and asked.quantity is not None and item.quantity == asked.quantity
    return item.kind is not Kind.FINDING or (asked is not None and item.about == asked.about)


def _themes(candidate: _Candidate) -> int:
    """Return how many different things a note is about: ordinary talk, forced into our words, is about many."""
    items = candidate.understood.heard
    themes = {_THEMES.get(item.kind, item.kind) for item in items} - {Kind.CORRECTION}
    return max(len(themes), len(items) - _MOST_ITEMS)


def _cost(understood: Understood, kb: KnowledgeBase, context: Context) -> float:
    cost = _WORD_COST * sum(len(words.split()) for words in understood.not_understood)
    if not understood.heard:
        cost += _NO_MEANING_COST
    if _changes_nothing(understood, context):
        cost += _UNLIKELY_COST
    for item in understood.heard:
        if Doubt.OUT_OF_RANGE in item.doubts or _off_the_question(item, context):
            cost += _UNLIKELY_COST
        if _is_unusual(item, kb) or _is_far_off(item, kb, context):
            cost += _UNUSUAL_COST
        if _is_answer(item, context):
            cost -= _ANSWER_GAIN
    return cost


def _is_unusual(item: Heard, kb: KnowledgeBase) -> bool:
    """True for a state that is not said of such a part, or a reading that is not taken there."""
    if item.about is None or item.about not in kb.subjects:
        return False
    if item.kind is Kind.READING and item.quantity is not None:
        return item.quantity not in kb.subjects[item.about].quantities
    state = kb.states.get(item.state or "")
    if item.kind is not Kind.FINDING or state is None or item.about in state.subjects:
        return False
    answers = (
        answer
        for check in kb.checks.values()
        if item.about == check.about or item.about in check.also_about
        for answer in check.answers
    )
    return not any(state.id in answer.states for answer in answers)


def _is_far_off(item: Heard, kb: KnowledgeBase, context: Context) -> bool:
    """True for a number far from what is read there in a sound unit; none at all is what faults do."""
    if item.kind is not Kind.READING or item.quantity is None or not item.value:
        return False
    window = usual(kb, item.about, item.quantity, context.plate)
    return window is not None and window.distance(item.value) > _FAR * window.width


def _changes_nothing(understood: Understood, context: Context) -> bool:
    """True for a correction to the very number that is being corrected."""
    told = [item for item in understood.heard if item.kind is Kind.READING]
    corrects = any(item.kind is Kind.CORRECTION for item in understood.heard)
    return corrects and any(
        (item.value, item.about) == (last.value, last.about) for item in told for last in context.last
    )


def _is_answer(item: Heard, context: Context) -> bool:
    """True for what the pending question asks for."""
    asked = context.asked
    if asked is None or item.about != asked.about:
        return False
    return (item.quantity is not None and item.quantity == asked.quantity) or item.state in asked.states


def _off_the_question(item: Heard, context: Context) -> bool:
    """True for a reading that answers the question with a number nobody reads there."""
    asked = context.asked
    if asked is None or asked.plausible is None or item.value is None or item.quantity != asked.quantity:
        return False
    low, high = asked.plausible
    return item.about == asked.about and not low <= item.value <= high


def _rivals(best: _Candidate, other: _Candidate) -> bool:
    """True where both make sense, say another number of the same things, and neither is clearly worse.

    The unit may differ too: twenty k ohms was heard for twenty two ohms.
    """
    if other.understood.not_understood or not other.understood.heard or other.meaning == best.meaning:
        return False
    same_things = _things(best.understood.heard) == _things(other.understood.heard)
    return same_things and other.cost - best.cost <= _UNLIKELY_COST


def _things(items: Sequence[Heard]) -> tuple[object, ...]:
    return tuple((item.kind, item.about) for item in items)


def _meaning(item: Heard) -> tuple[object, ...]:
    number = (item.quantity, item.value, item.high, item.over_limit)
    return (item.kind, item.about, *number, item.state, item.negated, item.subject)


def is_clear_yes(understood: Understood) -> bool:
    """True for a bare yes or done without any doubt."""
    answers = [item.about for item in understood.heard if item.kind is Kind.ANSWER and not item.doubts]
    return answers in (["yes"], ["done"])


def is_no(understood: Understood) -> bool:
    """True for a bare no."""
    return [item.about for item in understood.heard] == ["no"]

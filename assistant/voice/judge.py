"""Which of the hypotheses was said, and whether it may be believed, must be asked back, or is no note at all."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from assistant.language.models import Context, Heard, Kind, Understood
from assistant.language.understand import understand
from knowledge import KnowledgeBase
from knowledge.models.spoken import Trust
from speech.messages import Phrase

from .likelihood import UNLIKELY_COST, cost_of, is_assumed, is_odd

_RANK_COST = 0.2
"""Of one place further down in the recogniser's own list."""
_SCORE_COST, _FAR_BEHIND = 10.0, 0.3
"""Of what it is behind the first in the recogniser's log score, up to where it is far behind."""
_MOST_THEMES = 2
_MOST_ITEMS = 3
"""A spoken note with more items than that is about too much."""
_MOST_VALUES = 2
"""Said in one breath: two sides of a capacitor, return and supply."""
_SCRAP = 0.1
"""Share of talk that is one short word of a note."""
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
    loud = phrase.snr_db < trust.snr_loud_db
    if not candidates or phrase.fit < trust.fit_reject:
        return Verdict(Belief.NOISE if loud else Belief.REJECT)
    best = candidates[0]
    if not best.understood.heard or best.understood.not_understood or _themes(best) > _MOST_THEMES:
        return Verdict(Belief.NOISE if loud else Belief.REJECT)
    if _is_forced(best, phrase, trust):
        return Verdict(Belief.NOISE if loud else Belief.REJECT)
    confidence = phrase.fit  # how sure it is that nothing else was said is weighed below
    plain = not _is_weighty(best) and not is_odd(best.understood, kb, context) and _themes(best) <= 1
    plain = plain and (asked_back or not _answers_nothing(best, context))
    if plain and _is_clear(phrase, candidates, kb, context):
        return Verdict(Belief.ACCEPT, best.text, confidence=confidence)
    return Verdict(Belief.ASK, best.text, _runner_up(candidates), confidence)


def _is_clear(phrase: Phrase, candidates: Sequence[_Candidate], kb: KnowledgeBase, context: Context) -> bool:
    """True where the recogniser's first choice fits, and is well ahead of all that means something else.

    In a quiet place it need not be far ahead, where no number of it is in doubt and nothing was left out.
    """
    trust, best = kb.spoken.trust, candidates[0]
    # a single word has little sound to be told by: "help" and "no" differ in one vowel
    enough = trust.fit_accept if " " in best.text else trust.fit_word
    fits = phrase.fit >= enough and phrase.sure >= trust.sure_accept and phrase.talk == 0
    if not fits or best.text != phrase.hypotheses[0].text:
        return False
    ahead = _ahead(phrase, candidates)
    if phrase.snr_db < trust.snr_ask_db:
        well_ahead = ahead >= trust.ahead_clear and (len(phrase.hypotheses) > 1 or phrase.sure >= trust.sure_alone)
        return well_ahead and phrase.compared and phrase.snr_db >= trust.snr_least_db
    doubtful = any(_rivals(best, one) for one in candidates[1:]) or is_assumed(best.understood, context)
    return ahead >= (trust.ahead_clear if doubtful else trust.ahead_quiet)


def _ahead(phrase: Phrase, candidates: Sequence[_Candidate]) -> float:
    """Return by how much the recogniser's score of the best is above that of anything with another meaning."""
    scores = {one.text: one.score for one in phrase.hypotheses}
    best = candidates[0]
    others = (scores[one.text] for one in candidates[1:] if one.meaning != best.meaning)
    return scores[best.text] - max(others, default=-math.inf)


def _is_forced(best: _Candidate, phrase: Phrase, trust: Trust) -> bool:
    """True for a long note that is sure of nothing: talk, forced into the words of notes.

    A value with its place is none: talk makes no whole reading, unless much of its sound is talk.
    """
    is_long = len(best.text.split()) >= trust.long_words
    if is_long and phrase.sure < trust.sure_long and phrase.talk >= trust.talk_long:
        return True
    told = best.understood.heard
    values = len(told) <= _MOST_VALUES and all(one.kind in {Kind.READING, Kind.PLATE} for one in told)
    if values and phrase.talk < _SCRAP:
        return False
    return is_long and phrase.sure < trust.sure_long and phrase.fit < trust.fit_long


def _runner_up(candidates: Sequence[_Candidate]) -> str:
    """Return what is read back after a no: the next one that makes sense and means something else."""
    sensible = (one for one in candidates[1:] if one.understood.heard and not one.understood.not_understood)
    return next(
        (one.text for one in sensible if one.meaning != candidates[0].meaning and _themes(one) <= _MOST_THEMES), ""
    )


def _ranked(phrase: Phrase, kb: KnowledgeBase, context: Context) -> list[_Candidate]:
    found: list[_Candidate] = []
    ranks: dict[object, float] = {}
    for one in phrase.hypotheses:
        understood = understand(one.text, kb, context)
        candidate = _Candidate(one.text, understood, 0.0)
        # the same said in other words does not make what is heard less likely
        behind = _RANK_COST * len(ranks) + _SCORE_COST * min(-one.score, _FAR_BEHIND)
        behind = ranks.setdefault((candidate.meaning, understood.not_understood), behind)
        found.append(replace(candidate, cost=behind + cost_of(understood, kb, context)))
    return sorted(found, key=lambda candidate: candidate.cost)


def _is_weighty(candidate: _Candidate) -> bool:
    """True where a wrong hearing would change the unit's state: always asked back (safety steps ask by themselves)."""
    return any(item.kind in {Kind.REPAIR, Kind.POWER} for item in candidate.understood.heard)


def _answers_nothing(candidate: _Candidate, context: Context) -> bool:
    """True for a lone "no" or "same" where nothing was asked: more likely another word misheard ("help")."""
    return context.asked is None and all(item.kind is Kind.ANSWER for item in candidate.understood.heard)


def _themes(candidate: _Candidate) -> int:
    """Return how many different things a note is about: ordinary talk, forced into our words, is about many."""
    items = candidate.understood.heard
    themes = {_THEMES.get(item.kind, item.kind) for item in items} - {Kind.CORRECTION}
    return max(len(themes), len(items) - _MOST_ITEMS)


def _rivals(best: _Candidate, other: _Candidate) -> bool:
    """True where both make sense, say another number of the same things, and neither is clearly worse.

    The unit may differ too: twenty k ohms was heard for twenty two ohms.
    """
    if other.understood.not_understood or not other.understood.heard or other.meaning == best.meaning:
        return False
    same_things = _things(best.understood.heard) == _things(other.understood.heard)
    return same_things and other.cost - best.cost <= UNLIKELY_COST


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

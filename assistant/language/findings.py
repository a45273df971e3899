"""Findings: a subject in a state, with negation turned into the opposite where there is exactly one."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import product

from .models import Doubt, Heard, Kind
from .pairing import Mention, Predicate
from .roles import Role
from .work import Work, in_order

_MOST_OPTIONS = 4


def finding_of(
    work: Work,
    predicate: Predicate,
    subjects: Sequence[str],
    mention: Mention | None,
    doubts: Iterable[Doubt],
    span: tuple[int, int],
) -> Heard | None:
    """Return the finding about the first subject that can be so; with options where no subject is known."""
    states = predicate.mark.ids(Role.STATE)
    if not states:
        return None
    doubted = set(doubts)
    if not subjects:
        return _without_subject(work, predicate, states, doubted, span)
    meant = _meant(work, states, subjects) if mention is not None else tuple(subjects)
    if len(meant) > 1:
        each = [found for one in meant if (found := _said_of(work, states, (one,), ())) is not None]
        if not each:
            return None
        made = [_finding(work, about, state, predicate, doubted, span) for about, state, _ in each]
        asked_back = {*doubted, Doubt.AMBIGUOUS}
        return replace(made[0], doubts=in_order(asked_back), options=tuple(made[:_MOST_OPTIONS]))
    subjects = meant
    named = _named_last(work, mention) if mention is not None else ()
    said_of = _said_of(work, states, subjects, named)
    if said_of is None:
        return None
    about, state, refined = said_of
    if refined:
        doubted.add(Doubt.ASSUMED)
    return _finding(work, about, state, predicate, doubted, span)


def _meant(work: Work, states: Sequence[str], subjects: Sequence[str]) -> tuple[str, ...]:
    """Return the subjects of one name that the state is said of: an iced coil is no coil of a contactor."""
    asked = work.context.asked
    if len(subjects) < 2:
        return tuple(subjects)
    if asked is not None and asked.about and asked.about in subjects and set(states) & set(asked.states):
        return (asked.about,)
    looked_at, listed = work.vocabulary.looked_at, work.kb.states
    subjects = [one for one in subjects if any(_may_be(work, state, one) for state in states)] or subjects
    looked = [one for one in subjects if any(s in looked_at.get(one, ()) for s in states)]
    said = [one for one in subjects if any(one in listed[s].subjects for s in states)]
    return tuple(said or looked or subjects[:1])


def says_word_of(work: Work, predicate: Predicate, mention: Mention | None) -> str:
    """Return what a word that fits several parts is here: "state", "zero" or "over limit".

    "Dead" is a state of a fan and zero volts at a terminal; "open" is a state of a breaker and no path in a winding.
    """
    mark, asked = predicate.mark, work.context.asked
    measured = "zero" if mark.has(Role.ZERO) else "over limit" if mark.has(Role.OVER_LIMIT) else ""
    states = mark.ids(Role.STATE)
    if not states or not measured:
        return measured or "state"
    subjects = mention.ids if mention is not None else (asked.about,) if asked and asked.about else ()
    if asked is not None and asked.about in subjects and asked.quantity is not None:
        suits = measured == "zero" or work.kb.quantities[asked.quantity].over_limit
        return measured if suits and not set(states) & set(asked.states) else "state"
    if any(state in work.vocabulary.looked_at.get(subject, ()) for subject in subjects for state in states):
        return "state"
    open_quantities = {quantity.id for quantity in work.kb.quantities.values() if quantity.over_limit}
    listed = {quantity for subject in subjects for quantity in work.kb.subjects[subject].quantities}
    fits = bool(listed & open_quantities) if measured == "over limit" else bool(listed - open_quantities)
    return measured if fits else "state"


def _said_of(
    work: Work, states: Sequence[str], subjects: Sequence[str], named: Sequence[str]
) -> tuple[str, str, bool] | None:
    """Return subject and state, and whether the subject was narrowed or widened to the part that is looked at.

    None where the state is not said of anything like it: no capacitor is pulled in.
    """
    looked_at = work.vocabulary.looked_at
    ordered = sorted(states, key=lambda state: not set(work.kb.states[state].subjects) & set(subjects))
    listed = any(subject in work.kb.states[state].subjects for subject in subjects for state in states)
    for subject, state in product((*subjects, *(() if listed else named)), ordered):
        if state in looked_at.get(subject, ()) and _may_be(work, state, subject):
            return subject, state, subject not in subjects
    for subject, wider, state in _wider(work, subjects, ordered):
        if state in looked_at.get(wider, ()) and _may_be(work, state, wider):
            return wider if _names(work, state, wider, subject) else subject, state, True
    for subject, state in product(subjects, states):
        part = _part_looked_at(work, subject, state)
        if part is not None:
            return part, state, True
    opposites = {state: work.kb.states[state].opposite for state in states}
    fitting = [
        s for s in ordered if any(_may_be(work, s, one) or _may_be_not(work, opposites[s], one) for one in subjects)
    ]
    return (subjects[0], fitting[0], False) if fitting else None


def _wider(work: Work, subjects: Sequence[str], states: Sequence[str]) -> Iterator[tuple[str, str, str]]:
    """Yield (subject, a wider one it is part of, state), the narrowest first."""
    for subject in subjects:
        for wider in work.vocabulary.chain(subject):
            yield from ((subject, wider, state) for state in states)


def _named_last(work: Work, mention: Mention) -> tuple[str, ...]:
    """Return the subjects that the last word of a name means alone: a herm lead is a lead."""
    last = frozenset(work.words(mention.marks[-1])[-1:]) if mention.marks else frozenset()
    if last == mention.content:
        return ()
    return tuple(subject for subject in work.vocabulary.composites.get(last, ()) if subject not in mention.ids)


def _names(work: Work, state: str, wider: str, subject: str) -> bool:
    """True where the state is said of the wider part only: the contactor, not its coil, is pulled in."""
    listed = work.kb.states[state].subjects
    return wider == subject or (wider in listed and subject not in listed)


def _may_be(work: Work, state: str, subject: str) -> bool:
    asked = work.context.asked
    if asked is not None and subject == asked.about and state in asked.states:
        return True  # a fuse that is looked at may be called tripped
    listed, only = work.kb.states[state].subjects, work.kb.subjects[subject].states
    if only and state not in only:
        return False
    return not listed or any(wider in listed for wider in work.vocabulary.chain(subject))


def _may_be_not(work: Work, opposite: str | None, subject: str) -> bool:
    """True where "not" makes it a state of the subject: fan spins, compressor doesn't."""
    return opposite is not None and _may_be(work, opposite, subject)


def _part_looked_at(work: Work, subject: str, state: str) -> str | None:
    """Return the part of a subject on which this state is looked for: pitted contactor, contactor contacts.

    An opinion of the whole is none of a part: a motor that is called bad need not have bad bearings.
    """
    vocabulary = work.vocabulary
    if state in work.kb.particles.opinions:
        return None
    related = list(vocabulary.children.get(subject, ()))
    named = [name for name in vocabulary.mentions.get(subject, ()) if name not in vocabulary.shared_names]
    related += [
        other
        for other in work.kb.states[state].subjects
        if other != subject and any(mine < theirs for mine in named for theirs in vocabulary.mentions.get(other, ()))
    ]
    return next((part for part in related if state in vocabulary.looked_at.get(part, ())), None)


def _without_subject(
    work: Work, predicate: Predicate, states: Sequence[str], doubts: set[Doubt], span: tuple[int, int]
) -> Heard | None:
    """Return the finding about the only subject this is said of, else one to be asked back."""
    if " ".join(work.words(predicate.mark)) in work.kb.particles.said_of_many:
        return None  # "ten percent low", "blower is on high": said of what is named, not of the air or the heat
    alone = [(one, state) for state in states if (one := work.kb.states[state].alone) is not None]
    candidates = alone[:1] or [(subject, state) for state in states for subject in _subjects_said_of(work, state)]
    if not 0 < len(candidates) <= _MOST_OPTIONS:
        return None  # said of nothing, or of so much that asking back helps nobody
    doubts = doubts | {Doubt.ASSUMED if len(candidates) == 1 else Doubt.AMBIGUOUS}
    made = [_finding(work, subject, state, predicate, doubts, span) for subject, state in candidates]
    return made[0] if len(made) == 1 else replace(made[0], options=tuple(made))


def _subjects_said_of(work: Work, state: str) -> tuple[str, ...]:
    """Return the subjects on which a check looks for this state, else those the state is said of.

    Of a part and its whole only the whole: who says "it hums" means the contactor, not its sound.
    """
    listed = work.kb.states[state].subjects
    quickest = sorted(work.kb.checks.values(), key=lambda check: check.minutes)
    looked = [check.about for check in quickest if any(state in answer.states for answer in check.answers)]
    both = tuple(dict.fromkeys(subject for subject in looked if not listed or subject in listed))
    chain = work.vocabulary.chain
    widest = tuple(one for one in both if not any(other in both for other in chain(one) if other != one))
    return widest or tuple(listed)


def _finding(
    work: Work, about: str, state: str, predicate: Predicate, doubts: Iterable[Doubt], span: tuple[int, int]
) -> Heard:
    opposite = work.kb.states[state].opposite
    turned = predicate.negated and opposite is not None and _may_be(work, opposite, about)
    start, end = span
    return Heard(
        Kind.FINDING,
        work.said(start, end),
        start,
        end,
        about=about,
        state=opposite if turned else state,
        negated=predicate.negated and not turned,
        doubts=in_order(doubts),
    )

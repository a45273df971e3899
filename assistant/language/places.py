"""Which measuring point or part a value is about, given the words, the pending question and what was named before."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from .models import Asked
from .pairing import Mention
from .plausibility import nearest_plate, plausible, usual
from .roles import Role
from .work import Work

_MOST_OPTIONS = 4


class Places(NamedTuple):
    """Subjects that a value may be about, most likely first; more than one must be asked back."""

    ids: tuple[str, ...]
    assumed: bool
    """True where the subject was not said as such."""


def places_of(
    work: Work,
    mention: Mention,
    quantity: str,
    value: float | None,
    alternatives: Sequence[str] = (),
    *,
    preferred: bool = False,
) -> Places:
    """Return the points with this quantity that the mention can mean; empty where there are none.

    ``alternatives`` are the parts it names together with something said before: "line side" after "disconnect";
    ``preferred`` where that was said for nothing else.
    """
    is_point = work.vocabulary.is_point
    asked = work.context.asked
    own = tuple(subject for subject in mention.ids if is_point(subject, quantity))
    if asked is not None and asked.kind == "step" and len(own) == 1 and asked.about == work.kb.subjects[own[0]].part_of:
        return Places(own, assumed=False)  # one section of the capacitor that was asked about
    if asked is not None and asked.quantity == quantity and asked.about and means_asked(work, mention, asked):
        return Places((asked.about,), asked.about not in mention.ids)
    other = tuple(subject for subject in alternatives if is_point(subject, quantity))
    if other and (preferred or not own):
        return Places(narrowed(work, other, quantity, value), assumed=True)
    if own:
        return Places(narrowed(work, (*own, *other), quantity, value), assumed=len(own) > 1)
    for wider in (_parts(work, mention.ids), named_with(work, mention)):
        fitting = tuple(subject for subject in wider if is_point(subject, quantity))
        if fitting:
            return Places(narrowed(work, fitting, quantity, value), assumed=True)
    return Places((), assumed=False)


def places_anywhere(work: Work, quantity: str, value: float | None) -> Places:
    """Return the points where such a value is usual, for a reading whose place was not said.

    A part that only some units have is not thought of before it is named or the unit is told to have it.
    """
    usual_here = (check for check in work.kb.checks.values() if work.kb.is_usual(check))
    quickest = sorted(usual_here, key=lambda check: check.minutes)
    points = tuple(dict.fromkeys(check.about for check in quickest if check.quantity == quantity))
    if not points:
        steps = (step for step in work.kb.steps.values() if step.reading == quantity and work.kb.is_usual(step))
        points = tuple(step.about for step in steps if step.about)
    found = narrowed(work, points, quantity, value) or points
    return Places(found[:_MOST_OPTIONS], assumed=True)


def narrowed(work: Work, candidates: tuple[str, ...], quantity: str, value: float | None) -> tuple[str, ...]:
    """Return the candidates where the value is plausible, then where the print or the usual window fits it."""
    if value is None or len(candidates) < 2:
        return candidates[:_MOST_OPTIONS]
    kb, plate, asked = work.kb, work.context.plate, work.context.asked
    possible = tuple(c for c in candidates if plausible(kb, c, quantity, asked).holds(value)) or candidates
    near = nearest_plate(kb, possible, quantity, value, plate)
    if len(near) < len(possible):
        return near[:_MOST_OPTIONS]
    windows = {c: usual(kb, c, quantity, plate) for c in possible}
    inside = tuple(c for c, window in windows.items() if window is not None and window.holds(value))
    return (inside or possible)[:_MOST_OPTIONS]


def means_asked(work: Work, mention: Mention, asked: Asked) -> bool:
    """True where the words are a short form of the subject that was asked about, or another name of its points."""
    if asked.about in mention.ids:
        return True
    checked = any((subject, asked.quantity) in work.kb.checks_about for subject in mention.ids)
    same = asked.kind in {"check", "step"} and not checked
    if same and any(asked.about in set(work.vocabulary.chain(subject)) for subject in mention.ids):
        return True
    if checked and any(_sisters(work, subject, asked.about or "") for subject in mention.ids):
        return False  # "c to r" is its own reading, also where windings to ground were asked
    elsewhere = (mark for mark in work.marks if mark not in mention.marks)
    if checked and any((asked.about or "") in mark.ids(Role.SUBJECT) for mark in elsewhere):
        return False  # "return 76, wet bulb 63" to the wet bulb of the return air
    phrases = work.vocabulary.mentions.get(asked.about or "", ())
    return any(mention.content <= phrase for phrase in phrases)


def _sisters(work: Work, first: str, second: str) -> bool:
    """True for two points of one part."""
    wholes = [set(work.vocabulary.chain(one)) - {one} for one in (first, second)]
    return not wholes[0].isdisjoint(wholes[1])


def _parts(work: Work, ids: Iterable[str]) -> tuple[str, ...]:
    found: list[str] = []
    for subject in ids:
        for part in work.vocabulary.children.get(subject, ()):
            found += [part, *_parts(work, [part])]
    return tuple(dict.fromkeys(found))


def named_with(work: Work, mention: Mention) -> tuple[str, ...]:
    """Return subjects whose name contains the mention: "fan" in "fan side of the cap"."""
    return tuple(
        subject
        for subject, phrases in work.vocabulary.mentions.items()
        if any(mention.content < phrase for phrase in phrases)
    )

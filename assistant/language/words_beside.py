"""What the words right beside a value make of it: a strange unit, a strange place, an amount, a difference."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from .models import Doubt, Heard
from .pairing import Predicate
from .phrases import Mark
from .roles import Role
from .work import Work, in_order

_TIME = "time"


def confirmed(work: Work, item: Heard | None, predicate: Predicate) -> Heard | None:
    """Ask back a number whose unit may be the word right behind it, 240 furlongs, or a difference: 15 pounds low."""
    number = predicate.mark.number
    if item is None or number is None or not item.usable:
        return item
    behind = [mark for mark in work.marks if mark.first >= predicate.mark.last]
    strange = not number.units and bool(behind) and set(behind[0].roles) == {Role.UNKNOWN}
    if not strange and not (number.units and behind and _says_by_how_much(work, behind)):
        return item
    return replace(item, doubts=in_order([*item.doubts, Doubt.AMBIGUOUS]), options=(item,))


def _says_by_how_much(work: Work, behind: Sequence[Mark]) -> bool:
    """True for the "low" of "head 15 pounds low", "over" of "40 psi over", with no part behind it."""
    word = behind[0]
    told = " ".join(work.words(word)) in work.kb.particles.deviation.behind
    ends = len(behind) == 1 or not (behind[1].content or behind[1].has(Role.SUBJECT))
    if not told or not ends or (word.small and not word.has(Role.ABOUT_NUMBER)):
        return False
    work.spend(word)
    return True


def has_strange_words(work: Work, predicate: Predicate) -> bool:
    """True where the clause holds a word that nobody knows."""
    place = predicate.mark.first
    clauses = (clause for sentence in work.sentences for clause in sentence.clauses)
    around = next(c.marks for c in clauses if any(mark.first <= place < mark.last for mark in c.marks))
    strange = (Role.UNKNOWN, Role.PLAIN, Role.QUANTITY)
    return any(mark.has(role) for mark in around for role in strange)


def strange_name(work: Work, predicate: Predicate) -> bool:
    """True where an unknown word stands right before the value: it names something else than the last subject."""
    before = [mark for mark in work.marks if mark.last <= predicate.mark.first]
    while before and before[-1].small and not before[-1].has(Role.BEFORE_SUBJECT):
        before.pop()
    return (bool(before) and set(before[-1].roles) == {Role.UNKNOWN}) or _at_strange_place(work, predicate)


def counts_something_else(work: Work, predicate: Predicate) -> bool:
    """True for an amount of something, and for "waited five minutes": minutes of what nobody knows are no reading."""
    number, asked = predicate.mark.number, work.context.asked
    timed = number is not None and any(unit.quantity.id == _TIME for unit in number.units)
    answers = asked is not None and asked.quantity == _TIME
    return _is_amount_of(work, predicate) or (timed and not answers and has_strange_words(work, predicate))


def _is_amount_of(work: Work, predicate: Predicate) -> bool:
    """True for "four inches of snow", "took out two pounds of R-410A": there is so much of it, nothing was read."""
    tied = work.tokens[predicate.mark.last : predicate.mark.last + 1]
    if not tied or tied[0].word not in work.kb.particles.amount_of:
        return False
    behind = next((mark for mark in work.marks if mark.first > predicate.mark.last and mark.content), None)
    counted = behind is not None and (behind.has(Role.PLATE_ITEM) or work.is_spent(behind))
    return counted or _at_strange_place(work, predicate)


def _at_strange_place(work: Work, predicate: Predicate) -> bool:
    """True for "27 at the hub": the place is named, by a word that nobody knows."""
    behind = [mark for mark in work.marks if mark.first >= predicate.mark.last]
    following = next((n for n, mark in enumerate(behind) if mark.content), None)
    if following is None or set(behind[following].roles) != {Role.UNKNOWN}:
        return False
    return any(mark.has(Role.BEFORE_SUBJECT) for mark in behind[:following])

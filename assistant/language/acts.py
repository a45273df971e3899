"""Words of doing with what is done to: pulled the disconnect, swapped it, cleaned the coil."""

from __future__ import annotations

from collections.abc import Iterator

from knowledge.models.vocabulary import Intent

from .clauses import Clause, Sentence
from .models import Heard, Kind
from .part_rating import rated_repair
from .phrases import Mark
from .roles import Role
from .work import Work

_STRANGE = frozenset({Role.UNKNOWN, Role.PLAIN, Role.NOT_DONE})


def _of_one(work: Work, found: list[Intent]) -> list[Intent]:
    """Return which of several repairs of one name was done: the proposed one, else that of what was found: a coil."""
    if len({intent.about for intent in found if intent.kind == "repair_done"}) < 2:
        return found
    context = work.context
    proposed = [intent for intent in found if intent.about == context.proposed]
    of_found = [intent for intent in found if set(intent.on) & set(context.found)]
    return proposed or of_found or found


def acts(
    work: Work, sentence: Sentence, index: int, place: int, act: Mark
) -> Iterator[tuple[Intent, tuple[Mark, ...]]]:
    """Yield what a word of doing means with what it is done to, here or in a next clause that only names things."""
    clause = sentence.clauses[index]
    if act.has(Role.STATE) and was_found(clause, act):
        return
    subjects = [(n, mark) for n, mark in enumerate(clause.marks) if mark.has(Role.SUBJECT) and not work.is_spent(mark)]
    if not subjects:
        found = (
            _asked_step(work, sentence, act)
            or _said_before(work, sentence, index, act)
            or _proposed(work, act)
            or _said_last(work, act)
        )
        yield from ((intent, (act,)) for intent in found)
        return
    subjects.sort(key=lambda pair: (abs(pair[0] - place), pair[0] < place))
    for n, subject in subjects:
        meant = _of_one(work, _intents(work, act, subject))
        found = meant if _beside(clause, place, n) else rated_repair(work, clause, place, n, meant)
        if found:
            for intent in found:
                yield intent, (act, subject)
            break
    else:
        return
    for following in sentence.clauses[index + 1 :]:
        if not following.content or not all(mark.has(Role.SUBJECT) for mark in following.content):
            break
        for mark in following.content:
            for intent in _intents(work, act, mark):
                yield intent, (act, mark)


def _asked_step(work: Work, sentence: Sentence, act: Mark) -> list[Intent]:
    """Return the safety step that was asked for where the act alone answers it: "pulled", "bled".

    Words that nobody knows beside it may change what it says: in "pushed it and it took off" nothing is switched off.
    So does another state: "spins fine" is said of a blade, not of the tester.
    """
    asked = work.context.asked
    others = [mark for mark in sentence.marks if mark is not act and mark.content and not work.is_spent(mark)]
    if asked is None or asked.kind != "step" or any(set(mark.roles) <= _STRANGE for mark in others):
        return []
    if any(mark.has(Role.STATE) and not mark.has(Role.ACT) for mark in others):
        return []
    intents = [work.kb.intents[intent] for intent in act.ids(Role.ACT)]
    return [intent for intent in intents if intent.kind == "safety" and intent.about == asked.id][:1]


def _said_before(work: Work, sentence: Sentence, index: int, act: Mark) -> list[Intent]:
    """Return what the act says of the subject of the clause before: disconnect pulled and | locked."""
    if any(mark.content and mark is not act and not mark.has(Role.STATE) for mark in sentence.clauses[index].marks):
        return []
    earlier = [mark for clause in sentence.clauses[:index] for mark in clause.marks if mark.has(Role.SUBJECT)]
    return _intents(work, act, earlier[-1]) if earlier else []


def _proposed(work: Work, act: Mark) -> list[Intent]:
    """Return the proposed repair where it is done by this act to "it": spliced it, replaced it."""
    if not _to_it(work, act):
        return []
    intents = [work.kb.intents[intent] for intent in act.ids(Role.ACT)]
    return [one for one in intents if one.kind == "repair_done" and one.about == work.context.proposed][:1]


def _said_last(work: Work, act: Mark) -> list[Intent]:
    """Return the work on what the last note found, where "it" stands behind the act: cleaned it, replaced it.

    A part that was measured by itself, with the power off, counts as found.
    """
    found = [item.about for item in work.context.last if item.about and _is_found(work, item)]
    if not found or not _to_it(work, act):
        return []
    intents = [work.kb.intents[intent] for intent in act.ids(Role.ACT)]
    wide = set(work.vocabulary.chain(found[-1]))
    return [intent for intent in intents if intent.kind == "repair_done" and wide & set(intent.on)][:1]


def _to_it(work: Work, act: Mark) -> bool:
    """True where "it" or "a new one" stands behind the act."""
    behind = " ".join(token.word for token in work.tokens[act.last : act.last + _NEW_ONE])
    return behind.split(" ")[0] in work.kb.particles.pronoun or behind.startswith(work.kb.particles.new_one)


_NEW_ONE = 3


def _is_found(work: Work, item: Heard) -> bool:
    powered = work.kb.quantities[item.quantity].powered if item.quantity else None
    return item.kind is Kind.FINDING or (item.kind is Kind.READING and powered is False)


def _beside(clause: Clause, act: int, subject: int) -> bool:
    """True where neither a value nor another subject stands between the two."""
    low, high = sorted((act, subject))
    between = clause.marks[low + 1 : high]
    values = (mark.number is not None or (mark.has(Role.ZERO) and not mark.has(Role.STATE)) for mark in between)
    return not any(values) and not any(mark.has(Role.SUBJECT) for mark in between)


def _intents(work: Work, act: Mark, subject: Mark) -> list[Intent]:
    asked = work.context.asked
    ids = subject.ids(Role.SUBJECT)
    looked_at = asked is not None and asked.kind == "check" and asked.about in ids
    by_another = any(mark.has(Role.NOT_DONE) for mark in work.marks if mark.last <= act.first)
    deed = act.last < subject.first and not by_another  # "pulled the disconnect", not "disconnect is pulled"
    if asked is not None and looked_at and not deed and set(act.ids(Role.STATE)) & set(asked.states):
        return []  # it answers how the thing was found
    wide = [wider for one in ids for wider in work.vocabulary.chain(one)]
    intents = [work.kb.intents[intent] for intent in act.ids(Role.ACT)]
    exact = [intent for intent in intents if set(ids) & set(intent.on)]
    return exact or [intent for intent in intents if set(wide) & set(intent.on)]


def was_found(clause: Clause, mark: Mark) -> bool:
    """True for "found the disconnect pulled": seen so, not done now."""
    for other in reversed([one for one in clause.marks if one.last <= mark.first]):
        if other.has(Role.FOUND):
            return True
        if other.has(Role.STATE) or other.has(Role.INTENT):
            return False  # "was off, flipped it back on": what was found is said
    return False

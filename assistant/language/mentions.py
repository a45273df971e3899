"""Subjects as named in a sentence: neighbouring names joined to the most specific part they name together."""

from __future__ import annotations

from collections.abc import Sequence

from .clauses import Sentence
from .pairing import Mention
from .phrases import Mark
from .roles import Role
from .work import Work


def mentions_of(sentence: Sentence, work: Work) -> list[Mention]:
    """Return the subjects named in a sentence that nothing else has used, in order."""
    found: list[Mention] = []
    for place, mark in enumerate(sentence.marks):
        named = mark.has(Role.SUBJECT) or mark.has(Role.PLATE_ITEM)
        if not named or work.is_spent(mark):
            continue
        if mark.has(Role.BEFORE_SUBJECT) and _ties(sentence.marks[place + 1 :]):
            continue  # "across" alone is leg to leg, before a part it is only a preposition
        words = work.vocabulary.content(work.words(mark))
        clause = sentence.clause_of(mark)
        ids, plate = mark.ids(Role.SUBJECT), mark.ids(Role.PLATE_ITEM)
        mention = Mention(place, (mark,), ids, words, clause, mark.loose, mark.tied, plate)
        joined = _joined(found[-1], mention, sentence, work) if found else None
        if joined is not None:
            found[-1] = joined
        else:
            found.append(mention)
    return found


def _ties(behind: Sequence[Mark]) -> bool:
    """True where a subject is the next thing named."""
    following = next((mark for mark in behind if mark.content), None)
    return following is not None and following.has(Role.SUBJECT)


def _joined(before: Mention, mention: Mention, sentence: Sentence, work: Work) -> Mention | None:
    """Join "line side" and "disconnect" to the disconnect's line side, where nothing but small words is between."""
    if before.clause != mention.clause or not before.ids or not mention.ids:
        return None
    between = sentence.marks[before.place + len(before.marks) : mention.place]
    if any(mark.content or mark.negates for mark in between):
        return None
    union = before.content | mention.content
    ids = work.vocabulary.composites.get(union) if len(union) > max(len(before.content), len(mention.content)) else None
    if not ids:
        return _narrower(before, mention, between, work)
    return Mention(
        before.place,
        tuple(sentence.marks[before.place : mention.place + 1]),
        ids,
        before.content | mention.content,
        mention.clause,
        before.loose or mention.loose,
    )


def _narrower(before: Mention, mention: Mention, between: Sequence[Mark], work: Work) -> Mention | None:
    """Join a part with the whole it belongs to: "coil on the contactor" is the coil."""
    chain = work.vocabulary.chain
    first, second = before.ids[0], mention.ids[0]
    marks = (*before.marks, *between, *mention.marks)
    for part, whole in ((before, second), (mention, first)):
        if whole != part.ids[0] and whole in set(chain(part.ids[0])):
            return Mention(before.place, marks, part.ids, before.content | mention.content, mention.clause)
    return None


def earlier_topic(work: Work, before: Mark) -> tuple[Mark, ...]:
    """Return the subject marks of the note before this one, nearest first."""
    return tuple(mark for mark in reversed(work.marks) if mark.last <= before.first and mark.has(Role.SUBJECT))

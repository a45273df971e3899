"""Subjects as named in a sentence: neighbouring names joined to the most specific part they name together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from knowledge.points import is_pair

from .clauses import Sentence
from .pairing import Mention
from .phrases import Mark
from .roles import Role
from .work import Work


def mentions_of(sentence: Sentence, work: Work) -> list[Mention]:
    """Return the subjects named in a sentence that nothing else has used, in order."""
    found: list[Mention] = []
    for place, mark in enumerate(sentence.marks):
        if work.is_spent(mark):
            continue
        if not (mark.has(Role.SUBJECT) or mark.has(Role.PLATE_ITEM)):
            other = _other_one(found, place, sentence, work)
            if other is not None:
                found.append(other)
            continue
        if mark.has(Role.BEFORE_SUBJECT) and (_ties(sentence.marks[place + 1 :]) or _in_clause(found, mark, sentence)):
            continue  # "across" alone is leg to leg, beside a part it is only a preposition
        if mark.has(Role.FILLER) and any(other.has(Role.SUBJECT) and not other.small for other in sentence.marks):
            continue  # "both" alone is fan and compressor, beside names it only sums them up
        if _only_where(mark, sentence, work):
            continue
        words = work.vocabulary.content(work.words(mark))
        clause = sentence.clause_of(mark)
        ids, plate = _both_of_asked(mark, work), mark.ids(Role.PLATE_ITEM)
        mention = Mention(place, (mark,), ids, words, clause, mark.loose, mark.tied, plate)
        mention = _completed_by_neighbour(mention, sentence, work)
        joined = _joined(found[-1], mention, sentence, work) if found else None
        if joined is not None:
            found[-1] = joined
        else:
            found.append(mention)
    return found


def _only_where(mark: Mark, sentence: Sentence, work: Work) -> bool:
    """True for the "inside" of "inside, stat is calling": a place beside a part, with no value to have."""
    if " ".join(work.words(mark)) not in work.kb.particles.scenery:
        return False
    around = sentence.clauses[sentence.clause_of(mark)].marks
    named = any(other is not mark and other.has(Role.SUBJECT) and not other.small for other in around)
    return named and not any(other.number is not None for other in around)


def _both_of_asked(mark: Mark, work: Work) -> tuple[str, ...]:
    """Return what a mark names; "both" alone is what was asked about and its sister, where it has one."""
    asked = work.context.asked
    if not mark.has(Role.FILLER) or asked is None or asked.about is None:
        return mark.ids(Role.SUBJECT)
    subjects = work.kb.subjects.values()
    two = tuple(one.id for one in subjects if asked.about in one.stands_for and len(one.stands_for) == 2)
    return two[:1] or mark.ids(Role.SUBJECT)


def _ties(behind: Sequence[Mark]) -> bool:
    """True where a subject is the next thing named."""
    following = next((mark for mark in behind if mark.content), None)
    return following is not None and following.has(Role.SUBJECT)


def _in_clause(found: Sequence[Mention], mark: Mark, sentence: Sentence) -> bool:
    return bool(found) and found[-1].clause == sentence.clause_of(mark)


def _completed_by_neighbour(mention: Mention, sentence: Sentence, work: Work) -> Mention:
    """Take in a word beside the name that belongs to it: "y to c" + "board"."""
    first, last = mention.place, mention.place + len(mention.marks)
    for beside in (range(first - 1, -1, -1), range(last, len(sentence.marks))):
        place = next((n for n in beside if not sentence.marks[n].small), None)
        if place is None:
            continue
        mark = sentence.marks[place]
        if set(mark.roles) != {Role.UNKNOWN} or sentence.clause_of(mark) != mention.clause:
            continue
        words = frozenset(work.words(mark))
        content = mention.content | words
        ids = work.vocabulary.composites.get(content, ())
        if not ids and any(words <= frozenset().union(*work.vocabulary.mentions[one]) for one in mention.ids):
            ids = mention.ids  # a word that the part's own names are made of
        if ids:
            start, end = min(first, place), max(last, place + 1)
            return replace(mention, place=start, marks=tuple(sentence.marks[start:end]), ids=ids, content=content)
    return mention


def _other_one(found: Sequence[Mention], place: int, sentence: Sentence, work: Work) -> Mention | None:
    """Read "right" after "left fuse", "bottom" after "disconnect fuses top" as the sister part with that word."""
    mark = sentence.marks[place]
    words = work.words(mark)
    if not found or len(words) != 1 or (mark.content and set(mark.roles) != {Role.UNKNOWN}):
        return None
    if words[0] in work.vocabulary.joining or not _before_value(sentence.marks[place + 1 :]):
        return None
    for subject in found[-1].ids:
        for wider in work.vocabulary.chain(subject):
            for name in work.vocabulary.mentions[wider]:
                ids = work.vocabulary.composites.get(name | {words[0]}, ())
                if words[0] not in name and ids and ids[0] in work.vocabulary.children.get(wider, ()):
                    return Mention(place, (mark,), ids, name | {words[0]}, sentence.clause_of(mark), mark.loose)
    return None


def _before_value(behind: Sequence[Mark]) -> bool:
    """True where a value or state comes right behind, but for small words."""
    following = next((mark for mark in behind if mark.content), None)
    if following is None:
        return False
    return any(following.has(role) for role in (Role.NUMBER, Role.ZERO, Role.OVER_LIMIT, Role.STATE))


def _joined(before: Mention, mention: Mention, sentence: Sentence, work: Work) -> Mention | None:
    """Join "line side" and "disconnect" to the disconnect's line side, where nothing but small words is between."""
    if before.clause != mention.clause or not before.ids or not mention.ids:
        return None
    between = sentence.marks[before.place + len(before.marks) : mention.place]
    if any(mark.content or mark.negates for mark in between):
        return None
    if any(mark.has(Role.STATE) and not mark.has(Role.BEFORE_SUBJECT) for mark in between):
        return None  # "contactor out coil 0"
    if is_pair(mention.ids[0]):  # "across the stat r to y": the part only says where the two points are
        return replace(mention, place=before.place, marks=(*before.marks, *between, *mention.marks))
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

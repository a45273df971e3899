"""Words that are kept as words: dictated notes, refrigerant and model from the plate."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from .models import Heard, Kind
from .phrases import Mark
from .roles import Role
from .tokens import TokenKind, fold
from .work import Work


def free_note(work: Work) -> bool:
    """Take a note that opens with "note:" as it is; True where it was one."""
    said = [mark for mark in work.marks if mark.content]
    if not said or not said[0].has(Role.FREE_NOTE) or len(said) < 2:
        return False
    if work.context.asked is None and not _is_opener(work, said[0]):
        return False
    _, start = work.extent([said[0]])
    text = work.text[start:].strip(" :,-.\n")
    whole_start, whole_end = work.tokens[said[0].first].start, len(work.text.rstrip())
    work.items.append(Heard(Kind.NOTE, work.said(whole_start, whole_end), whole_start, whole_end, text=text))
    work.spend(*work.marks)
    return True


def _is_opener(work: Work, mark: Mark) -> bool:
    """True where the phrase stands first in the note."""
    return all(not other.content for other in work.marks if other.last <= mark.first)


def plate_texts(work: Work) -> None:
    """Add plate items that are words: the refrigerant by its code, model and place by what follows."""
    asked = work.context.asked
    if asked is not None and asked.kind == "plate" and asked.id in work.kb.plate_items:
        item = work.kb.plate_items[asked.id]
        if item.text and work.content and not work.items and not any(m.has(Role.INTENT) for m in work.content):
            coded = any(item.id in mark.ids(Role.PLATE_ITEM) for mark in work.content)
            if not coded:
                start, end = work.extent(work.content)
                work.items.append(_text_item(work, item.id, list(work.content), work.said(start, end)))
                work.spend(*work.marks)
                return
    _address(work)
    for sentence in work.sentences:
        for clause in sentence.clauses:
            for place, mark in enumerate(clause.marks):
                _plate_text(work, mark, clause.marks[place + 1 :])


_MOST_NAME_WORDS = 4


def _address(work: Work) -> None:
    """Keep a house number with its street, and the flat behind it, as the place of the unit."""
    particles, tokens = work.kb.particles, work.tokens
    for first, token in enumerate(tokens):
        if token.kind is not TokenKind.NUMBER or not token.raw.isdigit() or first in work.spent:
            continue
        words = tokens[first + 1 : first + 2 + _MOST_NAME_WORDS]
        street = next((n for n, word in enumerate(words) if fold(word.raw) in particles.street), None)
        if not street or any(word.kind is not TokenKind.WORD for word in words[:street]):
            continue
        if any(_known_name(work, n) for n in range(first + 1, first + 1 + street)):
            continue
        last = first + 2 + street
        while last + 1 < len(tokens) and fold(tokens[last].raw) in particles.flat:
            last += 2
        item = next(item for item in work.kb.plate_items.values() if item.id == _PLACE)
        start, end = token.start, tokens[last - 1].end
        said = work.said(start, end)
        work.items.append(replace(Heard(Kind.PLATE, said, start, end, about=item.id), text=said))
        work.spent.update(range(first, last))


_PLACE = "place"
"""The plate item that holds where the unit stands."""


def _known_name(work: Work, place: int) -> bool:
    """True for a word of the trade spelt as such: "24 contactor court" is no street."""
    mark = next(mark for mark in work.marks if mark.first <= place < mark.last)
    return (mark.has(Role.SUBJECT) or mark.has(Role.STATE) or mark.has(Role.UNIT)) and not mark.loose


def _plate_text(work: Work, mark: Mark, behind: Sequence[Mark]) -> None:
    for item_id in mark.ids(Role.PLATE_ITEM):
        if not work.kb.plate_items[item_id].text or work.is_spent(mark):
            continue
        if any(char.isdigit() for word in work.words(mark) for char in word):
            start, end = work.extent([mark])
            work.items.append(_text_item(work, item_id, [mark], work.said(start, end)))
            work.spend(mark)
            return
        follow: list[Mark] = []
        for other in behind:
            if work.is_spent(other) or (other.has(Role.PLATE_ITEM) and item_id not in other.ids(Role.PLATE_ITEM)):
                break
            follow.append(other)
        plain = work.kb.plate_items[item_id].plain_name
        if plain:
            follow = _name(work, mark, follow)
        coded = any(char.isdigit() for other in follow for word in work.words(other) for char in word)
        if coded or (plain and follow):
            while follow and follow[0].small:
                follow.pop(0)
            start, end = work.extent(follow)
            work.items.append(_text_item(work, item_id, [mark, *follow], work.said(start, end)))
            work.spend(mark, *follow)


def _name(work: Work, item: Mark, behind: Sequence[Mark]) -> list[Mark]:
    """Return what of the marks is a name: all where a number is in it, else the words that mean nothing else.

    A person is named by a title, a household or the word for it: "customer happy" names nobody.
    """
    if any(mark.number is not None for mark in behind):
        return list(behind)
    people = set(work.kb.particles.people)
    said = {word for mark in (item, *behind) for word in work.words(mark)}
    if _PLACE not in item.ids(Role.PLATE_ITEM) and not said & people:
        return []
    name: list[Mark] = []
    for mark in behind:
        if set(mark.roles) == {Role.UNKNOWN}:
            name.append(mark)
        elif name or not mark.small:
            break
    return name


def _text_item(work: Work, item_id: str, marks: list[Mark], text: str) -> Heard:
    start, end = work.extent(marks)
    return replace(Heard(Kind.PLATE, work.said(start, end), start, end, about=item_id), text=text)

"""What no item stands for: runs of words to be shown as not understood."""

from __future__ import annotations

from .phrases import Mark
from .roles import Role
from .tokens import TokenKind
from .work import Work

_COLOURS = frozenset(
    {
        Role.HEDGE,
        Role.PLATE,
        Role.MEASURED,
        Role.CLAUSE,
        Role.ABOUT_NUMBER,
        Role.FOUND,
        Role.QUESTION,
        Role.NOT_DONE,
        Role.LONG_AGO,
    }
)


_NAMES = frozenset({Role.SUBJECT, Role.BEFORE_SUBJECT})


def not_understood(work: Work) -> tuple[str, ...]:
    """Return the runs of words that meant nothing here, fillers between them included, in order."""
    covered = [(item.start, item.end) for item in work.items]
    runs: list[list[Mark]] = [[]]
    about = {wider for item in work.items if item.about for wider in work.vocabulary.chain(item.about)}
    for mark in work.marks:
        if not work.is_spent(mark) and _must_be_told(mark, about) and not _inside(work, mark, covered):
            runs[-1].append(mark)
        elif work.is_spent(mark) or _breaks(work, mark):
            runs.append([])
    left = tuple(_text(work, run) for run in runs if run and not (work.items and _is_scenery(work, run)))
    if not left and not work.items and any(token.kind is not TokenKind.BREAK for token in work.tokens):
        return (work.text.strip(),)  # nothing but small words: said, and not silently dropped
    return left


def _is_scenery(work: Work, run: list[Mark]) -> bool:
    """True for "inside" in "blower is on inside": beside what was understood it says nothing that is lost."""
    return all(set(work.words(mark)) <= work.vocabulary.scenery for mark in run)


def _must_be_told(mark: Mark, about: set[str]) -> bool:
    """True for what carries meaning; not for a part that was only named to say where its own parts were read."""
    if set(mark.roles) <= _NAMES and about & set(mark.ids(Role.SUBJECT)):
        return False
    if mark.has(Role.BEFORE_SUBJECT) and mark.has(Role.SUBJECT):
        return False
    own = set(mark.roles) - _COLOURS
    return mark.content and bool(own) and (own != {Role.INTENT} or own == set(mark.roles))


def _inside(work: Work, mark: Mark, covered: list[tuple[int, int]]) -> bool:
    """True for names and small words within an item's own words; values and strange words never hide there."""
    if mark.number is not None or mark.has(Role.UNKNOWN):
        return False
    start, end = work.extent([mark])
    return any(low <= start and end <= high for low, high in covered)


def _breaks(work: Work, mark: Mark) -> bool:
    return work.tokens[mark.first].word in {".", ",", ";", "!", "?", "\n"}


def _text(work: Work, run: list[Mark]) -> str:
    start, end = work.extent(run)
    return work.said(start, end)

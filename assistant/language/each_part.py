"""Yes and no said of each part by name: fan yes compressor no; fan does, compressor doesn't."""

from __future__ import annotations

from collections.abc import Sequence

from .models import Heard, Kind
from .phrases import Mark
from .roles import Role
from .work import Work

_RUNS = "running"
"""The state that a yes means for a part that runs or does not; its opposite in the knowledge is the no."""


def each_part(work: Work) -> bool:
    """Take a note that only names parts with a yes or no behind each; True where it was one."""
    told: list[tuple[list[Mark], bool]] = []
    waiting: list[Mark] = []
    for mark in work.marks:
        if mark.has(Role.SUBJECT):
            waiting.append(mark)
        elif (answer := _says(work, mark)) is not None and waiting:
            told.append(([*waiting, mark], answer))
            waiting = []
        elif mark.content or mark.negates or mark.has(Role.STATE):
            return False  # "fan is still" says how it is, "still" here is no small word
    runs = work.kb.states[_RUNS]
    if waiting or not told or (len(told) == 1 and work.context.asked is None) or runs.opposite is None:
        return False
    if not all(_runs(work, mark) for marks, _ in told for mark in marks[:-1]):
        return False
    for marks, answer in told:
        work.items.extend(_found(work, marks, runs.id if answer else runs.opposite))
    work.spend(*work.marks)
    return True


def _says(work: Work, mark: Mark) -> bool | None:
    """Return what a word answers: yes, does; no, doesn't; None where it is no answer."""
    meant = {work.kb.intents[one].about or one for one in mark.ids(Role.INTENT)}
    if "no" in meant or mark.negates:
        return False
    return True if "yes" in meant or set(work.words(mark)[-1:]) & set(work.kb.particles.takes_up) else None


def _runs(work: Work, mark: Mark) -> bool:
    """True for a part that a check listens to or looks at for running."""
    looked = work.vocabulary.looked_at
    return any(_RUNS in looked.get(subject, ()) for subject in mark.ids(Role.SUBJECT))


def _found(work: Work, marks: Sequence[Mark], state: str) -> list[Heard]:
    start, end = work.extent(marks)
    subjects = [next(s for s in mark.ids(Role.SUBJECT) if _runs(work, mark)) for mark in marks[:-1]]
    return [Heard(Kind.FINDING, work.said(start, end), start, end, about=one, state=state) for one in subjects]

"""What was named before carries on: "at the disconnect 240 line side, nothing load side"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from .pairing import Mention
from .work import Work

_REACH = 4
"""How many subjects back a name can be completed from."""


@dataclass(slots=True)
class Topic:
    """Subjects of the note so far and the last quantity read."""

    named: list[tuple[Mention, bool]] = field(default_factory=list)
    """Mention, and whether something was said of it."""
    carried: str | None = None

    @property
    def last(self) -> Mention | None:
        return self.named[-1][0] if self.named else None


@dataclass(frozen=True, slots=True)
class Completed:
    """Parts that a mention names together with something said elsewhere in the note."""

    ids: tuple[str, ...] = ()
    preferred: bool = False
    """True where the other was named for nothing else: at the disconnect."""
    carried: str | None = None


def completed(work: Work, mention: Mention, topic: Topic, later: Sequence[Mention]) -> Completed:
    """Return what the mention may mean beyond its own words."""
    mine = {wider for subject in mention.ids for wider in work.vocabulary.chain(subject)}
    for other, used in reversed(topic.named[-_REACH:]):
        family = {wider for subject in other.ids for wider in work.vocabulary.chain(subject)}
        if mine & family:
            return Completed()
        ids = _together(work, mention, other)
        if ids:
            return Completed(ids, preferred=not used)
    for other in later[:_REACH]:
        ids = _together(work, mention, other)
        siblings = {work.kb.subjects[subject].part_of for subject in other.ids}
        if ids and work.kb.subjects[ids[0]].part_of in siblings - {None}:
            quantities = work.kb.subjects[ids[0]].quantities
            return Completed(ids, carried=quantities[0] if quantities else None)
    return Completed()


def _together(work: Work, mention: Mention, other: Mention) -> tuple[str, ...]:
    """Return subjects named by the mention's words with a name of what the other is or is part of."""
    vocabulary = work.vocabulary
    for subject in other.ids:
        for wider in vocabulary.chain(subject):
            for words in vocabulary.mentions[wider]:
                found = vocabulary.composites.get(words | mention.content, ())
                fresh = tuple(new for new in found if new not in mention.ids and new not in other.ids)
                if fresh:
                    return fresh
    return ()

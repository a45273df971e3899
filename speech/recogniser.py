"""The one small protocol that every recogniser behind the child process keeps, and hearing while somebody speaks."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from .levels import Cut, PhraseCutter, Samples
from .messages import Hypothesis, Lesson


@dataclass(frozen=True, slots=True)
class Recognised:
    """What a recogniser made of one phrase."""

    hypotheses: tuple[Hypothesis, ...]
    fit: float
    """0 (these sounds are not these words) to 1."""
    sure: float
    """0 (it could be other words as well) to 1, for the least certain word."""
    dictated: str | None = None
    talk: float = 0.0
    """Share of the sound that is more like ordinary talk, 0 to 1."""
    compared: bool = True
    """False where the recogniser gives one hypothesis only, so that a lone one says nothing of others."""


class Recogniser(Protocol):
    """Turns the sound of one phrase into hypotheses. Used from one thread.

    However a phrase is cut into pieces, and whatever was heard before it, the same sound is heard as the same words.
    """

    name: str

    def teach(self, lesson: Lesson) -> list[str]:
        """Learn which notes to expect; return the words that it cannot hear."""
        ...

    def begin(self) -> None:
        """Begin a phrase; one that was not finished is dropped."""
        ...

    def take(self, samples: Samples) -> None:
        """Take the next piece of the phrase."""
        ...

    def finish(self) -> Recognised:
        """Return what the phrase may be, most likely first; no hypotheses where it is nothing."""
        ...


def hear(recogniser: Recogniser, samples: Samples) -> Recognised:
    """Return what a whole phrase may be."""
    recogniser.begin()
    recogniser.take(samples)
    return recogniser.finish()


class HearingAhead:
    """Hears a phrase while it is spoken, and finishes at a pause, while it is not yet sure that it ended there.

    Where it goes on after the pause, it is heard anew from its beginning.
    """

    def __init__(self, recogniser: Recogniser) -> None:
        self._recogniser = recogniser
        self._taken = 0
        """Samples of the phrase that the recogniser has; 0 = the phrase has not begun there."""
        self._found: Recognised | None = None

    def follow(self, cutter: PhraseCutter) -> None:
        """Hear what the cutter took last; call it after each frame that ended no phrase."""
        if not cutter.in_phrase:
            self._taken, self._found = 0, None
        elif self._found is None or not cutter.is_quiet:
            self._found = None
            self._take(cutter.so_far)
            if cutter.at_pause:
                self._found, self._taken = self._recogniser.finish(), 0

    def words(self, cut: Cut) -> Recognised:
        """Return what the phrase may be that ended."""
        if self._found is None:
            self._take(cut.samples)
            self._found = self._recogniser.finish()
        found, self._found, self._taken = self._found, None, 0
        return found

    def _take(self, so_far: Samples) -> None:
        if not self._taken:
            self._recogniser.begin()
        self._recogniser.take(so_far[self._taken :])
        self._taken = so_far.size

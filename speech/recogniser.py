"""The one small protocol that every recogniser behind the child process keeps."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from .levels import Samples
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


class Recogniser(Protocol):
    """Turns the sound of one phrase into hypotheses. Used from one thread."""

    name: str

    def teach(self, lesson: Lesson) -> list[str]:
        """Learn which notes to expect; return the words that it cannot hear."""
        ...

    def hear(self, samples: Samples) -> Recognised:
        """Return what a phrase may be, most likely first; no hypotheses where it is nothing."""
        ...

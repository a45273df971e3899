"""A note being taken apart: its tokens and marks, what has been understood, and which words are spent."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property

from knowledge.base import KnowledgeBase

from .clauses import Sentence
from .models import Context, Doubt, Heard
from .phrases import Mark
from .tokens import Token, TokenKind
from .vocabulary import Vocabulary


@dataclass
class Work:
    """Everything the parts of the parser share while they take one note apart."""

    text: str
    tokens: tuple[Token, ...]
    marks: tuple[Mark, ...]
    sentences: tuple[Sentence, ...]
    vocabulary: Vocabulary
    context: Context
    items: list[Heard] = field(default_factory=list)
    complained: list[tuple[Mark, bool]] = field(default_factory=list)
    """Complaint phrases as said, and whether their clause was hedged."""
    spent: set[int] = field(default_factory=set)
    """Indices of tokens that an item stands for."""

    @property
    def kb(self) -> KnowledgeBase:
        return self.vocabulary.kb

    @cached_property
    def content(self) -> tuple[Mark, ...]:
        """The marks of the whole note that are more than small words."""
        return tuple(mark for mark in self.marks if mark.content)

    def is_spent(self, mark: Mark) -> bool:
        """True where an item already stands for this mark."""
        return mark.first in self.spent

    def spend(self, *marks: Mark) -> None:
        """Take marks out of what is left to be understood."""
        for mark in marks:
            self.spent.update(range(mark.first, mark.last))

    def extent(self, marks: Iterable[Mark]) -> tuple[int, int]:
        """Return the character span from the first to the last of some marks."""
        listed = list(marks)
        first = min(mark.first for mark in listed)
        last = max(mark.last for mark in listed)
        return self.tokens[first].start, max(token.end for token in self.tokens[first:last])

    def words(self, mark: Mark) -> tuple[str, ...]:
        """Return the words of a mark as they were read."""
        run = self.tokens[mark.first : mark.last]
        return tuple(token.word for token in run if token.kind is not TokenKind.SYMBOL)

    def said(self, start: int, end: int) -> str:
        return self.text[start:end]


def in_order(doubts: Iterable[Doubt]) -> tuple[Doubt, ...]:
    """Return doubts once each, in the order of their definition, so that results are deterministic."""
    present = set(doubts)
    return tuple(doubt for doubt in Doubt if doubt in present)

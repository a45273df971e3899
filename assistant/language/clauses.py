"""Sentences and clauses of a note: what stands together, and which small words colour it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from .phrases import Mark
from .roles import Role
from .tokens import Token, TokenKind

_HARD = frozenset(".;!?\n")


@dataclass(slots=True)
class Clause:
    """Marks between two breaks or joining words."""

    marks: list[Mark] = field(default_factory=list)
    joined: bool = False
    """Joined to the clause before by a word such as "and", without punctuation."""
    hedged: bool = False
    question: bool = False

    @property
    def content(self) -> list[Mark]:
        """The marks that are more than small words."""
        return [mark for mark in self.marks if mark.content]


@dataclass(slots=True)
class Sentence:
    clauses: list[Clause] = field(default_factory=list)

    @property
    def marks(self) -> list[Mark]:
        return [mark for clause in self.clauses for mark in clause.marks]

    def clause_of(self, mark: Mark) -> int:
        """Return the index of the clause a mark stands in."""
        return next(index for index, clause in enumerate(self.clauses) if mark in clause.marks)


def sentences_of(marks: Sequence[Mark], tokens: Sequence[Token]) -> tuple[Sentence, ...]:
    """Return the note's sentences with their clauses."""
    sentences = [Sentence([Clause()])]
    for mark in marks:
        sign = _sign(mark, tokens)
        clause = sentences[-1].clauses[-1]
        if sign in _HARD:
            if sign == "?":
                for asked in sentences[-1].clauses:
                    asked.question = True
            sentences.append(Sentence([Clause()]))
        elif sign:
            sentences[-1].clauses.append(Clause())
        elif mark.has(Role.CLAUSE) and not mark.has(Role.NUMBER):
            # a joining word after a comma opens the clause that the comma has opened already
            if clause.content:
                sentences[-1].clauses.append(Clause([mark], joined=True))
            else:
                clause.marks.append(mark)
        else:
            clause.marks.append(mark)
    for sentence in sentences:
        for clause in sentence.clauses:
            _colour(clause)
    return tuple(sentence for sentence in sentences if any(clause.marks for clause in sentence.clauses))


def _sign(mark: Mark, tokens: Sequence[Token]) -> str:
    token = tokens[mark.first]
    return token.word if token.kind is TokenKind.BREAK else ""


def _colour(clause: Clause) -> None:
    clause.hedged = any(mark.has(Role.HEDGE) for mark in clause.marks)
    opening = [mark for mark in clause.marks if mark.content or mark.has(Role.QUESTION)]
    if len(opening) > 1 and opening[0].has(Role.QUESTION) and not opening[0].content:
        following = next((mark for mark in opening[1:] if mark.content), opening[1])
        clause.question = clause.question or following.has(Role.SUBJECT) or following.has(Role.INTENT)

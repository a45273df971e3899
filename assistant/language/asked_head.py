"""The short name of what a look is asked of: "door" for the blower door, "fuse" for that on the board."""

from __future__ import annotations

from collections.abc import Sequence

from .models import Context
from .phrases import Mark
from .roles import Role
from .tokens import Token, words_of
from .vocabulary import Vocabulary


def asked_by_head(words: Sequence[str], vocabulary: Vocabulary, context: Context) -> str | None:
    """Return the part that a look is asked of, where its most usual name ends in these words."""
    asked = context.asked
    subject = vocabulary.kb.subjects.get(asked.about or "") if asked is not None else None
    if asked is None or asked.kind != "check" or asked.quantity is not None or subject is None or not subject.phrases:
        return None
    return subject.id if tuple(words) == words_of(subject.phrases[0])[-1:] else None


def with_asked_head(
    marks: Sequence[Mark], tokens: Sequence[Token], vocabulary: Vocabulary, context: Context
) -> tuple[Mark, ...]:
    """Return the marks with such a word, where it names nothing else, read as that part."""

    def named(mark: Mark) -> Mark:
        words = [token.word for token in tokens[mark.first : mark.last]]
        subject = asked_by_head(words, vocabulary, context) if set(mark.roles) == {Role.UNKNOWN} else None
        return Mark(mark.first, mark.last, {Role.SUBJECT: (subject,)}, mark.loose) if subject is not None else mark

    return tuple(map(named, marks))

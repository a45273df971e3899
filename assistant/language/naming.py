"""What parts and quantities a note names, where nothing is reported of them: "volts across the contactor line side"."""

from __future__ import annotations

from dataclasses import dataclass

from knowledge.base import KnowledgeBase

from .clauses import sentences_of
from .mentions import mentions_of
from .models import Context
from .normalise import clean
from .phrases import mark
from .predicates import unit_meanings
from .roles import Role
from .spelling import read_spelling
from .tokens import tokenise
from .vocabulary import vocabulary_of
from .work import Work


@dataclass(frozen=True, slots=True)
class Named:
    """What a note names."""

    subjects: tuple[str, ...]
    """Ids, in the order of the note; a name that several parts share gives all of them."""
    quantities: tuple[str, ...]
    words: tuple[str, ...]
    """All words, folded as they are compared."""
    has_number: bool
    """True where a value is said too."""


def names_in(text: str, kb: KnowledgeBase) -> Named:
    """Return the parts, quantities and words of a note; never raises on any text."""
    cleaned, _ = clean(text)
    vocabulary = vocabulary_of(kb)
    tokens = read_spelling(tokenise(cleaned), vocabulary)
    marks = mark(tokens, vocabulary, without=frozenset({Role.COMPLAINT}))
    work = Work(cleaned, tokens, marks, sentences_of(marks, tokens), vocabulary, Context())
    subjects: dict[str, None] = {}
    for sentence in work.sentences:
        for mention in mentions_of(sentence, work):
            for subject in mention.ids:
                subjects.update(dict.fromkeys(kb.subjects[subject].one_of or (subject,)))
    named = [one for one in marks if one.has(Role.QUANTITY) or one.has(Role.UNIT)]
    quantities = dict.fromkeys(meaning.quantity.id for one in named for meaning in unit_meanings(one, work))
    words = tuple(word for one in marks for word in work.words(one))
    return Named(tuple(subjects), tuple(quantities), words, any(one.number is not None for one in marks))

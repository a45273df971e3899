"""What the knowledge can be called: every phrase with its meaning, small words and number words included."""

from __future__ import annotations

from collections.abc import Iterator

from knowledge.base import KnowledgeBase
from knowledge.points import lead_id

from .roles import Meaning, Role


def phrases(kb: KnowledgeBase) -> Iterator[tuple[str, Meaning]]:
    """Yield every phrase of the knowledge with what it means."""
    for subject in kb.subjects.values():
        meant = subject.one_of or (subject.id,)
        yield from ((phrase, Meaning(Role.SUBJECT, one)) for phrase in subject.phrases for one in meant)
    for lead in kb.points.leads:
        yield from ((phrase, Meaning(Role.SUBJECT, lead_id(lead.id))) for phrase in lead.phrases)
    for state in kb.states.values():
        yield from ((phrase, Meaning(Role.STATE, state.id)) for phrase in state.phrases)
    for complaint in kb.complaints.values():
        yield from ((phrase, Meaning(Role.COMPLAINT, complaint.id)) for phrase in complaint.phrases)
    for intent in kb.intents.values():
        yield from ((phrase, Meaning(Role.INTENT, intent.id)) for phrase in intent.phrases)
        yield from ((act, Meaning(Role.ACT, intent.id)) for act in intent.acts)
    for item in kb.plate_items.values():
        yield from ((phrase, Meaning(Role.PLATE_ITEM, item.id)) for phrase in item.phrases)
    yield from _refrigerants(kb)
    for quantity in kb.quantities.values():
        for unit in quantity.units:
            yield from ((written, Meaning(Role.UNIT, quantity.id)) for written in unit.written)
    yield from _built(kb)
    measured = {quantity for subject in kb.subjects.values() for quantity in subject.quantities}
    for quantity_id in sorted(measured):
        yield kb.quantities[quantity_id].name, Meaning(Role.QUANTITY, quantity_id)
        yield quantity_id.replace("_", " "), Meaning(Role.QUANTITY, quantity_id)
        yield from ((verb, Meaning(Role.QUANTITY, quantity_id)) for verb in kb.quantities[quantity_id].verbs)
    yield from _particles(kb)


REFRIGERANT = "refrigerant"
"""The plate item that holds the refrigerant."""


def _refrigerants(kb: KnowledgeBase) -> Iterator[tuple[str, Meaning]]:
    """Every code by which a refrigerant is printed; bare figures are left to be numbers."""
    listed = kb.plate_items[REFRIGERANT].phrases if REFRIGERANT in kb.plate_items else ()
    codes = (code for one in kb.refrigerants.values() for code in one.phrases if not code.isdigit())
    yield from ((code, Meaning(Role.PLATE_ITEM, REFRIGERANT)) for code in codes if code not in listed)


def _built(kb: KnowledgeBase) -> Iterator[tuple[str, Meaning]]:
    for kind in kb.units.values():
        yield from ((phrase, Meaning(Role.BUILT, f"kind.{kind.id}")) for phrase in kind.phrases)
        for made, both in kind.phrases_with.items():
            yield from ((phrase, Meaning(Role.BUILT, f"kind.{kind.id}.{made}")) for phrase in both)
        another = kb.configuration is not None and kb.configuration.kind != kind.id
        for option in () if another else kind.options:
            for choice in option.choices:
                yield from ((phrase, Meaning(Role.BUILT, f"{option.id}.{choice.id}")) for phrase in choice.phrases)


GUARDED = frozenset({Role.NEGATION, Role.NOT_DONE, Role.HEDGE, Role.FOUND})
"""Words that change what a phrase says: never skipped as small words inside one."""

_PARTICLES = {
    "negation": Role.NEGATION,
    "hedge": Role.HEDGE,
    "plate": Role.PLATE,
    "measured": Role.MEASURED,
    "correction": Role.CORRECTION,
    "clause": Role.CLAUSE,
    "filler": Role.FILLER,
    "about_number": Role.ABOUT_NUMBER,
    "zero": Role.ZERO,
    "over_limit": Role.OVER_LIMIT,
    "free_note": Role.FREE_NOTE,
    "before_subject": Role.BEFORE_SUBJECT,
    "range_open": Role.RANGE_OPEN,
    "range_join": Role.RANGE_JOIN,
    "pair_join": Role.PAIR_JOIN,
    "likewise": Role.LIKEWISE,
    "both_sides": Role.BOTH_SIDES,
    "not_done": Role.NOT_DONE,
    "long_ago": Role.LONG_AGO,
    "question": Role.QUESTION,
    "found": Role.FOUND,
    "first": Role.CHOICE,
    "second": Role.CHOICE,
    "last": Role.CHOICE,
    "plain": Role.PLAIN,
}


def _particles(kb: KnowledgeBase) -> Iterator[tuple[str, Meaning]]:
    for name, role in _PARTICLES.items():
        for phrase in getattr(kb.particles, name):
            yield phrase, Meaning(role, name)


def without_articles(words: tuple[str, ...], articles: frozenset[str]) -> tuple[str, ...]:
    """Leave out articles inside a phrase; notes may have them or not."""
    return tuple(word for place, word in enumerate(words) if place in {0, len(words) - 1} or word not in articles)


def number_words(kb: KnowledgeBase) -> Iterator[str]:
    """Yield every word that can be part of a number."""
    numbers = kb.number_words
    lists = (numbers.units, numbers.tens, numbers.scales, numbers.point, numbers.oh, numbers.halves, numbers.minus)
    for words in lists:
        yield from words


def same_number(kb: KnowledgeBase) -> dict[str, tuple[str, ...]]:
    """Return other ways to write a small number, for phrases with one inside: fuse 1, fuse one, l1 2 ground."""
    numbers = kb.number_words
    table: dict[str, tuple[str, ...]] = {}
    for word, value in numbers.units.items():
        alike = (word, *(other for other, same in numbers.units.items() if same == value and other != word))
        table[word] = (*alike, str(value))
        table[str(value)] = (str(value), *alike)
    return table


def sounds_like(kb: KnowledgeBase) -> dict[str, tuple[str, ...]]:
    """Return small words that a small number may stand for inside the name of a part: l1 2 ground."""
    numbers = kb.number_words
    return {
        way: sounds for name, sounds in numbers.sounds.items() for way in (name, str(numbers.units.get(name, name)))
    }

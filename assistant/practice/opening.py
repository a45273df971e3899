"""What is known when an exercise begins: the call and the plate."""

from __future__ import annotations

import secrets

from assistant.dialogue.numbers import amount
from assistant.dialogue.quantities import System
from assistant.dialogue.sentences import sentence
from assistant.language.models import Heard, Kind
from knowledge import KnowledgeBase
from knowledge.variants import KIND, Configuration

from .exercise import Exercise

SEEDS = 10_000


def drawn_seed() -> int:
    """Return a seed for an exercise that nobody chose."""
    return secrets.randbelow(SEEDS)


def opening_items(kb: KnowledgeBase, given: Exercise) -> tuple[Heard, ...]:
    """Return the kind of unit, the call and the plate as a note would report them, with a word that it is practice."""
    note = sentence(kb, "practice_job_note", seed=given.seed).screen
    said = kb.complaints[given.complaint].name
    items = [
        Heard(Kind.NOTE, note, 0, len(note), text=note),
        *(Heard(Kind.BUILT, told, 0, len(told), about=told) for told in _built(given.built)),
        Heard(Kind.COMPLAINT, said, 0, len(said), about=given.complaint),
    ]
    for name, value in given.plate.items():
        quantity = kb.plate_items[name].quantity
        unit = kb.quantities[quantity].unit if quantity else None
        words = kb.plate_items[name].name
        items.append(Heard(Kind.PLATE, words, 0, len(words), about=name, quantity=quantity, value=value, unit=unit))
    for name, text in given.unit.words.items():
        items.append(Heard(Kind.PLATE, text, 0, len(text), about=name, text=text))
    return tuple(items)


def plate_words(kb: KnowledgeBase, given: Exercise, units: System) -> str:
    """Return the plate in one line."""
    lines = [
        f"{kb.plate_items[name].name} {amount(kb, kb.plate_items[name].quantity or '', value, system=units)}"
        for name, value in given.plate.items()
    ]
    lines += [f"{kb.plate_items[name].name} {text.upper()}" for name, text in given.unit.words.items()]
    return ", ".join(lines)


def unit_words(kb: KnowledgeBase, config: Configuration) -> str:
    """Return the kind of unit in words, with what was chosen of how it is built."""
    unit, told = kb.units[config.kind], dict(config.known)
    choices = [choice.name for option in unit.options for choice in option.choices if told.get(option.id) == choice.id]
    return ", ".join([unit.name, *choices])


def _built(config: Configuration) -> tuple[str, ...]:
    return (f"{KIND}.{config.kind}", *(f"{option}.{choice}" for option, choice in config.known))

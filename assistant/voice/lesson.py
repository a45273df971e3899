"""What the child is taught, made from the knowledge once per version and kept in the cache."""

from __future__ import annotations

import hashlib
from pathlib import Path

from knowledge import KnowledgeBase
from speech.messages import Lesson

from .sayable import Sayable
from .worker import write_lesson

_FORM = 11
"""Raise it when notes are made up in another way: old lessons in caches are then left alone."""
_CALLED = 4
"""With an attention word one note in so many is taught with the word before it, too."""


def lesson_of(kb: KnowledgeBase, attention: str = "") -> Lesson:
    """Return example notes, sounds and the openers of free notes; ``attention``: the word that opens every note."""
    sayable = Sayable(kb)
    openers = [token for phrase in kb.particles.free_note if (token := sayable.spoken(phrase))]
    sentences = [*sayable.sentences(), *sayable.every_phrase(), *sayable.every_number(), *sayable.usual_findings()]
    sentences += sayable.small_words()
    sentences += sayable.loose_words()
    sentences += sayable.free_notes(openers)
    if word := attention_token(attention):
        sentences += [word, *(f"{word} {sentence}" for sentence in sentences[::_CALLED])]
    sounds = {one.word: one.sounds for one in kb.spoken.pronunciations}
    return Lesson(tuple(sentences), sounds, tuple(openers))


def attention_token(attention: str) -> str:
    """Return an attention word, or several, as one token."""
    return "_".join(attention.lower().split())


def lesson_file(kb: KnowledgeBase, cache: Path, attention: str = "") -> Path:
    """Return the file of the lesson, written where it is not there yet."""
    called = f"-{hashlib.sha256(attention_token(attention).encode()).hexdigest()[:8]}" if attention else ""
    path = cache / f"lesson-{kb.version}-{_FORM}{called}.json"
    if not path.exists():
        write_lesson(lesson_of(kb, attention), path)
    return path

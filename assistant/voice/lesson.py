"""What the child is taught, made from the knowledge once per version and kept in the cache."""

from __future__ import annotations

from pathlib import Path

from knowledge import KnowledgeBase
from speech.messages import Lesson

from .sayable import Sayable
from .worker import write_lesson

_FORM = 4
"""Raise it when notes are made up in another way: old lessons in caches are then left alone."""


def lesson_of(kb: KnowledgeBase) -> Lesson:
    """Return example notes, sounds and the openers of free notes."""
    sayable = Sayable(kb)
    openers = [token for phrase in kb.particles.free_note if (token := sayable.spoken(phrase))]
    sentences = [*sayable.sentences(), *sayable.every_phrase(), *sayable.free_notes(openers)]
    sounds = {one.word: one.sounds for one in kb.spoken.pronunciations}
    return Lesson(tuple(sentences), sounds, tuple(openers))


def lesson_file(kb: KnowledgeBase, cache: Path) -> Path:
    """Return the file of the lesson, written where it is not there yet."""
    path = cache / f"lesson-{kb.version}-{_FORM}.json"
    if not path.exists():
        write_lesson(lesson_of(kb), path)
    return path

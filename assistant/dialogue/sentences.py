"""Fills the places of the sentences that stand in ``knowledge/data/replies``."""

from __future__ import annotations

from dataclasses import dataclass

from knowledge import KnowledgeBase


@dataclass(frozen=True, slots=True)
class Said:
    """One sentence in its two forms."""

    screen: str
    spoken: str
    signal: str | None = None
    """Signal word (danger, warning, caution, notice) it must be shown with; None = plain."""


def sentence(kb: KnowledgeBase, sentence_id: str, *, signal: str | None = None, **places: object) -> Said:
    """Return the sentence ``sentence_id`` with its places filled.

    Raises KeyError for an unknown sentence or a place left empty: both are programming errors that tests catch.
    """
    template = kb.sentences[sentence_id]
    filled = {name: str(value) for name, value in places.items()}
    screen = template.screen.format_map(filled)
    spoken = template.spoken.format_map(filled) if template.spoken else screen
    return Said(screen, spoken, signal)

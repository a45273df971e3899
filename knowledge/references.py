"""Cross-references between knowledge files: every id used must be defined somewhere."""

from __future__ import annotations

from .base import KnowledgeBase
from .errors import YamlFileError


def unresolved(kb: KnowledgeBase) -> list[YamlFileError]:
    """Return one problem per id that is used but not defined, with file and line."""
    return []

"""How well a limit is known, in words for the technician."""

from __future__ import annotations

from collections.abc import Iterable

from knowledge.base import KnowledgeBase
from knowledge.models.source import Known

_PLAIN = {Known.PRACTICE, Known.ESTIMATE, Known.DERIVED}
"""These titles say by themselves how it is known."""

_MARKER = {Known.OPENED: "opened", Known.QUOTED: "as quoted elsewhere", Known.MEMORY: "from memory"}


def pedigree(kb: KnowledgeBase, source_ids: Iterable[str]) -> str:
    """Return the sources as words: ``NEMA MG 1, 12.44.1 and 12.44.2 (opened); Common practice ...``."""
    return "; ".join(dict.fromkeys(_known(kb, source_id) for source_id in source_ids))


def _known(kb: KnowledgeBase, source_id: str) -> str:
    source = kb.sources.get(source_id)
    if source is None:
        return f"{source_id} (not in the bibliography)"
    if source.known in _PLAIN:
        return source.title
    return f"{source.title.partition(':')[0]} ({_MARKER[source.known]})"

"""Entries and sources as readable text."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from difflib import get_close_matches
from typing import Any

from pydantic import BaseModel

from .base import KnowledgeBase
from .errors import KnowledgeError
from .models.source import Known
from .references import SECTIONS, entries, place_of
from .use import Use
from .uses import uses

MARKERS = {
    Known.OPENED: "read",
    Known.QUOTED: "read where another text quotes it",
    Known.PRACTICE: "common practice, no source",
    Known.MEMORY: "FROM MEMORY, to be confirmed",
    Known.DERIVED: "derived here",
    Known.ESTIMATE: "estimate",
}


class UnknownEntryError(KnowledgeError):
    """No entry has that id."""


def describe(kb: KnowledgeBase, wanted: str) -> str:
    """Return every entry with that id (or just ``kind:id``) as text, with its place and references both ways.

    Raises UnknownEntryError, which names ids that are spelled alike.
    """
    kind_wanted, colon, bare = wanted.rpartition(":")
    found = [kind for kind in SECTIONS if bare in entries(kb, kind) and (not colon or kind == kind_wanted)]
    if not found:
        known = sorted({entry_id for kind in SECTIONS for entry_id in entries(kb, kind)})
        near = get_close_matches(bare, known, n=5)
        hint = f"; spelled alike: {', '.join(near)}" if near else ""
        raise UnknownEntryError(f"no entry is called {wanted!r}{hint}")
    all_uses = list(uses(kb))
    return "\n\n".join("\n".join(_entry(kb, kind, bare, all_uses)) for kind in found)


def _entry(kb: KnowledgeBase, kind: str, entry_id: str, all_uses: list[Use]) -> Iterator[str]:
    path, line = place_of(kb, kind, entry_id)
    yield f"{kind}:{entry_id}  ({path}:{line})"
    entry = entries(kb, kind)[entry_id]
    if isinstance(entry, BaseModel):
        for field, value in entry.model_dump(mode="json", exclude_defaults=True, exclude={"id"}).items():
            yield f"  {field}: {_plain(value)}"
    yield "  refers to:"
    named = [use for use in all_uses if (use.kind, use.id) == (kind, entry_id)]
    yield from _listed({f"{use.target}:{use.value}" for use in named})
    yield "  used by:"
    target = kind.replace("_", " ")
    yield from _listed({_by(use) for use in all_uses if (use.target, use.value) == (target, entry_id)})


def _by(use: Use) -> str:
    fields = ".".join(part for part in use.loc if isinstance(part, str))
    return f"{use.kind}:{use.id} ({fields})" if use.id else f"{use.kind} ({fields})"


def _listed(names: set[str]) -> Iterator[str]:
    yield from (f"    {name}" for name in sorted(names) or ["nothing"])


def _plain(value: object) -> str:
    match value:
        case list():
            return "; ".join(_plain(item) for item in value)
        case dict():
            return "{" + ", ".join(f"{key}: {_plain(item)}" for key, item in value.items()) + "}"
        case _:
            return str(value)


def bibliography(kb: KnowledgeBase, word: str = "") -> str:
    """Return all sources by title, each with how it is known and the entries that rest on it.

    ``word`` keeps only those in which it occurs, whatever the case.
    """
    resting: dict[str, set[str]] = defaultdict(set)
    for use in uses(kb):
        if use.target == "source":
            resting[use.value].add(f"{use.kind}:{use.id}" if use.id else use.kind)
    blocks = []
    for source in sorted(kb.sources.values(), key=lambda source: source.title.casefold()):
        known = MARKERS[source.known] + (f"; {source.note}" if source.note else "")
        carries = ", ".join(sorted(resting[source.id])) or "no entry"
        blocks.append(f"{source.title}  [{source.id}]\n  {known}\n  carries: {carries}")
    return "\n".join(block for block in blocks if word.casefold() in block.casefold())


def numbers(kb: KnowledgeBase, word: str = "") -> str:
    """Return every limit and calculation with its formula, validity and sources, each source with how it is known.

    ``word`` keeps only those in which it occurs, whatever the case.
    """
    blocks = ("\n".join(_number(kb, kind, entry)) for kind in NUMBERED for entry in _of_kind(kb, kind))
    gauges = ("\n".join(_of_gauges(kb, name)) for name in kb.signatures.rests_on)
    return "\n".join(block for block in (*blocks, *gauges) if word.casefold() in block.casefold())


def _of_gauges(kb: KnowledgeBase, name: str) -> Iterator[str]:
    """A number behind the judging of gauges, and why it is as it is."""
    basis = kb.signatures.rests_on[name]
    source = kb.sources[basis.source]
    yield f"{name}  [signatures]"
    yield f"  {basis.because}"
    yield f"  rests on: {source.title} ({MARKERS[source.known]})"


NUMBERED = ("limit", "calculation")
"""Kinds of entry that give a technician a number, with ``shown``, ``validity`` and ``sources``."""


def _of_kind(kb: KnowledgeBase, kind: str) -> Iterator[Any]:
    yield from entries(kb, kind).values() if kind in SECTIONS else ()


def _number(kb: KnowledgeBase, kind: str, entry: Any) -> Iterator[str]:
    yield f"{entry.name}  [{kind}:{entry.id}]"
    yield f"  {entry.shown}"
    yield f"  valid: {entry.validity}"
    for source_id in entry.sources:
        source = kb.sources[source_id]
        yield f"  rests on: {source.title} ({MARKERS[source.known]})"

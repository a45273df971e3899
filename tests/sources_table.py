"""Which checks rest on which source: ``python -m tests.sources_table`` prints the table.

Every YAML file below ``tests`` is walked; an entry counts when it has a ``source`` (an id of the bibliography, or
several) and a ``name`` (or ``id``). ``known`` beside it says how that one value was known, which may be less than
its source.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, NamedTuple

from knowledge.base import KnowledgeBase, load
from knowledge.reader import parse_file

TESTS = Path(__file__).parent


class Resting(NamedTuple):
    """One sourced check."""

    source: str
    known: str
    name: str
    file: Path


def resting_checks(root: Path = TESTS) -> Iterator[Resting]:
    """Yield every sourced entry of every data file below ``root``."""
    for path in sorted(root.rglob("*.yaml")):
        yield from _entries(parse_file(path), path)


def table(kb: KnowledgeBase, checks: Iterator[Resting]) -> str:
    """Return the table as text: sources in the order of the bibliography, with their checks below."""
    by_source: dict[str, list[Resting]] = {}
    for check in checks:
        by_source.setdefault(check.source, []).append(check)
    lines: list[str] = []
    for source_id in (*kb.sources, *sorted(set(by_source) - set(kb.sources))):
        found = by_source.get(source_id, [])
        if not found:
            continue
        source = kb.sources.get(source_id)
        title = f"{source.title} [{source.known.value}]" if source else "NOT IN THE BIBLIOGRAPHY"
        lines.append(f"{source_id}: {title}: {len(found)} checks")
        lines += [f"    [{c.known or '-'}] {c.name}  ({c.file.relative_to(TESTS)})" for c in found]
    return "\n".join(lines)


def _entries(node: Any, path: Path) -> Iterator[Resting]:
    if isinstance(node, Mapping):
        name, sources = node.get("name") or node.get("id"), node.get("source")
        if name and sources:
            for source in sources if isinstance(sources, list) else [sources]:
                yield Resting(str(source), str(node.get("known", "")), str(name), path)
        node = list(node.values())
    if isinstance(node, list):
        for child in node:
            yield from _entries(child, path)


if __name__ == "__main__":
    print(table(load(), resting_checks()))

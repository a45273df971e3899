"""Rules about pedigree: numbers rest on sources, sources carry something, files are read."""

from __future__ import annotations

from collections.abc import Iterator

from knowledge.base import KnowledgeBase
from knowledge.models.source import Known
from knowledge.practice import practice_files
from knowledge.uses import uses

from .files import EXCEPTIONS, STYLE
from .rule import Finding, Rule, Severity


class SourceUsed(Rule):
    """Every source of the bibliography carries at least one entry."""

    name = "source-used"
    severity = Severity.MEDIUM

    def check(self, kb: KnowledgeBase) -> Iterator[Finding]:
        """Yield sources that nothing rests on."""
        used = {use.value for use in uses(kb) if use.target == "source"}
        for source in kb.sources.values():
            if source.id not in used:
                yield self.at(kb, "source", source.id, "carries nothing; cite it or take it out")


class NumberSourced(Rule):
    """A limit or unit kind with numbers names at least one source for them."""

    name = "number-sourced"
    severity = Severity.HIGH

    def check(self, kb: KnowledgeBase) -> Iterator[Finding]:
        """Yield numbers that rest on nothing."""
        for limit in kb.limits.values():
            if not limit.sources:
                yield self.at(kb, "limit", limit.id, "has numbers, but no source", "sources")
        for unit in kb.units.values():
            if not unit.sources:
                yield self.at(kb, "unit", unit.id, "has numbers, but no source", "sources")


class SourceNoted(Rule):
    """A work said to be opened names a clause or year in its title, or the copy that was read in its note."""

    name = "source-noted"
    severity = Severity.LOW

    def check(self, kb: KnowledgeBase) -> Iterator[Finding]:
        """Yield works said to be opened under a title that cannot be found again."""
        for source in kb.sources.values():
            found_again = source.note or any(letter.isdigit() for letter in source.title)
            if source.known is Known.OPENED and not found_again:
                message = "opened, but neither clause, year nor copy is named"
                yield self.at(kb, "source", source.id, message, "title")


class FileRead(Rule):
    """Every YAML file of the knowledge is read by something."""

    name = "file-read"
    severity = Severity.HIGH

    def check(self, kb: KnowledgeBase) -> Iterator[Finding]:
        """Yield files that no part of the knowledge comes from."""
        read = {*kb.files.values(), kb.root / STYLE, kb.root / EXCEPTIONS, *practice_files(kb.root)}
        for path in sorted(kb.root.glob("**/*.yaml")):
            if path not in read:
                entry = path.relative_to(kb.root).as_posix()
                yield Finding(path, 1, self.name, "nothing in it is ever read", entry, self.severity)


RULES: tuple[Rule, ...] = (SourceUsed(), NumberSourced(), SourceNoted(), FileRead())

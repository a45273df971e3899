"""Run all rules over a knowledge base, leave out what is accepted, and tell the rest."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from knowledge.base import KnowledgeBase
from knowledge.models.source import Known
from knowledge.reader import line_of

from . import check_rules, fault_rules, names, ranges, safety_rules, source_rules, wording
from .files import EXCEPTIONS, Accepted, read_exceptions
from .rule import Finding, Rule, Severity

RULES: tuple[Rule, ...] = (
    *check_rules.RULES,
    *fault_rules.RULES,
    *safety_rules.RULES,
    *source_rules.RULES,
    *wording.RULES,
    *names.RULES,
    *ranges.RULES,
)
FAILING = frozenset({Severity.HIGH, Severity.MEDIUM})
UNUSED = "exception-unused"


def lint(kb: KnowledgeBase) -> list[Finding]:
    """Return all findings that no exception accepts, sorted by file and line.

    An exception that accepts nothing is a finding itself. Raises YamlFileError or KnowledgeErrors where the
    linter's own files are missing or wrong.
    """
    accepted = read_exceptions(kb.root)
    found = {finding for rule in RULES for finding in rule.check(kb)}
    kept = {finding for finding in found if not any(_accepts(item, finding) for item in accepted)}
    return sorted(kept | set(_unused(kb, accepted, found)))


def summary(kb: KnowledgeBase, findings: list[Finding]) -> str:
    """Return one line: how much was looked at, what was found, which sources are known from memory only."""
    counts = Counter(finding.severity for finding in findings)
    said = ", ".join(f"{counts[severity]} {severity}" for severity in reversed(Severity))
    from_memory = ", ".join(source.id for source in kb.sources.values() if source.known is Known.MEMORY)
    looked = f"{len(kb.files)} entries, {len(RULES)} rules"
    return f"{looked}: {said}; from memory, to be confirmed: {from_memory or 'nothing'}"


def _accepts(item: Accepted, finding: Finding) -> bool:
    return (item.entry, item.rule) == (finding.entry, finding.rule)


def _unused(kb: KnowledgeBase, accepted: tuple[Accepted, ...], found: set[Finding]) -> Iterator[Finding]:
    path = kb.root / EXCEPTIONS
    for nth, item in enumerate(accepted):
        if not any(_accepts(item, finding) for finding in found):
            line = line_of(path.read_text(encoding="utf-8-sig"), ("exceptions", nth))
            message = f"{item.entry} no longer breaks {item.rule}; take the exception out"
            yield Finding(path, line, UNUSED, message, item.entry, Severity.MEDIUM)

"""What a rule is and what it finds."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import ClassVar

from knowledge.base import KnowledgeBase
from knowledge.reader import Loc
from knowledge.references import place_of


class Severity(StrEnum):
    """How bad a finding is. High and medium fail the check."""

    LOW = "low"
    """Reads badly; nothing goes wrong in use."""
    MEDIUM = "medium"
    """The assistant gets worse: something is never reached, is confused, or tells less than it should."""
    HIGH = "high"
    """The assistant may say something wrong or unsafe, or rest on nothing."""


@dataclass(frozen=True, slots=True, order=True)
class Finding:
    """One thing found; ``str()`` is ``file:line: [severity] rule: message``."""

    path: Path
    line: int
    rule: str
    message: str
    entry: str
    """``kind:id`` of the entry, as exceptions name it; the file's name where it is about a whole file."""
    severity: Severity

    def __str__(self) -> str:
        return f"{self.path}:{self.line}: [{self.severity}] {self.rule}: {self.message}"


class Rule(ABC):
    """One question asked of the whole knowledge. The docstring of a rule says what it demands."""

    name: ClassVar[str]
    severity: ClassVar[Severity]

    @abstractmethod
    def check(self, kb: KnowledgeBase) -> Iterator[Finding]:
        """Yield everything that breaks the rule."""

    def at(self, kb: KnowledgeBase, kind: str, entry_id: str, message: str, *loc: str | int) -> Finding:
        """Return a finding about a field of an entry."""
        place: Loc = loc
        path, line = place_of(kb, kind, entry_id, place)
        entry = f"{kind}:{entry_id}" if entry_id else kind
        return Finding(path, line, self.name, f"{entry_id or kind}: {message}", entry, self.severity)

"""Errors of the knowledge package.

KnowledgeError
  +-- YamlFileError     one problem in one file; the text starts with ``path:line:``
  +-- KnowledgeErrors   all problems of one reading together
"""

from __future__ import annotations

from pathlib import Path


class KnowledgeError(Exception):
    """Root of everything that can be wrong with the knowledge files."""


class YamlFileError(KnowledgeError):
    """A knowledge file could not be read or does not fit its model; ``str()`` starts with ``path:line:``."""

    def __init__(self, message: str, path: Path, line: int | None = None) -> None:
        self.path = path
        self.line = line
        self.message = message
        super().__init__(f"{path}:{line}: {message}" if line else f"{path}: {message}")


class KnowledgeErrors(KnowledgeError):  # noqa: N818  # it holds many, that is its point
    """Several problems found in one pass; ``problems`` holds them all."""

    def __init__(self, problems: list[YamlFileError]) -> None:
        self.problems = problems
        super().__init__("\n".join(str(problem) for problem in problems))

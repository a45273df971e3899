"""A copy of the knowledge with one thing changed, to see that the change is noticed."""

from __future__ import annotations

import shutil
from copy import deepcopy
from pathlib import Path
from typing import Any

import yaml

from knowledge import KnowledgeBase, KnowledgeErrors, load, read_knowledge
from knowledge.base import DATA
from knowledge.errors import YamlFileError
from knowledge.lint import Finding, lint
from knowledge.reader import parse_file
from knowledge.references import SECTIONS


class Doctored:
    """The shipped knowledge copied to ``root``; entries are changed as data, so wording may change freely."""

    def __init__(self, root: Path) -> None:
        self.root = root
        shutil.copytree(DATA, root)

    def change(self, kind: str, entry_id: str, **fields: Any) -> None:
        """Give an entry other fields; None takes a field out."""
        path, data, entry = self._open(kind, entry_id)
        for field, value in fields.items():
            if value is None:
                entry.pop(field, None)
            else:
                entry[field] = value
        self._write(path, data)

    def add(self, kind: str, like: str, **fields: Any) -> None:
        """Put a copy of an entry with other fields behind the entries of its file."""
        path, data, entry = self._open(kind, like)
        data[SECTIONS[kind]].append({**deepcopy(entry), **fields})
        self._write(path, data)

    def change_file(self, name: str, section: str, value: Any) -> None:
        """Give one section of a file another value."""
        data = parse_file(self.root / name)
        data[section] = value
        self._write(self.root / name, data)

    def at(self, kind: str, entry_id: str) -> tuple[Path, dict[str, Any], Any]:
        """Return file, its content and the entry inside, to be changed in place and given to ``put``."""
        return self._open(kind, entry_id)

    def put(self, path: Path, data: dict[str, Any]) -> None:
        self._write(path, data)

    def read(self) -> KnowledgeBase:
        return read_knowledge(self.root)

    def problems(self) -> list[YamlFileError]:
        """Return what reading it complains of; empty where it is taken."""
        try:
            self.read()
        except KnowledgeErrors as err:
            return err.problems
        return []

    def findings(self, rule: str) -> list[Finding]:
        return [finding for finding in lint(self.read()) if finding.rule == rule]

    def _open(self, kind: str, entry_id: str) -> tuple[Path, dict[str, Any], Any]:
        shipped = load().files[f"{kind}:{entry_id}" if entry_id else kind]
        path = self.root / shipped.relative_to(DATA)
        data = parse_file(path)
        section = data[SECTIONS.get(kind, kind)]
        if isinstance(section, dict):
            return path, data, section
        return path, data, next(entry for entry in section if entry["id"] == entry_id)

    @staticmethod
    def _write(path: Path, data: dict[str, Any]) -> None:
        path.write_text(yaml.safe_dump(data, allow_unicode=True, sort_keys=False, width=10_000), encoding="utf-8")


def line_text(path: Path, line: int) -> str:
    return path.read_text(encoding="utf-8").splitlines()[line - 1]

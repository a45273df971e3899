"""The parts on the truck: one CSV or YAML file, read when a part is asked for and counted down when it is fitted.

    part,marking,microfarads,volts,count
    capacitor,,45/5,440,2
    contactor,"two poles 40 A, 24 V coil",,,1

In YAML a list of the same: ``- {part: capacitor, microfarads: 45/5, volts: 440, count: 2}``. ``part`` is the subject
of a repair (``capacitor``, ``contactor``, ``fan`` ...). Only capacitors are chosen by value; what else fits is read off
the marking by the technician.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

import yaml

from assistant.paths import atomic_write
from assistant.physics.errors import PhysicsError
from assistant.reasoning.limits import Can
from knowledge import KnowledgeBase

COLUMNS = ("part", "marking", "microfarads", "volts", "count")
YAML_ENDINGS = frozenset({".yaml", ".yml"})
CAPACITOR = "capacitor"


class StockError(Exception):
    """The file cannot be used. The text is for the user: where, what and what to do."""


@dataclass(frozen=True, slots=True)
class Shelf:
    """One line of the file."""

    part: str
    marking: str
    count: int
    can: Can | None = None
    """Where it is a capacitor."""

    @property
    def shown(self) -> str:
        return " ".join(filter(None, (self.can.marking if self.can else "", self.marking))) or self.part


class Stock(Protocol):
    """Where the parts on the truck are listed."""

    def shelves(self) -> tuple[Shelf, ...]:
        """Return all of them. Raises StockError."""


@dataclass(frozen=True, slots=True)
class _Row:
    values: Mapping[str, str]
    where: str
    count_at: tuple[int, int] = (0, 0)
    """Where its count stands in the text of a YAML file."""


class TruckStock:
    """The file, read anew each time, so that it may be edited during a visit."""

    def __init__(self, path: Path, kb: KnowledgeBase) -> None:
        self.path = path
        self._kb = kb

    def shelves(self) -> tuple[Shelf, ...]:
        """Return all lines. Raises StockError."""
        return tuple(self._shelf(row) for row in self._rows(self._text()))

    def change(self, counts: Mapping[tuple[str, str], int]) -> None:
        """Add to the counts of parts, given as (part, what it is shown as); nothing falls below none.

        What the file no longer lists is passed over. Raises StockError, SaveError.
        """
        text = self._text()
        rows = self._rows(text)
        shelves = [self._shelf(row) for row in rows]
        left = [max(0, one.count + counts.get((one.part, one.shown), 0)) for one in shelves]
        atomic_write(self.path, self._recounted(text, rows, left))

    def _text(self) -> str:
        try:
            return self.path.read_text(encoding="utf-8-sig")
        except FileNotFoundError as error:
            raise StockError(
                f"There is no stock file {self.path}. Write one with the columns {', '.join(COLUMNS)}, "
                "or take stock out of the settings."
            ) from error
        except (OSError, UnicodeDecodeError) as error:
            raise StockError(f"The stock file {self.path} cannot be read as UTF-8 text ({error}).") from error

    def _rows(self, text: str) -> list[_Row]:
        reading = _yaml_rows if self.path.suffix.lower() in YAML_ENDINGS else _csv_rows
        return list(reading(text, self.path))

    def _shelf(self, row: _Row) -> Shelf:
        part = row.values["part"]
        parts = sorted({repair.part for repair in self._kb.repairs.values() if repair.part})
        if part not in parts:
            raise StockError(f"{row.where}: part: {part!r} is fitted by no repair; there are {', '.join(parts)}.")
        return Shelf(part, row.values["marking"], _count(row), _can(row))

    def _recounted(self, text: str, rows: Sequence[_Row], left: Sequence[int]) -> str:
        if self.path.suffix.lower() in YAML_ENDINGS:  # only the numbers change: remarks stay where they are
            for row, count in sorted(zip(rows, left, strict=True), key=lambda one: one[0].count_at, reverse=True):
                start, end = row.count_at
                text = f"{text[:start]}{count}{text[end:]}"
            return text
        out = io.StringIO()
        lines = csv.writer(out, lineterminator="\n")
        lines.writerow(COLUMNS)
        for row, count in zip(rows, left, strict=True):
            lines.writerow((*(row.values[column] for column in COLUMNS[:-1]), count))
        return out.getvalue()


def _csv_rows(text: str, path: Path) -> Iterator[_Row]:
    reader = csv.DictReader(io.StringIO(text))
    if tuple(reader.fieldnames or ()) != COLUMNS:
        raise StockError(f"{path}:1: the first line must be: {','.join(COLUMNS)}")
    for row in reader:
        yield _Row({column: row.get(column) or "" for column in COLUMNS}, f"{path}:{reader.line_num}")


def _yaml_rows(text: str, path: Path) -> Iterator[_Row]:
    try:
        root = yaml.compose(text, yaml.SafeLoader)
    except yaml.MarkedYAMLError as error:
        line = error.problem_mark.line + 1 if error.problem_mark else 1
        raise StockError(f"{path}:{line}: this is no valid YAML: {error.problem}.") from error
    if root is None:
        return
    if not isinstance(root, yaml.SequenceNode):
        raise StockError(f"{path}:1: the file must be a list, each line with {', '.join(COLUMNS)}.")
    for node in root.value:
        where = f"{path}:{node.start_mark.line + 1}"
        pairs = node.value if isinstance(node, yaml.MappingNode) else []
        named = {key.value: value for key, value in pairs if isinstance(value, yaml.ScalarNode)}
        if len(named) != len(pairs) or not {"part", "count"} <= named.keys() <= set(COLUMNS):
            raise StockError(f"{where}: each entry needs part and count, and may have {', '.join(COLUMNS[1:-1])}.")
        count = named["count"]
        yield _Row(
            {column: named[column].value if column in named else "" for column in COLUMNS},
            where,
            (count.start_mark.index, count.end_mark.index),
        )


def _count(row: _Row) -> int:
    text = row.values["count"].strip()
    if not (text.isascii() and text.isdecimal()):
        raise StockError(f"{row.where}: count: {text!r} is no whole number from 0 up.")
    return int(text)


def _can(row: _Row) -> Can | None:
    sections, volts = row.values["microfarads"], row.values["volts"]
    if row.values["part"] != CAPACITOR:
        return None
    try:
        return Can(tuple(float(one) for one in sections.split("/")), float(volts))
    except (ValueError, PhysicsError) as error:
        raise StockError(
            f"{row.where}: a capacitor needs microfarads as 45/5 or 7.5, and volts as 440; "
            f"found {sections!r} and {volts!r}."
        ) from error

"""The parts on the truck: one CSV file, read when a part is proposed and counted down when it is fitted.

    part,marking,microfarads,volts,count
    capacitor,,45/5,440,2
    contactor,"two poles 40 A, 24 V coil",,,1

``part`` is the subject of a repair (``capacitor``, ``contactor``, ``fan`` ...). Only capacitors are chosen by value;
what else fits is read off the marking by the technician.
"""

from __future__ import annotations

import csv
import io
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from assistant.paths import atomic_write
from assistant.physics.errors import PhysicsError
from assistant.reasoning.limits.stock import Can, choose_capacitor
from knowledge import KnowledgeBase

COLUMNS = ("part", "marking", "microfarads", "volts", "count")
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


class TruckStock:
    """The file, read anew each time, so that it may be edited during a visit."""

    def __init__(self, path: Path, kb: KnowledgeBase) -> None:
        self.path = path
        self._kb = kb

    def shelves(self) -> tuple[Shelf, ...]:
        """Return all lines. Raises StockError."""
        try:
            text = self.path.read_text(encoding="utf-8-sig")
        except FileNotFoundError as error:
            raise StockError(
                f"There is no stock file {self.path}. Write one with the columns {', '.join(COLUMNS)}, "
                "or take stock out of the settings."
            ) from error
        except (OSError, UnicodeDecodeError) as error:
            raise StockError(f"The stock file {self.path} cannot be read as UTF-8 text ({error}).") from error
        return tuple(self._parsed(text))

    def on_hand(self, part: str, plate: Mapping[str, float]) -> str:
        """Return what of a part is there, in a sentence; for a capacitor which one fits. Raises StockError."""
        there = [shelf for shelf in self.shelves() if shelf.part == part and shelf.count > 0]
        name = self._kb.subjects[part].name
        if not there:
            return f"Truck stock: no {name} left."
        if part == CAPACITOR:
            marked = _marked(plate)
            listed = "; ".join(f"{shelf.shown} ({shelf.count})" for shelf in there)
            if marked is None:
                return f"Truck stock: {listed}. Which fits needs microfarads and volts off the old one."
            return f"Truck stock: {choose_capacitor(self._kb, marked, _cans(there)).sentence}"
        return f"Truck stock, {name}: {'; '.join(f'{shelf.shown} ({shelf.count})' for shelf in there)}."

    def fitted(self, part: str, plate: Mapping[str, float]) -> str:
        """Count down what was fitted and return a sentence; where it is not clear which, nothing is changed.

        Raises StockError, SaveError.
        """
        shelves = self.shelves()
        used = self._used([shelf for shelf in shelves if shelf.part == part and shelf.count > 0], part, plate)
        name = self._kb.subjects[part].name
        if not used:
            return f"Truck stock: not counted down, which {name} was fitted is not clear. Correct {self.path.name}."
        left = tuple(replace(one, count=one.count - used.get(one.shown, 0)) for one in shelves)
        atomic_write(self.path, _written(left))
        told = [f"{one.shown}, {one.count} left" for one in left if one.part == part and one.shown in used]
        return f"Truck stock: {'; '.join(told)}."

    def _used(self, there: Sequence[Shelf], part: str, plate: Mapping[str, float]) -> dict[str, int]:
        """Return how many of which were taken; empty where that is not clear."""
        if part != CAPACITOR:
            return {there[0].shown: 1} if len(there) == 1 else {}
        marked = _marked(plate)
        fits = choose_capacitor(self._kb, marked, _cans(there)).fits if marked else ()
        simplest = [fitting for fitting in fits if fitting.cans == min(one.cans for one in fits)]
        if len({fitting.sentence for fitting in simplest}) != 1:
            return {}
        cans = {id(can): can for section in simplest[0].parts for can in section}.values()
        of = {shelf.can.marking: shelf.shown for shelf in there if shelf.can}
        return dict(Counter(of[can.marking] for can in cans))

    def _parsed(self, text: str) -> Iterator[Shelf]:
        reader = csv.DictReader(io.StringIO(text))
        if tuple(reader.fieldnames or ()) != COLUMNS:
            raise StockError(f"{self.path}:1: the first line must be: {','.join(COLUMNS)}")
        for row in reader:
            where = f"{self.path}:{reader.line_num}"
            parts = {repair.part for repair in self._kb.repairs.values()} - {None}
            if row["part"] not in parts:
                known = ", ".join(sorted(part for part in parts if part))
                raise StockError(f"{where}: part: {row['part']!r} is fitted by no repair; there are {known}.")
            yield Shelf(row["part"], row["marking"] or "", _count(row["count"], where), _can(row, where))


def _count(text: str | None, where: str) -> int:
    if text is None or not text.strip().isdecimal():
        raise StockError(f"{where}: count: {text!r} is no whole number from 0 up.")
    return int(text)


def _can(row: Mapping[str, str | None], where: str) -> Can | None:
    sections, volts = row["microfarads"], row["volts"]
    if row["part"] != CAPACITOR:
        return None
    try:
        return Can(tuple(float(one) for one in (sections or "").split("/")), float(volts or ""))
    except (ValueError, PhysicsError) as error:
        raise StockError(
            f"{where}: a capacitor needs microfarads as 45/5 or 7.5, and volts as 440; "
            f"found {sections!r} and {volts!r}."
        ) from error


def _marked(plate: Mapping[str, float]) -> Can | None:
    if "cap_herm_uf" not in plate or "cap_volts" not in plate:
        return None
    sections = (plate["cap_herm_uf"], *([plate["cap_fan_uf"]] if "cap_fan_uf" in plate else []))
    return Can(sections, plate["cap_volts"])


def _cans(shelves: Sequence[Shelf]) -> list[Can]:
    """Return every can that can be taken out, two of a kind as two."""
    return [replace(shelf.can) for shelf in shelves if shelf.can for _ in range(min(shelf.count, 2))]


def _written(shelves: Sequence[Shelf]) -> str:
    out = io.StringIO()
    rows = csv.writer(out, lineterminator="\n")
    rows.writerow(COLUMNS)
    for one in shelves:
        sections = "/".join(f"{value:g}" for value in one.can.sections_uf) if one.can else ""
        rows.writerow((one.part, one.marking, sections, f"{one.can.voltage_v:g}" if one.can else "", one.count))
    return out.getvalue()

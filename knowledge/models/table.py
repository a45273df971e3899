"""Printed tables of two variables: target superheat, target temperature split."""

from __future__ import annotations

from itertools import pairwise

from pydantic import Field, model_validator

from .entry import Closed, Entry, Id, Text


class TableRow(Closed):
    at: float
    values: tuple[float | None, ...]
    """One value for each column; null is a dash."""


class LookupTable(Entry):
    name: Text
    unit: Text
    """Unit of both scales and of the values."""
    row: Id
    """Name of the input that picks the row, as formulas and calculations call it: ``outdoor``."""
    row_name: Text
    column: Id
    column_name: Text
    columns: tuple[float, ...]
    rows: tuple[TableRow, ...]
    dash: Text
    """What a dash means, and what to do then."""
    validity: Text
    sources: tuple[Id, ...] = Field(min_length=1)

    @model_validator(mode="after")
    def _square_and_rising(self) -> LookupTable:
        heads = [row.at for row in self.rows]
        for what, scale in (("rows", heads), ("columns", list(self.columns))):
            if len(scale) < 2 or any(b <= a for a, b in pairwise(scale)):
                raise ValueError(f"{what} must be two or more, rising")
        for row in self.rows:
            if len(row.values) != len(self.columns):
                raise ValueError(f"row {row.at:g} has {len(row.values)} values for {len(self.columns)} columns")
        return self


class TableFile(Closed):
    tables: tuple[LookupTable, ...]

"""Printed tables of the knowledge as the physics reads them."""

from __future__ import annotations

from assistant.physics.grid import Grid
from knowledge.models.table import LookupTable


def grid(table: LookupTable) -> Grid:
    """Return a printed table as a grid of numbers."""
    return Grid(
        name=table.name,
        row_name=table.row_name,
        column_name=table.column_name,
        unit=table.unit,
        rows=tuple(row.at for row in table.rows),
        columns=table.columns,
        cells=tuple(row.values for row in table.rows),
        dash=table.dash,
    )

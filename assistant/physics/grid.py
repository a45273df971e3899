"""A printed table of two variables, read between its lines but never beyond its edge."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass

from .errors import NoValidTest, within


@dataclass(frozen=True, slots=True)
class Grid:
    """Cells by row and column; both scales rise. None is a dash: the table gives no value there."""

    name: str
    row_name: str
    column_name: str
    unit: str
    """Unit of both scales."""
    rows: tuple[float, ...]
    columns: tuple[float, ...]
    cells: tuple[tuple[float | None, ...], ...]
    dash: str
    """What a dash means, and what to do then."""


def look_up(grid: Grid, row: float, column: float) -> float:
    """Return the cell at a row and a column, bilinear between the printed ones.

    Valid inside both scales and away from dashes: a value that would rest on a dash is refused with the
    table's own words (NoValidTest). Source: derived.
    """
    within(grid.row_name, row, grid.rows[0], grid.rows[-1], grid.unit)
    within(grid.column_name, column, grid.columns[0], grid.columns[-1], grid.unit)
    value = 0.0
    for i, row_share in _shares(grid.rows, row):
        for j, column_share in _shares(grid.columns, column):
            cell = grid.cells[i][j]
            if cell is None:
                raise NoValidTest(f"{grid.name} at {row:g} and {column:g} {grid.unit}: {grid.dash}")
            value += row_share * column_share * cell
    return value


def _shares(scale: Sequence[float], at: float) -> list[tuple[int, float]]:
    """The neighbours on a scale with their shares; one where it is met exactly."""
    place = min(bisect_right(scale, at) - 1, len(scale) - 2)
    share = (at - scale[place]) / (scale[place + 1] - scale[place])
    return [(i, s) for i, s in ((place, 1 - share), (place + 1, share)) if s > 0]

"""Temperature split: how much the air is cooled, and how much it should be."""

from __future__ import annotations

from assistant.physics.errors import within
from assistant.physics.grid import Grid, look_up


def temperature_split_f(return_f: float, supply_f: float) -> float:
    """Return return minus supply dry bulb in degrees F. Valid 30 to 120 degrees F. Source: ca_ra3_2."""
    within("return air", return_f, 30, 120, "°F")
    within("supply air", supply_f, 30, 120, "°F")
    return return_f - supply_f


def target_temperature_split_f(table: Grid, return_f: float, wet_bulb_f: float) -> float:
    """Return the split in degrees F that return air of this dry and wet bulb should have.

    ``table``: rows of return dry bulb, columns of return wet bulb, degrees F. Valid inside the table, wet
    bulb not above dry bulb. Source: ca_ra3_2_table_3.
    """
    within("return air", return_f, table.rows[0], table.rows[-1], "°F")
    within("wet bulb", wet_bulb_f, table.columns[0], min(return_f, table.columns[-1]), "°F, and not above dry bulb")
    return look_up(table, return_f, wet_bulb_f)

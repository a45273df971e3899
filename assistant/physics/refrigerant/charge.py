"""Superheat and subcooling, and what they should be."""

from __future__ import annotations

from assistant.physics.errors import within
from assistant.physics.grid import Grid, look_up


def superheat_f(line_f: float, dew_f: float) -> float:
    """Return the superheat in degrees F: suction line minus saturated *dew* temperature at suction pressure.

    Both in degrees F, at the suction service valve, running steadily. Negative means a reading is wrong or
    liquid leaves the coil. Valid for lines of -60 to 200 degrees F. Source: ca_ra3_2.
    """
    within("suction line", line_f, -60, 200, "°F")
    within("saturation temperature", dew_f, -60, 200, "°F")
    return line_f - dew_f


def subcooling_f(bubble_f: float, line_f: float) -> float:
    """Return the subcooling in degrees F: saturated *bubble* temperature at liquid pressure minus liquid line.

    Both in degrees F, at the liquid service valve, running steadily. Negative means a reading is wrong or the
    line carries vapour. Valid for lines of -60 to 200 degrees F. Source: ashrae_terminology.
    """
    within("saturation temperature", bubble_f, -60, 200, "°F")
    within("liquid line", line_f, -60, 200, "°F")
    return bubble_f - line_f


def target_superheat_f(table: Grid, outdoor_f: float, wet_bulb_f: float) -> float:
    """Return the superheat in degrees F that a fixed-orifice unit should have.

    ``table``: rows of condenser entering air, columns of return air wet bulb at the coil, degrees F. Valid
    inside the table; a dash (target below 5 degrees F) is refused. Source: ca_ra3_2_table_2.
    """
    return look_up(table, outdoor_f, wet_bulb_f)


def rule_superheat_f(outdoor_f: float, wet_bulb_f: float) -> float:
    """Return the rule of thumb for the same, in degrees F: (3 WB - 80 - DB) / 2.

    Only a cross-check: it is up to 6.4 degrees F off the table at 115 degrees F. Valid 55 to 115 degrees F
    outdoors, 50 to 76 degrees F wet bulb. Source: practice.
    """
    within("outdoor air", outdoor_f, 55, 115, "°F")
    within("wet bulb", wet_bulb_f, 50, 76, "°F")
    return (3 * wet_bulb_f - 80 - outdoor_f) / 2

"""How much air moves, from the heat that electric elements put into it."""

from __future__ import annotations

from math import inf

from assistant.physics.errors import above, within

from .capacity import sensible_factor

BTUH_PER_W = 3.412142
"""1 W in Btu/h (International Table)."""


def heater_power_w(voltage_v: float, current_a: float) -> float:
    """Return the power in W of resistance elements: P = V A, power factor 1, measured at the elements' supply.

    Volts and amps r.m.s., single phase. Source: derived.
    """
    within("voltage", voltage_v, 0, inf, "V")
    within("current", current_a, 0, inf, "A")
    return voltage_v * current_a


def electric_heat_airflow_cfm(power_w: float, rise_f: float, atmosphere_psia: float) -> float:
    """Return the airflow in cfm that the heat of electric elements warms by a rise in degrees F.

    cfm = 3.412 W / (1.08 p/p0 rise). ``power_w`` holds elements and blower, cooling off, steady; sensors out of
    sight of the elements. Valid for a rise of 5 to 80 degrees F, atmosphere 8 to 16 psia.
    Source: electric_heat_method.
    """
    above("power", power_w, 0, "W")
    within("temperature rise", rise_f, 5, 80, "°F")
    return BTUH_PER_W * power_w / (sensible_factor(atmosphere_psia) * rise_f)


def airflow_per_ton_cfm(airflow_cfm: float, nominal_tons: float) -> float:
    """Return the airflow in cfm for each nominal ton. Valid for 0.5 to 25 tons. Source: practice."""
    within("airflow", airflow_cfm, 0, inf, "cfm")
    within("nominal size", nominal_tons, 0.5, 25, "tons")
    return airflow_cfm / nominal_tons


def nominal_airflow_cfm(nominal_tons: float, per_ton_cfm: float) -> float:
    """Return the airflow in cfm that a unit of this size wants: tons x cfm per ton.

    Valid for 0.5 to 25 tons, 200 to 600 cfm per ton. Source: trade_airflow.
    """
    within("nominal size", nominal_tons, 0.5, 25, "tons")
    within("airflow for each ton", per_ton_cfm, 200, 600, "cfm")
    return nominal_tons * per_ton_cfm

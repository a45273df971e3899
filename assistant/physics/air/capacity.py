"""Heat that the air gives off at the indoor coil, with the thinner air of high places."""

from __future__ import annotations

from math import inf

from assistant.physics.atmosphere import SEA_LEVEL_PSIA
from assistant.physics.errors import within

STANDARD_AIR_LB_FT3 = 0.075
"""Density of standard air: dry, 70 degrees F, sea level (source: ashrae_fundamentals)."""
AIR_HEAT_BTU_LB_F = 0.24
"""Specific heat of dry air (source: ashrae_fundamentals)."""
MINUTES_PER_HOUR = 60
BTUH_PER_TON = 12000.0
"""One ton of refrigeration, by definition."""


def total_factor(atmosphere_psia: float) -> float:
    """Return the 4.5 of "4.5 cfm dh", in lb min/(ft3 h): 60 x 0.075 x p/p0. Valid 8 to 16 psia. Source: derived."""
    within("atmosphere", atmosphere_psia, 8, 16, "psia")
    return MINUTES_PER_HOUR * STANDARD_AIR_LB_FT3 * atmosphere_psia / SEA_LEVEL_PSIA


def sensible_factor(atmosphere_psia: float) -> float:
    """Return the 1.08 of "1.08 cfm dT", in Btu min/(ft3 h F): 0.24 times the above. Source: derived."""
    return AIR_HEAT_BTU_LB_F * total_factor(atmosphere_psia)


def sensible_btuh(airflow_cfm: float, drop_f: float, atmosphere_psia: float) -> float:
    """Return the sensible heat in Btu/h that air gives off: 1.08 cfm (T return - T supply) p/p0.

    Valid for 0 cfm and up, a drop of 0 to 60 degrees F. Source: practice.
    """
    within("airflow", airflow_cfm, 0, inf, "cfm")
    within("temperature drop", drop_f, 0, 60, "°F")
    return sensible_factor(atmosphere_psia) * airflow_cfm * drop_f


def total_btuh(airflow_cfm: float, enthalpy_drop_btu_lb: float, atmosphere_psia: float) -> float:
    """Return the total heat in Btu/h that air gives off: 4.5 cfm (h return - h supply) p/p0.

    Enthalpies in Btu per pound of dry air. Valid for 0 cfm and up, a drop of 0 to 30 Btu/lb. Source: practice.
    """
    within("airflow", airflow_cfm, 0, inf, "cfm")
    within("enthalpy drop", enthalpy_drop_btu_lb, 0, 30, "Btu/lb")
    return total_factor(atmosphere_psia) * airflow_cfm * enthalpy_drop_btu_lb


def latent_btuh(airflow_cfm: float, ratio_drop: float, atmosphere_psia: float) -> float:
    """Return the latent heat in Btu/h: 4840 cfm dW p/p0, W in pounds of water per pound of dry air.

    Valid for 0 cfm and up, a drop of 0 to 0.03. Source: practice.
    """
    within("airflow", airflow_cfm, 0, inf, "cfm")
    within("humidity ratio drop", ratio_drop, 0, 0.03, "lb/lb")
    return 4840 * airflow_cfm * ratio_drop * atmosphere_psia / SEA_LEVEL_PSIA


def tons_from_btuh(heat_btuh: float) -> float:
    """Return tons of refrigeration for Btu/h: 12000 Btu/h each. Any value. Source: derived."""
    return heat_btuh / BTUH_PER_TON

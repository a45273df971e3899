"""Pressures and temperatures around the refrigerant circuit. All temperatures in degrees F."""

from __future__ import annotations

from math import inf

from assistant.physics.errors import OutsideValidity, above, within

from .saturation import Curve, SaturationTable, saturation_temperature_f

_COLDEST_F, _HOTTEST_F = -60, 400
_DRY_GAS_F, _HIGHEST_RATIO = (-20, 130), 8
_ZERO_F = 459.67
"""Degrees F from absolute zero to 0 °F."""


def compression_ratio(suction_psia: float, discharge_psia: float) -> float:
    """Return discharge over suction pressure, both absolute (psia), compressor running.

    Valid for a discharge pressure not below the suction pressure. Source: textbook_compression_ratio.
    """
    above("suction pressure", suction_psia, 0, "psia")
    within("discharge pressure", discharge_psia, suction_psia, inf, "psia (the suction pressure)")
    return discharge_psia / suction_psia


def condensing_over_ambient_f(condensing_f: float, outdoor_f: float) -> float:
    """Return condensing temperature minus air entering the condenser, in degrees F.

    The condensing temperature is the bubble temperature at liquid pressure. Running steadily. Source: practice.
    """
    return _difference("condensing temperature", condensing_f, "outdoor air", outdoor_f)


def evaporator_difference_f(return_f: float, boiling_f: float) -> float:
    """Return dry bulb of the return air minus the dew temperature at suction pressure, in degrees F.

    Running steadily. Source: practice.
    """
    return _difference("return air", return_f, "boiling temperature", boiling_f)


def discharge_superheat_f(discharge_line_f: float, condensing_f: float) -> float:
    """Return discharge line minus condensing temperature, in degrees F.

    Line measured 3 to 6 in. from the compressor. Source: practice.
    """
    return _difference("discharge line", discharge_line_f, "condensing temperature", condensing_f)


def compressed_gas_f(suction_line_f: float, pressure_ratio: float, exponent: float) -> float:
    """Return the temperature in degrees F at which gas leaves the compressor: T2 = T1 (p2 / p1)^m.

    T1: suction line at the compressor, in degrees F; ``pressure_ratio``: p2 / p1, both absolute; ``exponent``: m of
    the refrigerant, fitted to its equation of state for a compressor of 70 % isentropic efficiency whose shell
    neither loses nor takes up heat. Valid for dry suction gas of -20 to 130 degrees F and ratios of 1 to 8; an
    efficiency of 60 or 80 % moves it by some 15 degrees F. Source: coolprop.
    """
    within("suction line", suction_line_f, *_DRY_GAS_F, "°F")
    within("ratio of pressures", pressure_ratio, 1, _HIGHEST_RATIO, "to 1")
    return float((suction_line_f + _ZERO_F) * pressure_ratio**exponent) - _ZERO_F


def restriction_drop_f(inlet_f: float, outlet_f: float) -> float:
    """Return the fall in temperature across a filter drier or a piece of liquid line, in degrees F.

    Liquid flowing, sensors strapped and insulated on both sides. Source: practice.
    """
    return _difference("inlet", inlet_f, "outlet", outlet_f)


def reversing_valve_difference_f(common_suction_f: float, coil_side_f: float) -> float:
    """Return common suction minus the tube from the cold coil, at a reversing valve, in degrees F.

    Discharge gas that leaks through warms the suction. Both a few inches from the valve, running in cooling.
    Source: practice.
    """
    return _difference("common suction tube", common_suction_f, "tube from the coil", coil_side_f)


def equalised_excess_f(table: SaturationTable, pressure_psia: float, ambient_f: float) -> float:
    """Return how far a standing pressure (psia) lies outside saturation at the temperature of the unit, in degrees F.

    Positive: warmer than the bubble point (air or another gas in it). Negative: colder than the dew point (no
    liquid left, or not equalised). 0: between the two, as it should be. Compressor off, everything at one
    temperature, liquid present. Source: practice.
    """
    within("ambient", ambient_f, table.first_f, table.last_f, "°F")
    over = saturation_temperature_f(table, Curve.BUBBLE, pressure_psia) - ambient_f
    under = saturation_temperature_f(table, Curve.DEW, pressure_psia) - ambient_f
    return max(over, 0.0) if over > 0 else min(under, 0.0)


def _difference(first: str, first_f: float, second: str, second_f: float) -> float:
    for name, value in ((first, first_f), (second, second_f)):
        if not _COLDEST_F <= value <= _HOTTEST_F:
            raise OutsideValidity(f"{name} {value:g} °F: must be {_COLDEST_F} to {_HOTTEST_F} °F")
    return first_f - second_f

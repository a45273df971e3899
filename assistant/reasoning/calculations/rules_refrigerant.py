"""Rules of the refrigerant side."""

from __future__ import annotations

from assistant.physics import refrigerant as ref
from assistant.physics.atmosphere import absolute_psia, gauge_psi
from assistant.physics.errors import OutsideValidity
from assistant.physics.refrigerant import Curve
from assistant.physics.refrigerant.charge import target_superheat_f

from .results import Step
from .rules import Answer, Given, rule
from .rules_air import wet_bulb_f

_F = "°F"


def _absolute(x: Given, pressure: str) -> float:
    return absolute_psia(x[pressure], x.numbers.get("elevation", 0.0))


def _saturation_f(x: Given, pressure: str, typed: str, curve: Curve) -> float:
    """From the gauge and the table, or as typed from the cylinder's chart."""
    if x.has(typed):
        return x[typed]
    return _from_gauge_f(x, pressure, curve)


def _from_gauge_f(x: Given, pressure: str, curve: Curve) -> float:
    """The saturation temperature; a pressure outside the table is refused in the words of the gauge."""
    absolute, all_psia = _absolute(x, pressure), x.table.pressures_psia(curve)
    if not all_psia[0] <= absolute <= all_psia[-1]:
        low, high = (gauge_psi(end, x.numbers.get("elevation", 0.0)) for end in (all_psia[0], all_psia[-1]))
        raise OutsideValidity(
            f"{x[pressure]:g} psig: the table of {x.table.name} goes from {low:.0f} to {high:.0f} psig"
        )
    return ref.saturation_temperature_f(x.table, curve, absolute) + x.slip("saturation")


def _dew_f(x: Given) -> float:
    return _saturation_f(x, "suction_pressure", "suction_saturation", Curve.DEW)


def _bubble_f(x: Given) -> float:
    return _saturation_f(x, "liquid_pressure", "liquid_saturation", Curve.BUBBLE)


@rule
def saturation_temperature(x: Given) -> Answer:
    """The dew temperature (for superheat); bubble (for subcooling) beside it."""
    dew, bubble = (_from_gauge_f(x, "pressure", curve) for curve in _CURVES)
    return Answer(dew, (Step("dew, for superheat", dew, _F), Step("bubble, for subcooling", bubble, _F)))


@rule
def saturation_pressure(x: Given) -> Answer:
    """The dew pressure; bubble beside it."""
    temp_f, elevation = x["temperature"] + x.slip("saturation"), x.numbers.get("elevation", 0.0)
    dew, bubble = (gauge_psi(ref.saturation_psia(x.table, curve, temp_f), elevation) for curve in _CURVES)
    return Answer(dew, (Step("dew, suction side", dew, "psig"), Step("bubble, liquid side", bubble, "psig")))


_CURVES = (Curve.DEW, Curve.BUBBLE)


@rule
def superheat(x: Given) -> Answer:
    """Suction line over the dew temperature."""
    dew = _dew_f(x)
    value = ref.superheat_f(x["suction_line"], dew) + x.slip("table")
    return Answer(value, (Step("dew temperature", dew, _F),))


@rule
def subcooling(x: Given) -> Answer:
    """Liquid line under the bubble temperature."""
    bubble = _bubble_f(x)
    return Answer(ref.subcooling_f(bubble, x["liquid_line"]), (Step("bubble temperature", bubble, _F),))


@rule
def target_superheat(x: Given) -> Answer:
    """From the printed table."""
    return Answer(target_superheat_f(x.printed, x["outdoor"], wet_bulb_f(x, "return_air")) + x.slip("table"))


@rule
def compression_ratio(x: Given) -> Answer:
    """Absolute over absolute."""
    suction, head = _absolute(x, "suction_pressure"), _absolute(x, "liquid_pressure")
    steps = (Step("suction", suction, "psia"), Step("head", head, "psia"))
    return Answer(ref.compression_ratio(suction, head), steps)


@rule
def condensing_over_ambient(x: Given) -> Answer:
    """Bubble temperature over outdoor air."""
    bubble = _bubble_f(x)
    return Answer(ref.condensing_over_ambient_f(bubble, x["outdoor"]), (Step("condensing temperature", bubble, _F),))


@rule
def evaporator_difference(x: Given) -> Answer:
    """Return air over dew temperature."""
    dew = _dew_f(x)
    return Answer(ref.evaporator_difference_f(x["return_air"], dew), (Step("boiling temperature", dew, _F),))


@rule
def expected_head(x: Given) -> Answer:
    """The bubble pressure of a condensing temperature that the weather and the unit's efficiency make."""
    over, slip = x.typical.condensing_over_outdoor_f, x.slip("over_ambient")
    if x.has("seer"):
        over = [degrees for seer, degrees in x.typical.condensing_by_seer if x["seer"] >= seer][-1]
    else:
        slip += x.slip("seer_unknown")
    return _expected(x, x["outdoor"] + over, slip, Curve.BUBBLE, "condensing temperature")


@rule
def expected_suction(x: Given) -> Answer:
    """The dew pressure of a boiling temperature below the air that goes over the coil."""
    if x.has("wet_bulb") or x.has("humidity"):
        boiling = wet_bulb_f(x, "return_air") - x.typical.evaporator_below_wet_bulb_f
    else:
        boiling = x["return_air"] - x.typical.evaporator_below_return_f
    return _expected(x, boiling, x.slip("coil_difference"), Curve.DEW, "boiling temperature")


def _expected(x: Given, temp_f: float, slip_f: float, curve: Curve, name: str) -> Answer:
    """The gauge pressure of a temperature in degrees F; only the temperature that is meant is told."""
    absolute = ref.saturation_psia(x.table, curve, temp_f + slip_f + x.slip("saturation"))
    return Answer(gauge_psi(absolute, x.numbers.get("elevation", 0.0)), (Step(name, temp_f, _F),))


@rule
def discharge_temperature(x: Given) -> Answer:
    """As read; the limit is the refrigerant's."""
    maximum = {} if x.discharge_max_f is None else {"maximum": x.discharge_max_f}
    return Answer(x["discharge_line_temp"], for_limit=maximum)


@rule
def expected_discharge(x: Given) -> Answer:
    """What the compression of the suction gas makes."""
    if x.compression_exponent is None:
        raise KeyError("no saturation table")
    low, high = _absolute(x, "suction_pressure"), _absolute(x, "liquid_pressure")
    ratio = ref.compression_ratio(low, high)
    made = ref.compressed_gas_f(x["suction_line"], ratio, x.compression_exponent)
    return Answer(made + x.slip("efficiency"), (Step("ratio of pressures", ratio, "to 1"),))


@rule
def discharge_superheat(x: Given) -> Answer:
    """Discharge line over condensing temperature."""
    bubble = _bubble_f(x)
    value = ref.discharge_superheat_f(x["discharge_line_temp"], bubble)
    return Answer(value, (Step("condensing temperature", bubble, _F),))


@rule
def equalised_pressure(x: Given) -> Answer:
    """How far the standing pressure is off saturation at the unit's temperature."""
    pressure, ambient = _absolute(x, "standing_pressure"), x["outdoor"]
    expected = [gauge_psi(ref.saturation_psia(x.table, c, ambient), x.numbers.get("elevation", 0.0)) for c in _CURVES]
    value = ref.equalised_excess_f(x.table, pressure, ambient) + x.slip("saturation")
    return Answer(value, (Step("expected, dew", expected[0], "psig"), Step("expected, bubble", expected[1], "psig")))


@rule
def drier_drop(x: Given) -> Answer:
    """Before less behind."""
    return Answer(ref.restriction_drop_f(x["drier_inlet"], x["drier_outlet"]))


@rule
def reversing_valve(x: Given) -> Answer:
    """Common suction less the tube from the coil."""
    return Answer(ref.reversing_valve_difference_f(x["common_suction"], x["coil_tube"]))

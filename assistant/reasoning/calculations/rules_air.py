"""Rules of the air side."""

from __future__ import annotations

from assistant.physics import air

from .results import Step
from .rules import Answer, Given, rule

_F = "°F"
_HEAT = "Btu/h"


def wet_bulb_f(x: Given, dry_bulb: str) -> float:
    """The wet bulb as measured, else from relative humidity and dry bulb."""
    if x.has("wet_bulb"):
        return x["wet_bulb"]
    return air.wet_bulb_from_humidity_f(x[dry_bulb], x["humidity"], x.atmosphere_psia)


@rule
def target_temperature_split(x: Given) -> Answer:
    """From the printed table."""
    wet_bulb = wet_bulb_f(x, "return_air")
    return Answer(
        air.target_temperature_split_f(x.printed, x["return_air"], wet_bulb), (Step("wet bulb", wet_bulb, _F),)
    )


@rule
def temperature_split(x: Given) -> Answer:
    """Return less supply, or the split as told; the target follows from the wet bulb, where that is known."""
    value = x["judged_split"] if x.has("judged_split") else air.temperature_split_f(x["return_air"], x["supply_air"])
    damp = x.has("wet_bulb") or x.has("humidity")
    return Answer(value, for_limit={"wet_bulb": wet_bulb_f(x, "return_air")} if damp else {})


@rule
def electric_heat_airflow(x: Given) -> Answer:
    """Heat over rise."""
    power = x["heater_power"] if x.has("heater_power") else air.heater_power_w(x["volts"], x["amps"])
    value = air.electric_heat_airflow_cfm(power, x["rise"], x.atmosphere_psia)
    return Answer(value, (Step("heater power", power, "W"),))


@rule
def airflow_per_ton(x: Given) -> Answer:
    """Airflow over size."""
    return Answer(air.airflow_per_ton_cfm(x["airflow"], x["tons"]))


@rule
def nominal_airflow(x: Given) -> Answer:
    """The usual airflow for the size, less where the air is damp, more where it is dry."""
    return Answer(air.nominal_airflow_cfm(x["tons"], x.constants["cfm_per_ton"] + x.slip("cfm_per_ton")))


@rule
def sensible_capacity(x: Given) -> Answer:
    """1.08 cfm dT."""
    drop = x["split"] if x.has("split") else air.temperature_split_f(x["return_air"], x["supply_air"])
    value = air.sensible_btuh(x["airflow"], drop, x.atmosphere_psia)
    return Answer(value, (Step("split", drop, _F, difference=True), Step("tons", air.tons_from_btuh(value), "tons")))


@rule
def total_capacity(x: Given) -> Answer:
    """4.5 cfm dh, with the sensible part beside it."""
    before = air.moist_air(x["return_air"], x["wet_bulb"], x.atmosphere_psia)
    after = air.moist_air(x["supply_air"], x["supply_wet_bulb"], x.atmosphere_psia)
    drop = before.enthalpy_btu_lb - after.enthalpy_btu_lb
    value = air.total_btuh(x["airflow"], drop, x.atmosphere_psia)
    sensible = air.sensible_btuh(x["airflow"], x["return_air"] - x["supply_air"], x.atmosphere_psia)
    steps = (Step("sensible part", sensible, _HEAT), Step("tons", air.tons_from_btuh(value), "tons"))
    return Answer(value, steps)


@rule
def wet_bulb(x: Given) -> Answer:
    """From what a hygrometer shows; the dew point beside it."""
    found = air.wet_bulb_from_humidity_f(x["return_air"], x["humidity"], x.atmosphere_psia)
    state = air.moist_air(x["return_air"], found, x.atmosphere_psia)
    return Answer(found, (Step("dew point", state.dew_point_f, _F),))


@rule
def dew_point(x: Given) -> Answer:
    """Below this a surface sweats."""
    state = air.moist_air(x["return_air"], wet_bulb_f(x, "return_air"), x.atmosphere_psia)
    return Answer(state.dew_point_f, (Step("relative humidity", state.humidity_pct, "% RH"),))


@rule
def external_static(x: Given) -> Answer:
    """Supply plus the amount of the return, or as read across the cabinet."""
    if x.has("total_static"):
        return Answer(x["total_static"])
    return Answer(air.external_static_in_wc(x["supply_static"], x["return_static"]))


@rule
def static_for_ducts(x: Given) -> Answer:
    """Rating less filter and coil."""
    return Answer(air.static_for_ducts_in_wc(x["rated_static"], x["drop_filter"], x["drop_coil"]))


@rule
def filter_drop(x: Given) -> Answer:
    """As read."""
    return Answer(x["drop_filter"])


@rule
def coil_drop(x: Given) -> Answer:
    """As read."""
    return Answer(x["drop_coil"])

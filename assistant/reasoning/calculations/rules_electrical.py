"""Rules of the electrical side."""

from __future__ import annotations

from assistant.physics import electricity as el
from assistant.physics.units import convert

from .results import Step
from .rules import Answer, Given, rule


@rule
def capacitance_under_load(x: Given) -> Answer:
    """From running amps and volts."""
    return Answer(el.capacitance_uf(x["herm_amps"], x["herm_volts"], x["supply_frequency"]))


@rule
def capacitor_amps(x: Given) -> Answer:
    """What a section of the marked value draws."""
    return Answer(el.capacitor_current_a(x["marked_herm"], x["herm_volts"], x["supply_frequency"]))


@rule
def sections_in_series(x: Given) -> Answer:
    """What HERM to FAN reads."""
    return Answer(el.series_uf(x["marked_herm"], x["marked_fan"]))


@rule
def discharge_resistor_power(x: Given) -> Answer:
    """Power and current as the discharge begins."""
    volts, ohms = x["capacitor_rating"], x["discharge_resistor"]
    steps = [Step("crest", el.crest_v(volts), "V"), Step("current", el.resistor_peak_current_a(volts, ohms), "A")]
    if x.has("marked_herm"):
        steps.append(Step("energy", el.stored_energy_j(x["marked_herm"], volts), "J"))
    return Answer(el.resistor_peak_power_w(volts, ohms), tuple(steps))


@rule
def discharge_seconds(x: Given) -> Answer:
    """Down to where it counts as discharged, with the 50 V of the code and the energy on the way."""
    section, volts, ohms = x["marked_herm"], x["capacitor_rating"], x["discharge_resistor"]
    code_v = x.constants["code_v"]
    steps = (
        Step(f"to {code_v:g} V", el.discharge_time_s(section, ohms, volts, code_v), "s"),
        Step("crest", el.crest_v(volts), "V"),
        Step("energy", el.stored_energy_j(section, volts), "J"),
    )
    return Answer(el.discharge_time_s(section, ohms, volts, x.constants["done_v"]), steps)


@rule
def supply_check(x: Given) -> Answer:
    """As read."""
    return Answer(x["supply_volts"])


@rule
def voltage_unbalance(x: Given) -> Answer:
    """With the extra heat it makes, up to the unbalance at which no motor is run."""
    value = el.unbalance_pct(*_volts(x))
    within = value <= x.electrical.unbalance_derating.points[-1][0]
    return Answer(value, (Step("extra temperature rise", el.unbalance_heating_pct(value), "%"),) if within else ())


@rule
def motor_derating(x: Given) -> Answer:
    """From the curve of the standard."""
    value = x["known_unbalance"] if x.has("known_unbalance") else el.unbalance_pct(*_volts(x))
    share = el.derating_share(value, x.electrical.unbalance_derating.points)
    return Answer(100 * share, (Step("voltage unbalance", value, "%"),))


@rule
def current_unbalance(x: Given) -> Answer:
    """The same on amps."""
    return Answer(el.unbalance_pct(x["amps_l1"], x["amps_l2"], x["amps_l3"]))


@rule
def minimum_circuit_ampacity(x: Given) -> Answer:
    """The largest motor counts more."""
    return Answer(el.minimum_circuit_ampacity_a(_motors(x), x.electrical.largest_motor_pct.value))


@rule
def maximum_fuse(x: Given) -> Answer:
    """The ceiling, with the standard sizes below and above it and the one for a motor that will not start."""
    tables, motors = x.electrical, sorted(_motors(x))
    sizes, least = tables.standard_fuses_a.sizes, tables.least_protection_a.value
    value = el.maximum_protection_a(motors[-1], motors[:-1], tables.protection_pct.value)
    hard = el.maximum_protection_a(motors[-1], motors[:-1], tables.protection_ceiling_pct.value)
    steps = (
        Step("standard size below", el.next_size_down_a(max(value, least), sizes), "A"),
        Step("standard size above, code of 2023", el.next_size_up_a(max(value, least), sizes), "A"),
        Step("largest where it does not start", el.next_size_down_a(max(hard, least), sizes), "A"),
    )
    return Answer(value, steps)


@rule
def disconnect_rating(x: Given) -> Answer:
    """All currents, and a margin."""
    return Answer(el.minimum_disconnect_a(_motors(x), x.electrical.disconnect_pct.value))


@rule
def conductor_gauge(x: Given) -> Answer:
    """From the column that the terminals count as."""
    tables, needed = x.electrical, x["plate_mca"]
    cool = needed <= tables.terminals_60_c_up_to_a.value
    column = next(one for one in tables.conductors if (one.column_c == 60) == cool)
    name = el.smallest_conductor(needed, column.amps)
    return Answer(float(name), (Step("ampacity", column.amps[name], "A"), Step("column", column.column_c, "°C")))


@rule
def run_drop(x: Given) -> Answer:
    """Two conductors of the run, warm."""
    area = el.gauge_area_mm2(round(x["gauge"]))
    ohm_per_m = el.conductor_ohm_per_m(area, x.electrical.conductor_c.value)
    one_way_m = convert(x["run_length"], "ft", "m")
    return Answer(
        el.circuit_drop_v(x["running_amps"], one_way_m, ohm_per_m, el.Circuit.SINGLE_PHASE),
        (Step("copper", area, "mm²"),),
    )


@rule
def locked_rotor_amps(x: Given) -> Answer:
    """Plate LRA at the voltage of the attempt."""
    return Answer(el.scaled_locked_rotor_a(x["plate_lra"], x["start_volts"], x["plate_voltage"]))


@rule
def starting_torque(x: Given) -> Answer:
    """Goes with the square of the voltage."""
    return Answer(100 * el.starting_torque_share(x["start_volts"], x["plate_voltage"]))


@rule
def fuse_stress(x: Given) -> Answer:
    """LRA over fuse."""
    return Answer(el.fuse_stress_multiple(x["plate_lra"], x["fitted_fuse"]))


@rule
def compressor_load(x: Given) -> Answer:
    """The amps themselves, with their share of RLA and what each kind of overload lets through for good."""
    rla = x["plate_rla"]
    ceilings = (Step(one.name, el.overload_ceiling_a(rla, one.value), "A") for one in x.electrical.overload_pct)
    share = Step("share of RLA", el.plate_share_pct(x["running_amps"], rla), "%")
    return Answer(x["running_amps"], (share, *ceilings))


@rule
def overload_ceiling(x: Given) -> Answer:
    """Of the protector inside the motor; the other kinds beside it."""
    inside, *others = x.electrical.overload_pct
    steps = (Step(one.name, el.overload_ceiling_a(x["plate_rla"], one.value), "A") for one in others)
    return Answer(el.overload_ceiling_a(x["plate_rla"], inside.value), tuple(steps))


@rule
def assumed_lra(x: Given) -> Answer:
    """The multiple of the code."""
    return Answer(el.assumed_locked_rotor_a(x["plate_rla"], x.electrical.assumed_locked_multiple.value))


@rule
def contactor_rating(x: Given) -> Answer:
    """Running amps of all that it switches; locked-rotor amps beside it."""
    running = x["plate_rla"] + x.numbers.get("plate_fla", 0.0)
    return Answer(running, (Step("locked rotor", x["plate_lra"], "A"),))


@rule
def insulation_at_40(x: Given) -> Answer:
    """Corrected for the temperature of the winding."""
    return Answer(el.insulation_at_40_c_ohm(x["insulation"], convert(x["winding_now"], "°F", "°C")))


@rule
def connection_heat(x: Given) -> Answer:
    """One over the other."""
    return Answer(x["lug_temp"] - x["twin_temp"])


@rule
def winding_temperature(x: Given) -> Answer:
    """The winding as its own thermometer."""
    cold_c = convert(x["cold_temperature"], "°F", "°C")
    return Answer(convert(el.copper_temperature_c(x["cold_ohms"], cold_c, x["hot_ohms"]), "°C", "°F"))


@rule
def contact_drop(x: Given) -> Answer:
    """The drop itself, with the resistance and the heat behind it."""
    volts, amps = x["contact_volts"], x["running_amps"]
    steps = (
        Step("resistance", el.contact_resistance_ohm(volts, amps), "Ω"),
        Step("heat", el.contact_heat_w(volts, amps), "W"),
    )
    return Answer(volts, steps)


@rule
def pole_difference(x: Given) -> Answer:
    """Two poles of one device."""
    return Answer(el.above_lowest_pct((x["pole_volts"], x["other_contact_volts"])))


@rule
def transformer_loading(x: Given) -> Answer:
    """Sealed load over rating."""
    return Answer(el.loading_pct((x["coil_va"],), x["transformer_va"]))


@rule
def transformer_amps(x: Given) -> Answer:
    """Rated amps, with the most that a fuse behind a class 2 source may have."""
    volts = x["secondary_rating"]
    ceiling = el.class_2_device_ceiling_a(x.electrical.class_2_limit_va.value, volts)
    return Answer(el.secondary_rated_a(x["transformer_va"], volts), (Step("largest fuse", ceiling, "A"),))


@rule
def secondary_volts(x: Given) -> Answer:
    """The wrong tap shows here."""
    return Answer(el.secondary_voltage_v(x["secondary_rating"], x["primary_volts"], x["primary_tap"]))


@rule
def voltage_drop(x: Given) -> Answer:
    """Running, with the impedance of supply and wiring where the amps are known."""
    rest, loaded = x["rest_volts"], x["loaded_volts"]
    steps: tuple[Step, ...] = ()
    if x.has("running_amps") and loaded <= rest:
        steps = (Step("supply impedance", el.source_impedance_ohm(rest, loaded, x["running_amps"]), "Ω"),)
    return Answer(el.voltage_drop_pct(rest, loaded), steps)


@rule
def voltage_drop_starting(x: Given) -> Answer:
    """During the attempt."""
    return Answer(el.voltage_drop_pct(x["rest_volts"], x["start_volts"]))


@rule
def three_phase_power(x: Given) -> Answer:
    """Apparent power, and real power where the power factor is known."""
    volts, amps = x["line_volts"], x["line_amps"]
    steps: tuple[Step, ...] = ()
    if x.has("power_factor"):
        steps = (Step("real power", el.three_phase_power_w(volts, amps, x["power_factor"]), "W"),)
    return Answer(el.three_phase_apparent_va(volts, amps), steps)


def _volts(x: Given) -> tuple[float, float, float]:
    return x["volts_l1_l2"], x["volts_l2_l3"], x["volts_l3_l1"]


def _motors(x: Given) -> list[float]:
    return [amps for amps in (x["plate_rla"], x["plate_fla"], x["other_amps"]) if amps > 0]

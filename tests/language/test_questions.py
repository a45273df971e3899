"""Questions as technicians say them in a visit: what is worked out, what is a report; no question is a reading.

Common practice of speech, no source; the values behind them are checked with the calculations.
"""

from __future__ import annotations

import pytest

from assistant.language.models import Context, Doubt, Kind
from assistant.language.understand import understand
from knowledge import load
from tests.language.test_asking import inputs

KB = load()

ASKED = {
    "lra 80 at 240 how much at 200": (
        "locked_rotor_amps", {"plate_lra": 80, "plate_voltage": 240, "start_volts": 200},
    ),
    "tesp is .9 is that bad": ("external_static", {"total_static": 0.9}),
    "derate a motor at 3 percent": ("motor_derating", {"known_unbalance": 3}),
    "watts in the bleed resistor at 440": ("discharge_resistor_power", {"capacitor_rating": 440}),
    "mca with 18.5 rla and 1.3 fan": ("minimum_circuit_ampacity", {"plate_rla": 18.5, "plate_fla": 1.3}),
    "max ocpd 18.5 rla 1.3 fan": ("maximum_fuse", {"plate_rla": 18.5, "plate_fla": 1.3}),
    "disconnect for 22 rla 1.5 fla": ("disconnect_rating", {"plate_rla": 22, "plate_fla": 1.5}),
    "rla 14.5 drawing 13 is that ok": ("compressor_load", {"plate_rla": 14.5, "running_amps": 13}),
    "80 lra on a 30 fuse will it blow": ("fuse_stress", {"plate_lra": 80, "fitted_fuse": 30}),
    "s to r now 1.15 cold 0.9 at 70 degrees what temp": (
        "winding_temperature", {"hot_ohms": 1.15, "cold_ohms": 0.9, "cold_temperature": 70},
    ),
    "fuse for 40 va transformer": ("transformer_amps", {"transformer_va": 40}),
    "herm to fan on a 45 5": ("sections_in_series", {"marked_herm": 45, "marked_fan": 5}),
    "how much superheat should a piston have at 85 out and 70 wb": (
        "target_superheat", {"outdoor": 85, "wet_bulb": 70},
    ),
    "torque at 195 volts on 230": ("starting_torque", {"start_volts": 195, "plate_voltage": 230}),
    "fuse for 20 amps": ("maximum_fuse", {"plate_rla": 20}),
    "max fuse rla 16.7 fla 1.0": ("maximum_fuse", {"plate_rla": 16.7, "plate_fla": 1.0}),
    "biggest breaker for a 18 rla compressor and 1.2 amp fan": ("maximum_fuse", {"plate_rla": 18, "plate_fla": 1.2}),
    "what wire for mca 22": ("conductor_gauge", {"plate_mca": 22}),
    "static pressure supply 0.4 return 0.3": ("external_static", {"supply_static": 0.4, "return_static": 0.3}),
    "static drop filter .25 coil .35": ("static_for_ducts", {"drop_filter": 0.25, "drop_coil": 0.35}),
    "airflow 240 volts 40 amps 30 degree rise": ("electric_heat_airflow", {"volts": 240, "amps": 40, "rise": 30}),
    "40 va transformer with 30 va of coils": ("transformer_loading", {"transformer_va": 40, "coil_va": 30}),
    "how many amps can a 40 va transformer put out": ("transformer_amps", {"transformer_va": 40}),
    "voltage drop 240 at rest 221 on start": ("voltage_drop_starting", {"rest_volts": 240, "start_volts": 221}),
    "voltage sag 240 down to 221 on start": ("voltage_drop_starting", {"rest_volts": 240, "start_volts": 221}),
    "wire drop 20 amps 100 feet 10 gauge": ("run_drop", {"running_amps": 20, "run_length": 100, "gauge": 10}),
    "amps 18 21.5 19 how unbalanced is that": ("current_unbalance", {"amps_l1": 18, "amps_l2": 21.5, "amps_l3": 19}),
    "how far do i derate at 2 percent unbalance": ("motor_derating", {"known_unbalance": 2}),
    "what lra should i see at 218 volts plate is 112 at 230": (
        "locked_rotor_amps", {"start_volts": 218, "plate_lra": 112, "plate_voltage": 230},
    ),
    "lra 112 on a 35 amp fuse will it hold": ("fuse_stress", {"plate_lra": 112, "fitted_fuse": 35}),
    "drop across contacts is 0.4 at 20 amps is that bad": (
        "contact_drop", {"contact_volts": 0.4, "running_amps": 20},
    ),
    "is the overload hot if s to r is 1.2 and was 0.85 at 77 degrees": (
        "winding_temperature", {"hot_ohms": 1.2, "cold_ohms": 0.85, "cold_temperature": 77},
    ),
    "uf from 6.1 amps and 370 volts": ("capacitance_under_load", {"herm_amps": 6.1, "herm_volts": 370}),
    "amps i should see through a 45 at 370": ("capacitor_amps", {"marked_herm": 45, "herm_volts": 370}),
    "what superheat do i want wet bulb is 68 and its 88 out": ("target_superheat", {"wet_bulb": 68, "outdoor": 88}),
    "what should suction be on 410 at a 40 coil": ("saturation_pressure", {"refrigerant": "R-410A", "temperature": 40}),
    "what should the standing pressure be at 90 degrees r22": (
        "saturation_pressure", {"refrigerant": "R-22", "temperature": 90},
    ),
    "should standing pressure be 255 at 85 with 410a": (
        "equalised_pressure", {"standing_pressure": 255, "outdoor": 85, "refrigerant": "R-410A"},
    ),
    "whats 225 psi on 22": ("saturation_temperature", {"pressure": 225, "refrigerant": "R-22"}),
    "discharge line at 240 on 410 is that hot": (
        "discharge_temperature", {"discharge_line_temp": 240, "refrigerant": "R-410A"},
    ),
    "capacity 1200 cfm 80 67 in 60 58 out": (
        "total_capacity",
        {"airflow": 1200, "return_air": 80, "wet_bulb": 67, "supply_air": 60, "supply_wet_bulb": 58},
    ),
    "how long should i rest its 100 degrees in full sun heavy work 40 percent humidity": (
        "heat_index", {"shade_air": 100, "air_humidity": 40, "sun": "full_sun", "effort": "heavy"},
    ),
}  # fmt: skip


@pytest.mark.parametrize("note", ASKED)
def test_a_question_is_heard_with_its_inputs_and_as_nothing_else(note: str) -> None:
    about, given = ASKED[note]
    found = understand(note, KB).heard
    assert [(item.kind, item.about) for item in found] == [(Kind.REQUEST, about)]
    assert inputs(found[0]) == given


@pytest.mark.parametrize(
    ("note", "about"),
    [
        ("how much drop across the drier is too much", "drier_drop"),
        ("whats the limit on contact drop", "contact_drop"),
        ("how much drop is allowed across a contact", "contact_drop"),
        ("whats a normal compression ratio", "compression_ratio"),
        ("whats a normal superheat for a txv", "superheat"),
        ("how much imbalance is allowed", "voltage_unbalance"),
        ("whats a normal discharge temp for 410a", "discharge_temperature"),
        ("how many degrees over ambient should the condenser be", "condensing_over_ambient"),
    ],
)  # fmt: skip
def test_what_is_usual_of_a_calculation_is_asked_without_a_number(note: str, about: str) -> None:
    (item,) = understand(note, KB).heard
    assert (item.kind, item.about, item.text) == (Kind.REQUEST, about, "limit")


@pytest.mark.parametrize(
    ("note", "about", "value"),
    [
        ("drier in 95 out 90", "drier", 5), ("drier is 98 going in and 92 coming out", "drier", 6),
        ("drier reads 95 in and 88 out", "drier", 7),
        ("reversing valve common suction 65 tube 50", "reversing_valve", 15),
        ("reversing valve common suction is 68 and coil tube is 52", "reversing_valve", 16),
    ],
)  # fmt: skip
def test_two_temperatures_told_are_a_reading_of_their_difference(note: str, about: str, value: float) -> None:
    (item,) = understand(note, KB).heard
    assert (item.kind, item.about, item.quantity) == (Kind.READING, about, "temperature_difference")
    assert (item.value, item.doubts) == (value, ())


def test_a_drier_that_gets_warmer_is_worked_out_and_not_logged() -> None:
    (item,) = understand("drier in 88 out 95", KB).heard
    assert (item.kind, item.about) == (Kind.REQUEST, "drier_drop")


@pytest.mark.parametrize(
    ("note", "name"),
    [
        ("is r32 flammable", "R-32"), ("whats in r407c", "R-407C"), ("what group is 454b", "R-454B"),
        ("can i put 454b in a 410a unit", "R-454B"), ("whats the glide of 407c", "R-407C"), ("whats r32", "R-32"),
        ("what is the composition of four ten a", "R-410A"),
    ],
)  # fmt: skip
def test_what_a_refrigerant_is_is_a_question_and_no_plate(note: str, name: str) -> None:
    (item,) = understand(note, KB).heard
    assert (item.kind, item.about, item.text) == (Kind.REQUEST, "refrigerant_facts", name)


@pytest.mark.parametrize(
    ("note", "value", "to"),
    [
        ("convert 35 celsius to fahrenheit", 95, "°F"), ("what is 800 kpa in psi", 116.03, "psig"),
        ("what is 10 bar in psi", 145.04, "psig"), ("convert 100 psi", 100, None),
        ("12 c in f", 53.6, "°F"), ("whats 3 bar", 43.51, None),
    ],
)  # fmt: skip
def test_a_value_is_converted(note: str, value: float, to: str | None) -> None:
    """100 kPa = 1 bar = 14.504 psi: SI brochure and the definition of the pound, see ``unit_definitions``."""
    (item,) = understand(note, KB).heard
    assert (item.kind, item.about, item.text) == (Kind.REQUEST, "convert", to)
    assert item.value == pytest.approx(value, abs=0.01)


NO_READING = (
    "45 uf reading 41.5 bad or ok", "is a 40 amp fuse too big for mocp 35", "is 10 gauge ok for 35 mca",
    "whats a normal head pressure at 95 degrees on 410a",
    "can i use 12 gauge for 25 amps", "which one is 24 volts", "is the fan supposed to pull 2 amps",
    "can i run it at 250 volts", "does a 3 ton pull 15 amps", "what if it was 80 degrees", "will a 40 amp breaker do",
    "vapor pressure 70 on 22 whats the temp", "suction should be what at 75 return 410a",
    "wet bulb from 78 and 50 percent", "discharge time 45 uf 20k", "resistance hot 2.9 cold 2.4 at 75",
    "how come 240 volts", "which gauge pressure is freezing for 410a", "should i see 24 volts there",
)  # fmt: skip


@pytest.mark.parametrize("note", NO_READING)
def test_a_number_in_a_question_is_never_a_reading(note: str) -> None:
    for item in understand(note, KB).heard:
        assert item.kind not in {Kind.READING, Kind.PLATE} or not item.usable, item


@pytest.mark.parametrize(
    ("note", "values"),
    [
        ("what should herm read? i got 38 on herm", [38]), ("which is 240 at the line side, i measured 240", [240]),
        ("got 240 at the line side", [240]),
    ],
)  # fmt: skip
def test_a_report_behind_a_question_is_still_a_reading(note: str, values: list[float]) -> None:
    readings = [item.value for item in understand(note, KB).heard if item.kind is Kind.READING]
    assert readings == values


def test_a_unit_said_once_holds_for_both() -> None:
    heard = understand("poles read 60 and 100 millivolts", KB).heard
    assert [item.value for item in heard] == [0.06, 0.1]


def test_of_two_loads_neither_is_taken_for_all() -> None:
    note = "is the 40 va transformer overloaded with a 9 va coil and 20 va on the board"
    (item,) = [one for one in understand(note, KB).heard if one.about == "transformer_loading"]
    assert inputs(item) == {"transformer_va": 40}


@pytest.mark.parametrize(("note", "text"), [
    ("can i put a 440 in for a 370", " 440 for  370"), ("can i use a 50 for a 45 5", "50 for 45/5"),
    ("can i use a 45 5 440 for a 45 5 370", "45/5 440 for 45/5 370"),
])  # fmt: skip
def test_a_part_that_may_replace_another_is_not_the_plate(note: str, text: str) -> None:
    (item,) = understand(note, KB).heard
    assert (item.about, item.text) == ("replacement", text)


def test_pounds_bring_fahrenheit_with_them_for_who_works_in_si() -> None:
    (item,) = understand("superheat 118 psi 52 line 410a", KB, Context(metric=True)).heard
    assert inputs(item)["suction_line"] == 52
    (item,) = understand("superheat 814 kpa 11 line 410a", KB, Context(metric=True)).heard
    assert inputs(item)["suction_line"] == pytest.approx(51.8)


def test_the_return_behind_its_wet_bulb_is_the_air() -> None:
    last = understand("wet bulb 64", KB).heard
    heard = understand("return 76 supply 58", KB, Context(last=last)).heard
    assert {item.about: item.value for item in heard} == {"return_air": 76, "supply_air": 58}


def test_volts_of_a_capacitor_may_be_its_print_or_a_reading() -> None:
    (item,) = understand("capacitor voltage 440", KB).heard
    assert Doubt.AMBIGUOUS in item.doubts
    assert {(one.kind, one.about) for one in item.options} == {
        (Kind.PLATE, "cap_volts"), (Kind.READING, "cap_herm_terminals"),
    }  # fmt: skip

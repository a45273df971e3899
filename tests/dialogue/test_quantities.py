"""Units: the data says exactly what the definitions say, and a value means the same in either system."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.dialogue.numbers import amount
from assistant.dialogue.quantities import System, judge_in, limit_in, shown, shown_unit, shown_value
from assistant.language.models import Kind
from assistant.language.understand import understand
from assistant.physics.units import UNITS, convert
from assistant.reasoning.limits import LimitResult, judge, limit_for
from knowledge.base import load
from knowledge.models.quantity import UnitWord

KB = load()
SYMBOLS = {
    "psig": "psi",
    "psia": "psi",
    "in. w.c.": "inWC",
    "cfm": "CFM",
    "cfm/ton": "CFM/ton",
    "Btu/h": "BTU/h",
    "tons": "ton",
    "% RH": "%",
}
"""Symbols of the knowledge that the definitions have under another name."""
WITHOUT_DIMENSION = {"ratio", "seasonal_rating", "wire_gauge"}
"""One unit only; nothing to convert."""
MEASURED = [q for q in KB.quantities.values() if q.id not in WITHOUT_DIMENSION]
EVERY_UNIT = [(q.id, unit) for q in MEASURED for unit in q.units]
PLATE = {"cap_herm_uf": 45.0, "cap_fan_uf": 5.0, "rated_voltage": 230.0, "rla": 16.7, "lra": 112.0, "fan_fla": 1.0}
steady = settings(derandomize=True, deadline=None, max_examples=150)


def defined(quantity: str, symbol: str) -> str:
    name = SYMBOLS.get(symbol, symbol)
    return f"{name} difference" if quantity == "temperature_difference" and name != "K" else name


@pytest.mark.parametrize(("quantity", "unit"), EVERY_UNIT, ids=lambda x: getattr(x, "symbol", x))
def test_every_factor_of_the_knowledge_is_the_defined_one(quantity: str, unit: UnitWord) -> None:
    """Source: unit_definitions (from memory), through assistant/physics/units.py."""
    canonical = defined(quantity, KB.quantities[quantity].unit)
    for value in (0.0, 1.0, 100.0):
        wanted = convert(value, defined(quantity, unit.symbol), canonical)
        assert value * unit.factor + unit.offset == pytest.approx(wanted, rel=1e-12, abs=1e-12)


def test_every_quantity_of_the_knowledge_measures_one_thing() -> None:
    assert all(len(KB.quantities[name].units) == 1 for name in WITHOUT_DIMENSION)
    for quantity in MEASURED:
        assert len({UNITS[defined(quantity.id, unit.symbol)].measures for unit in quantity.units}) == 1, quantity.id


@pytest.mark.parametrize(
    ("quantity", "value", "us", "si"),
    [
        ("temperature", 120, "120 °F (49 °C)", "48.9 °C (120 °F)"),
        ("temperature", -40, "-40 °F (-40 °C)", "-40 °C (-40 °F)"),
        ("temperature_difference", 18, "18 °F (10 °C)", "10 °C (18 °F)"),
        ("pressure", 118, "118 psig (810 kPa)", "814 kPa (118 psig)"),
        ("pressure", 174.0453, "174 psig (1200 kPa)", "1200 kPa (174 psig)"),
        ("airflow", 1200, "1200 cfm", "566 L/s"),
        ("heat_flow", 36000, "36000 Btu/h (10.55 kW)", "10.55 kW (36000 Btu/h)"),
        ("static_pressure", 0.5, "0.5 in. w.c.", "125 Pa"),
        ("capacitance", 38.2, "38.2 µF", "38.2 µF"),
        ("resistance", 2e6, "2 MΩ", "2 MΩ"),
    ],
)
def test_value_is_shown_in_the_unit_of_the_technician_with_the_other_behind(
    quantity: str, value: float, us: str, si: str
) -> None:
    assert shown(KB, quantity, value, both=True) == us
    assert shown(KB, quantity, value, "si", both=True) == si


def test_amount_without_a_system_reads_as_it_always_did() -> None:
    assert amount(KB, "temperature", 97) == "97 °F"
    assert amount(KB, "temperature", 97, system="si") == "36.1 °C"
    assert amount(KB, "resistance", None, system="si") == "OL"


@pytest.mark.parametrize("system", ["us", "si"])
@pytest.mark.parametrize("quantity", sorted(KB.quantities))
@steady
@given(share=st.floats(0, 1))
def test_value_told_in_a_unit_is_shown_as_it_was_told(quantity: str, system: System, share: float) -> None:
    """Told with the digits that this kind of reading has."""
    entry, unit = KB.quantities[quantity], shown_unit(KB, quantity, system)
    low, high = (shown_value(KB, quantity, bound, system) for bound in entry.plausible)
    told = round(low + share * (high - low), 1 if system == "us" else max(0, entry.decimals))
    canonical = told * unit.factor + unit.offset
    text = shown(KB, quantity, canonical, system)
    if quantity not in {"resistance", "vacuum"}:  # shown with kilo and mega; no finer than a digit
        step = max(0.05, abs(told) * 0.005) + 10.0**-entry.decimals / unit.factor
        assert float(text.split()[0]) == pytest.approx(told, abs=step)


def limits_with_two_units() -> list[LimitResult]:
    found = [limit_for(KB, limit_id, PLATE) for limit_id in KB.limits]
    return [limit for limit in found if limit is not None and limit_in(KB, limit, "si") is not limit]


@pytest.mark.parametrize("limit", limits_with_two_units(), ids=lambda limit: limit.id)
@steady
@given(value=st.floats(-40, 400))
def test_the_same_reading_gets_the_same_verdict_in_si(limit: LimitResult, value: float) -> None:
    here = judge(limit, value)
    in_si = judge(limit_in(KB, limit, "si"), shown_value(KB, limit.quantity, value, "si"))
    told = judge_in(KB, limit, value, "si")
    assert (told.word, told.ok) == (here.word, here.ok)
    names = ("low", "high", "warn_low", "warn_high", "far_high", "certain_low", "certain_high")
    bounds = [bound for bound in (getattr(limit, name) for name in names) if bound is not None]
    reach = abs(value) * limit.meter_pct / 100 + limit.meter_abs
    near = min((abs(value + by - bound) for bound in bounds for by in (-reach, 0, reach)), default=1.0)
    if near > 1e-6:  # exactly on a bound the last digit of a float decides
        assert (in_si.word, in_si.ok) == (here.word, here.ok)
    assert f" {shown_unit(KB, limit.quantity, 'si').symbol}" in told.sentence


def test_percent_of_reading_is_never_a_temperatures_error() -> None:
    """2 % of 100 °F and 2 % of 38 °C are not the same error."""
    assert all(limit.meter_pct == 0 for limit in limits_with_two_units() if limit.quantity == "temperature")


def test_windows_read_in_the_unit_of_the_technician() -> None:
    windows = {limit.id: limit_in(KB, limit, "si").window for limit in limits_with_two_units()}
    assert windows["air_split"] == "8.9 to 12.2 °C"
    assert windows["shell_for_ohms"] == "up to 48.9 °C"
    assert judge_in(KB, next(x for x in limits_with_two_units() if x.id == "air_split"), 18, "si").sentence.startswith(
        "10 °C: in range, 8.9 to 12.2 °C"
    )


READINGS = [
    ("air_split", "split is {value} {unit}", "temperature_difference", 4, 40),
    ("compressor_shell", "shell is {value} {unit}", "temperature", 60, 300),
    ("outdoor_air", "outdoor air {value} {unit}", "temperature", 60, 125),
    ("standing_pressure", "standing pressure {value} {unit}", "pressure", 20, 400),
]


@pytest.mark.parametrize(("about", "note", "quantity", "low", "high"), READINGS)
@steady
@given(share=st.floats(0, 1), data=st.data())
def test_a_note_in_any_unit_means_the_same_reading(
    about: str, note: str, quantity: str, low: float, high: float, share: float, data: st.DataObject
) -> None:
    canonical = low + share * (high - low)
    unit = data.draw(st.sampled_from(KB.quantities[quantity].units))
    word = data.draw(st.sampled_from([w for w in TOLD[unit.symbol] if w]))
    value = round((canonical - unit.offset) / unit.factor, 2)
    heard = understand(note.format(value=value, unit=word), KB)
    readings = [item for item in heard.heard if item.kind is Kind.READING]
    assert [(item.about, item.quantity) for item in readings] == [(about, quantity)]
    assert readings[0].value == pytest.approx(value * unit.factor + unit.offset, rel=1e-9)


TOLD = {
    "°F": ("degrees f", "f", "fahrenheit"),
    "K": ("kelvin", "kelvins"),
    "°C": ("degrees c", "c", "celsius"),
    "psig": ("psi", "psig"),
    "kPa": ("kpa", "kilopascals"),
    "MPa": ("mpa", "megapascal"),
    "bar": ("bar",),
}

"""Unbalance, conductors, meter errors, unit conversion, cooling: what must hold for every value."""

from __future__ import annotations

from math import exp, log

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from assistant.physics import electricity as el
from assistant.physics import units
from assistant.physics.errors import OutsideValidity
from assistant.physics.heat import adjusted_air_f, fit_cooling, minutes_to_band

UF = st.floats(0.5, 400)
VOLTS = st.floats(100, 600)
AMPS = st.floats(0.1, 200)
SMALL_OHMS = st.floats(0.3, 100)
PHASE = st.floats(1, 600)
LEGS = st.tuples(PHASE, PHASE, PHASE)


@given(st.floats(0.5, 20), VOLTS, st.floats(0, 5), st.floats(0, 5), st.floats(-1, 1), st.floats(-1, 1))
def test_capacitance_band_holds_the_truth_for_every_error_within_the_meters(
    amps: float, volts: float, amp_pct: float, volt_pct: float, amp_share: float, volt_share: float
) -> None:
    true_a, true_v = amps * (1 + amp_pct / 100 * amp_share), volts * (1 + volt_pct / 100 * volt_share)
    low, high = el.capacitance_band_uf(amps, volts, 60, amp_pct, volt_pct)
    assert low * (1 - 1e-9) <= el.capacitance_uf(true_a, true_v, 60) <= high * (1 + 1e-9)


@given(st.tuples(*[st.floats(200, 240)] * 3), st.tuples(*[st.floats(-1, 1)] * 3), st.floats(0, 0.5))
def test_unbalance_band_holds_the_truth_to_first_order(
    legs: tuple[float, float, float], shares: tuple[float, float, float], error_pct: float
) -> None:
    true = [leg * (1 + error_pct / 100 * share) for leg, share in zip(legs, shares, strict=True)]
    low, high = el.unbalance_band_pct(legs, error_pct)
    slack = 0.4 * error_pct + 1e-9  # what first order leaves out at 20 % unbalance
    assert low - slack <= el.unbalance_pct(*true) <= high + slack


@given(LEGS)
def test_an_odd_leg_is_found_in_the_motor_or_in_the_supply(legs: tuple[float, float, float]) -> None:
    assume(el.unbalance_pct(*legs) > 10)
    deviations = sorted(abs(leg - sum(legs) / 3) for leg in legs)
    assume(deviations[2] - deviations[1] > 0.01 * sum(legs))
    moved = (legs[2], legs[0], legs[1])
    assert el.unbalance_origin(legs, moved, 5) is el.Origin.MOTOR
    assert el.unbalance_origin(legs, legs, 5) is el.Origin.SUPPLY
    back = (legs[1], legs[2], legs[0])  # moved the wrong way: nothing is concluded
    assert el.unbalance_origin(legs, back, 5) is el.Origin.UNCLEAR
    assert el.unbalance_origin((5, 5, 5), moved, 5) is el.Origin.UNCLEAR
    assert el.odd_leg(*moved) == (el.odd_leg(*legs) + 1) % 3


CURVE = ((0.0, 1.0), (1.0, 1.0), (2.0, 0.95), (3.0, 0.88), (4.0, 0.82), (5.0, 0.75))


@given(st.floats(0, 5), st.floats(0, 5))
def test_derating_never_gives_more_for_more_unbalance(one: float, other: float) -> None:
    low, high = sorted((one, other))
    assert 0.75 <= el.derating_share(high, CURVE) <= el.derating_share(low, CURVE) <= 1


@given(st.integers(-3, 38))
def test_three_gauges_halve_the_copper(gauge: int) -> None:
    assert el.gauge_area_mm2(gauge) / el.gauge_area_mm2(gauge + 1) == pytest.approx(92 ** (2 / 39))
    assert el.gauge_area_mm2(gauge) > el.gauge_area_mm2(gauge + 1)


@given(AMPS, st.floats(0, 200), st.floats(0.1, 100), st.floats(-20, 90))
def test_a_three_phase_circuit_drops_less_than_a_single_phase_one(
    amps: float, length_m: float, area: float, temp_c: float
) -> None:
    ohm = el.conductor_ohm_per_m(area, temp_c)
    single, three = (el.circuit_drop_v(amps, length_m, ohm, circuit) for circuit in el.Circuit)
    assert three == pytest.approx(single * 3**0.5 / 2)


@given(st.lists(st.tuples(UF, st.floats(0, 20)), min_size=1, max_size=4))
def test_parallel_tolerance_lies_between_the_best_and_the_worst_section(sections: list[tuple[float, float]]) -> None:
    values, tolerances = zip(*sections, strict=True)
    together = el.parallel_tolerance_pct(values, tolerances)
    assert min(tolerances) - 1e-9 <= together <= max(tolerances) + 1e-9


@given(SMALL_OHMS, st.floats(0, 60), st.floats(60, 150), st.floats(0, 0.05), st.floats(-1, 1), st.floats(-1, 1))
def test_winding_band_holds_the_truth_for_every_error_of_the_leads(
    ohm: float, cold_c: float, now_c: float, error: float, cold_share: float, now_share: float
) -> None:
    now = el.copper_resistance_ohm(ohm, cold_c, now_c)
    low, high = el.copper_temperature_band_c(ohm, cold_c, now, error)
    try:
        true = el.copper_temperature_c(ohm + error * cold_share, cold_c, now + error * now_share)
    except OutsideValidity:
        return
    assert low - 1e-6 <= true <= high + 1e-6


def _same_kind() -> list[tuple[str, str]]:
    kinds: dict[str, list[str]] = {}
    for symbol, unit in units.UNITS.items():
        kinds.setdefault(unit.measures, []).append(symbol)
    return [(a, b) for symbols in kinds.values() for a in symbols for b in symbols if a < b]


@pytest.mark.parametrize(("one", "other"), _same_kind(), ids=str)
@given(value=st.floats(-1e4, 1e4))
def test_every_unit_converts_there_and_back(one: str, other: str, value: float) -> None:
    there = units.convert(value, one, other)
    assert units.convert(there, other, one) == pytest.approx(value, rel=1e-12, abs=1e-9)
    assert units.convert(value, one, one) == value


@given(st.sampled_from(sorted(units.UNITS)), st.sampled_from(sorted(units.UNITS)))
def test_units_of_different_things_are_never_mixed(one: str, other: str) -> None:
    if units.UNITS[one].measures == units.UNITS[other].measures:
        assert units.convert(1.0, one, other) == units.convert(1.0, one, other)
        return
    with pytest.raises(units.MixedUnits, match="must measure the same"):
        units.convert(1.0, one, other)


def test_a_temperature_is_no_difference_and_an_unknown_unit_is_named() -> None:
    with pytest.raises(units.MixedUnits, match="temperature difference"):
        units.convert(10, "°C", "°F difference")
    with pytest.raises(units.MixedUnits, match="'furlong' is no unit known here"):
        units.convert(10, "furlong", "m")
    assert units.convert(10, "K", "°F difference") == pytest.approx(18)


def test_later_readings_narrow_the_cool_down_forecast() -> None:
    air_f, over_f, tau_min = 95, 115, 55
    width = float("inf")
    for last in (30, 45, 60, 75):
        times = [float(t) for t in range(0, last + 1, 15)]
        temps = [air_f + over_f * exp(-t / tau_min) for t in times]
        fit = fit_cooling(times, temps, air_f, min_readings=3, min_span_min=20, min_excess_f=15)
        early, late = minutes_to_band(fit, 120, read_error_f=1)
        assert early < tau_min * log(over_f / 25) < late
        assert late - early < width
        width = late - early


ADDITIONS = ((10.0, -8.0), (20.0, -4.0), (30.0, 0.0), (40.0, 3.0), (50.0, 6.0), (60.0, 9.0))


@given(st.floats(60, 125), st.floats(10, 59), st.floats(0, 13))
def test_adjusted_air_rises_with_humidity_and_sun(temp_f: float, humidity: float, sun_f: float) -> None:
    here = adjusted_air_f(temp_f, humidity, sun_f, ADDITIONS)
    assert here < adjusted_air_f(temp_f, humidity + 1, sun_f, ADDITIONS)
    assert here - temp_f <= sun_f + 9


@pytest.mark.parametrize(
    ("function", "args", "names"),
    [
        (el.capacitance_band_uf, (5, 345, 60, 20, 1), "0 to 10 %"),
        (el.parallel_tolerance_pct, ([40], [6, 10]), "equally many"),
        (el.unbalance_band_pct, ((230, 230, 230), 6), "0 to 5 %"),
        (el.derating_share, (5.1, CURVE), "0 to 5 %"),
        (el.derating_share, (1, ((1, 1),)), "at least 2 rows"),
        (el.unbalance_heating_pct, (8,), "0 to 5 %"),
        (el.three_phase_power_w, (208, 10, 1.2), "0 to 1"),
        (el.single_phase_power_w, (240, 10, -0.1), "0 to 1"),
        (el.loading_pct, ([], 40), "at least 1"),
        (el.class_2_device_ceiling_a, (100, 31), "0 to 30 V"),
        (el.above_lowest_pct, ([60],), "at least 2"),
        (el.starting_torque_share, (260, 230), "0 to 253 V"),
        (el.overload_ceiling_a, (16.7, 300), "100 to 200 %"),
        (el.assumed_locked_rotor_a, (6, 20), "1 to 10"),
        (el.gauge_area_mm2, (50,), "-3 to 40"),
        (el.conductor_ohm_per_m, (500, 20), "0.05 to 100"),
        (el.smallest_conductor, (200, {"10": 30, "8": 40}), "at most 40 A"),
        (el.copper_temperature_band_c, (0.05, 25, 1.1, 0.1), "above 0.1"),
        (el.winding_spread_pct, (0, 1, 1), "above 0 Ω"),
        (adjusted_air_f, (90, 80, 13, ADDITIONS), "10 to 60 %"),
        (adjusted_air_f, (40, 50, 13, ADDITIONS), "60 to 125 °F"),
    ],
    ids=lambda x: getattr(x, "__name__", None),
)
def test_input_outside_the_range_of_a_table_or_figure_is_refused(
    function: object, args: tuple[object, ...], names: str
) -> None:
    assert callable(function)
    with pytest.raises(OutsideValidity, match=names):
        function(*args)

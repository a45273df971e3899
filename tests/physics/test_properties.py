"""What must hold for every value, not only for the published ones."""

from __future__ import annotations

import random
from math import exp, inf, log, nan

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from assistant.physics import electricity as el
from assistant.physics import units
from assistant.physics.errors import OutsideValidity, PhysicsError
from assistant.physics.heat import fit_cooling, heat_index_f, minutes_to_band

UF = st.floats(0.5, 400)
VOLTS = st.floats(100, 600)
OHMS = st.floats(100, 1e7)
AMPS = st.floats(0.1, 200)
SMALL_OHMS = st.floats(0.3, 100)
PHASE = st.floats(1, 600)


@given(UF, VOLTS, st.sampled_from([50.0, 60.0]))
def test_capacitance_from_its_own_current_is_itself(c: float, v: float, f: float) -> None:
    assert el.capacitance_uf(el.capacitor_current_a(c, v, f), v, f) == pytest.approx(c)


@given(UF, OHMS, VOLTS, st.floats(1, 100))
def test_discharge_takes_longer_with_more_of_anything_and_for_less_left(
    c: float, r: float, v: float, target: float
) -> None:
    t = el.discharge_time_s(c, r, v, target)
    assert el.discharge_time_s(c * 1.1, r, v, target) > t
    assert el.discharge_time_s(c, r * 1.1, v, target) > t
    assert el.discharge_time_s(c, r, v * 1.1, target) > t
    assert el.discharge_time_s(c, r, v, target * 1.1) < t


@given(UF, OHMS, VOLTS, st.floats(1, 100))
def test_discharge_leaves_exactly_the_target(c: float, r: float, v: float, target: float) -> None:
    t = el.discharge_time_s(c, r, v, target)
    assert el.crest_v(v) * exp(-t / (r * c * 1e-6)) == pytest.approx(target)
    assert el.largest_discharge_resistor_ohm(c, v, target, t) == pytest.approx(r)


@given(UF, VOLTS, OHMS)
def test_discharge_resistor_turns_all_stored_energy_into_heat(c: float, v: float, r: float) -> None:
    tau_s = r * c * 1e-6
    assert el.resistor_peak_power_w(v, r) * tau_s / 2 == pytest.approx(el.stored_energy_j(c, v))


def test_discharge_needs_no_time_below_the_target_and_has_no_largest_resistor() -> None:
    assert el.discharge_time_s(45, 20000, 24, 50) == 0
    with pytest.raises(OutsideValidity, match="below the crest of 33"):
        el.largest_discharge_resistor_ohm(45, 24, 50, 60)


@given(st.lists(UF, min_size=2, max_size=4))
def test_series_is_less_than_the_least_and_parallel_more_than_the_most(sections: list[float]) -> None:
    assert el.series_uf(*sections) < min(sections)
    assert el.parallel_uf(*sections) > max(sections)


@given(UF, st.floats(0, 20))
def test_marking_lies_in_the_middle_of_its_bounds(c: float, tolerance: float) -> None:
    low, high = el.capacitance_bounds_uf(c, tolerance)
    assert low <= c <= high
    assert (low + high) / 2 == pytest.approx(c)


@given(PHASE, PHASE, PHASE, st.floats(0.01, 100))
def test_unbalance_does_not_change_with_scale_or_order(a: float, b: float, c: float, scale: float) -> None:
    unbalance = el.unbalance_pct(a, b, c)
    assert el.unbalance_pct(a * scale, b * scale, c * scale) == pytest.approx(unbalance, abs=1e-9)
    assert el.unbalance_pct(c, a, b) == pytest.approx(unbalance, abs=1e-9)
    assert el.unbalance_pct(a, a, a) == pytest.approx(0, abs=1e-9)
    assert 0 <= unbalance <= 200


@given(VOLTS, st.floats(0, 0.5), AMPS)
def test_drop_and_impedance_tell_the_same_story(rest: float, part: float, amps: float) -> None:
    loaded = rest * (1 - part)
    ohm = el.source_impedance_ohm(rest, loaded, amps)
    assert ohm * amps == pytest.approx(rest * el.voltage_drop_pct(rest, loaded) / 100, abs=1e-9)
    assert el.contact_heat_w(rest - loaded, amps) == pytest.approx(ohm * amps**2, abs=1e-9)


@given(st.lists(AMPS, min_size=1, max_size=4), st.floats(100, 200))
def test_circuit_ampacity_is_between_the_sum_and_its_percentage(currents: list[float], pct: float) -> None:
    mca = el.minimum_circuit_ampacity_a(currents, pct)
    assert sum(currents) * (1 - 1e-9) <= mca <= sum(currents) * pct / 100 * (1 + 1e-9)


@given(st.floats(15, 250))
def test_standard_size_down_and_up_enclose_the_calculated_value(amps: float) -> None:
    sizes = [15, 20, 30, 60, 100, 250]
    down, up = el.next_size_down_a(amps, sizes), el.next_size_up_a(amps, sizes)
    assert down <= amps <= up
    assert down in sizes
    assert up in sizes


@given(SMALL_OHMS, SMALL_OHMS, st.permutations(range(3)))
def test_three_readings_that_add_up_are_ok_only_under_their_own_names(
    run: float, start: float, order: list[int]
) -> None:
    assume(run * 1.2 + 0.5 < start < run * 8)  # closer than the band nobody can name the pins
    pairs = [run, start, run + start]
    c_r, c_s, s_r = (pairs[place] for place in order)
    state = el.windings_from_ohms(c_r, c_s, s_r, band_ohm=0.2, band_pct=5)
    if order == [0, 1, 2]:
        assert state is el.Windings.OK
    elif order == [1, 0, 2]:
        assert state is el.Windings.START_RUN_SWAPPED
    else:
        assert state is el.Windings.COMMON_MISNAMED


@given(st.tuples(*[st.none() | st.floats(0, 1e6)] * 3))
def test_any_three_readings_get_a_state_and_one_open_pair_is_never_believed(
    pairs: tuple[float | None, float | None, float | None],
) -> None:
    state = el.windings_from_ohms(*pairs, band_ohm=0.2, band_pct=5)
    assert state in el.Windings
    if pairs.count(None) == 1:
        assert state is el.Windings.CONTRADICTORY


def test_shorted_windings_that_add_up_are_not_called_sound() -> None:
    assert el.windings_from_ohms(0.0, 0.0, 0.0, 0.2, 5) is el.Windings.NEAR_ZERO
    assert el.windings_from_ohms(0.1, 2.4, 2.5, 0.2, 5) is el.Windings.NEAR_ZERO


@given(SMALL_OHMS, st.floats(-40, 60), st.floats(-40, 190))
def test_copper_thermometer_reads_back_the_temperature(ohm: float, cold_c: float, now_c: float) -> None:
    now = el.copper_resistance_ohm(ohm, cold_c, now_c)
    assert el.copper_temperature_c(ohm, cold_c, now) == pytest.approx(now_c, abs=1e-6)
    assert (now > ohm) == (now_c > cold_c) or now == pytest.approx(ohm)


@given(st.floats(1e3, 1e12), st.floats(0, 90))
def test_insulation_halves_for_every_ten_kelvin(ohm: float, temp_c: float) -> None:
    warm, cool = el.insulation_at_40_c_ohm(ohm, temp_c + 10), el.insulation_at_40_c_ohm(ohm, temp_c)
    assert warm == pytest.approx(2 * cool)


ROUND_TRIPS = (
    (units.celsius_from_fahrenheit, units.fahrenheit_from_celsius),
    (units.kelvin_difference, units.fahrenheit_difference),
    (units.kpa_from_psi, units.psi_from_kpa),
    (units.bar_from_psi, units.psi_from_bar),
    (units.mpa_from_psi, units.psi_from_mpa),
)


@pytest.mark.parametrize(("there", "back"), ROUND_TRIPS, ids=lambda f: f.__name__)
@given(value=st.floats(-1e4, 1e4))
def test_units_come_back_unchanged(there: object, back: object, value: float) -> None:
    assert callable(there)
    assert callable(back)
    assert back(there(value)) == pytest.approx(value, abs=1e-9)
    assert there(back(value)) == pytest.approx(value, abs=1e-9)


CLOCK = st.lists(st.integers(0, 90), min_size=3, unique=True)


@given(st.floats(60, 110), st.floats(60, 200), st.floats(10, 120), CLOCK)
def test_fit_recovers_time_constant_and_start_from_exact_readings(
    air_f: float, over_f: float, tau_min: float, clock: list[int]
) -> None:
    times = [float(t) for t in clock]
    assume(max(times) - min(times) >= 20)
    temps = [air_f + over_f * exp(-t / tau_min) for t in times]
    assume(min(temps) - air_f > 0.01)
    fit = fit_cooling(times, temps, air_f, min_readings=3, min_span_min=20, min_excess_f=0)
    assert fit.tau_min == pytest.approx(tau_min, rel=1e-5)
    assert fit.start_f == pytest.approx(air_f + over_f, rel=1e-5)
    target = air_f + over_f / 4
    assert fit.minutes_to(target) == pytest.approx(tau_min * log(4), rel=1e-5)
    early, late = minutes_to_band(fit, target, read_error_f=0)
    assert (early, late) == pytest.approx((fit.minutes_to(target),) * 2, rel=1e-3)


def test_forecast_band_holds_the_truth_in_nineteen_of_twenty_simulated_visits() -> None:
    """Thermometers off by 1 °F (one standard deviation) on shell and air; two standard errors claim 95 %."""
    rng = random.Random(20)  # noqa: S311  # a fixed simulation
    air_f, over_f, tau_min, target_f = 95, 115, 55, 120
    truth = tau_min * log(over_f / (target_f - air_f))
    hits = 0
    for _ in range(400):
        times = [0, 15, 30, 45]
        temps = [air_f + over_f * exp(-t / tau_min) + rng.gauss(0, 1) for t in times]
        measured_air_f = air_f + rng.gauss(0, 1)
        fit = fit_cooling(times, temps, measured_air_f, min_readings=3, min_span_min=20, min_excess_f=15)
        early, late = minutes_to_band(fit, target_f, read_error_f=1)
        hits += early <= truth <= late
    assert 370 <= hits < 400


def test_scatter_of_three_readings_counts_as_one_degree_of_freedom() -> None:
    fit = fit_cooling([0, 15, 30], [208, 183, 158], 95, min_readings=3, min_span_min=20, min_excess_f=15)
    squares = [(t - fit.temperature_f(m)) ** 2 for m, t in zip(fit.minutes, fit.temps_f, strict=True)]
    assert fit.residual_f == pytest.approx(sum(squares) ** 0.5)
    assert fit.largest_residual_f == pytest.approx(max(squares) ** 0.5)
    assert fit.residual_f > 1


def test_forecast_band_is_wider_further_ahead_and_open_ended_near_air_temperature() -> None:
    fit = fit_cooling([0, 15, 30], [208, 181, 160], 95, min_readings=3, min_span_min=20, min_excess_f=15)
    near, far = (minutes_to_band(fit, t, read_error_f=1) for t in (150, 110))
    assert far[1] - far[0] > near[1] - near[0] > 0
    assert minutes_to_band(fit, 95.5, read_error_f=1)[1] == inf


@pytest.mark.parametrize(
    ("minutes", "temps", "says"),
    [
        ([0, 10], [200, 180], "2 readings: must be at least 3"),
        ([0, 5, 10], [200, 190, 180], "at least 20 min"),
        ([0, 15, 30], [150, 150, 150], "do not fall"),
        ([0, 15, 30], [150, 160, 170], "do not fall"),
        ([0, 15, 30], [150, 130, 105], "above 15 °F"),
        ([0, 15], [150, 130, 105], "equally many"),
        ([0, 15, nan], [150, 130, 120], "finite"),
    ],
)
def test_fit_refuses_readings_it_cannot_use_and_says_why(minutes: list[float], temps: list[float], says: str) -> None:
    with pytest.raises(OutsideValidity, match=says):
        fit_cooling(minutes, temps, 95, min_readings=3, min_span_min=20, min_excess_f=15)


def test_fit_never_reaches_the_air_temperature() -> None:
    fit = fit_cooling([0, 15, 30], [208, 181, 160], 95, min_readings=3, min_span_min=20, min_excess_f=15)
    with pytest.raises(OutsideValidity, match="above 95"):
        fit.minutes_to(95)


@given(st.floats(80, 110), st.floats(40, 99))
def test_heat_index_rises_with_humidity(temp_f: float, humidity_pct: float) -> None:
    assert heat_index_f(temp_f, humidity_pct + 1) > heat_index_f(temp_f, humidity_pct) - 1e-9


@given(st.floats(40, 125), st.floats(0, 100))
def test_heat_index_is_finite_in_its_whole_range(temp_f: float, humidity_pct: float) -> None:
    assert 20 < heat_index_f(temp_f, humidity_pct) < 500


REFUSED = [
    (el.capacitance_uf, (-1, 345, 60), "at least 0 A"),
    (el.capacitance_uf, (5, 0, 60), "above 0 V"),
    (el.capacitance_uf, (5, 345, inf), "above 0 Hz"),
    (el.capacitance_bounds_uf, (45, 100), "0 to 99.9 %"),
    (el.capacitance_bounds_uf, (0, 6), "above 0 µF"),
    (el.worst_case_uncertainty_pct, (2, 30), "0 to 10 %"),
    (el.series_uf, (), "at least 1"),
    (el.stored_energy_j, (nan, 370), "at least 0 µF"),
    (el.discharge_time_s, (45, 0, 440, 5), "above 0 Ω"),
    (el.voltage_drop_pct, (0, 0), "above 0 V"),
    (el.source_impedance_ohm, (240, 241, 10), "0 to 240 V"),
    (el.unbalance_pct, (0, 0, 0), "above 0"),
    (el.secondary_voltage_v, (24, 208, 0), "above 0 V"),
    (el.scaled_locked_rotor_a, (112, -1, 230), "at least 0 V"),
    (el.minimum_circuit_ampacity_a, ([], 125), "at least 1"),
    (el.maximum_protection_a, (16.7, [1.0], 400), "100 to 300 %"),
    (el.next_size_down_a, (10, [15, 20]), "15 to 20 A"),
    (el.next_size_up_a, (30, [15, 20]), "15 to 20 A"),
    (el.next_size_up_a, (30, []), "at least 1 standard size"),
    (el.insulation_at_40_c_ohm, (8e6, 140), "0 to 100 °C"),
    (el.copper_resistance_ohm, (1, 25, 400), "-50 to 200 °C"),
    (el.copper_temperature_c, (0.85, 25, 3), "-50 to 200 °C"),
    (el.windings_from_ohms, (-1, 2, 3, 0.2, 5), "at least 0 Ω"),
    (heat_index_f, (130, 40), "40 to 125 °F"),
    (heat_index_f, (90, 101), "0 to 100 %"),
]


@pytest.mark.parametrize(("function", "args", "names"), REFUSED, ids=lambda x: getattr(x, "__name__", None))
def test_input_outside_validity_is_refused_with_its_range(function: object, args: tuple[object], names: str) -> None:
    assert callable(function)
    with pytest.raises(OutsideValidity, match=names) as caught:
        function(*args)
    assert isinstance(caught.value, PhysicsError)
    assert isinstance(caught.value, ValueError)

"""Behaviour of the limits that no single case shows."""

from __future__ import annotations

from dataclasses import replace
from math import inf, nan

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.reasoning import limits
from assistant.reasoning.limits import Forecast, LimitResult, Missing, figure
from knowledge.base import load

KB = load()
PLATE = {"cap_herm_uf": 45.0, "cap_fan_uf": 5.0, "rated_voltage": 230.0, "rla": 16.7, "lra": 112.0, "fan_fla": 1.0}
READING = st.one_of(st.floats(0, 1), st.floats(0, 60), st.floats(60, 400), st.floats(0, 1e9))
steady = settings(derandomize=True, deadline=None, max_examples=200)


def limit(limit_id: str, plate: dict[str, float] | None = None) -> LimitResult:
    result = limits.limit_for(KB, limit_id, PLATE if plate is None else plate)
    assert result is not None
    return result


def ids(**question: object) -> list[tuple[str, str]]:
    found = limits.answer_limit(KB, **{"plate": PLATE, **question})  # type: ignore[arg-type]
    return [(r.id, r.window) for r in found]


# --- looking up


def test_unknown_limit_or_check_gives_none() -> None:
    assert limits.limit_for(KB, "no_such_limit", PLATE) is None
    assert limits.limit_for_check(KB, "no_such_check", PLATE) is None
    assert limits.limit_for_check(KB, "look_fan", PLATE) is None


@pytest.mark.parametrize("bad", [0.0, -45.0, nan, inf])
def test_plate_value_that_is_no_positive_number_counts_as_not_read(bad: float) -> None:
    result = limit("capacitor_herm", {"cap_herm_uf": bad})
    assert result.typical == ("cap_herm_uf",)
    assert result.assumed == ("HERM capacitance 45 µF",)


def test_plate_value_the_formula_does_not_hold_for_gives_no_window_but_a_reason() -> None:
    result = limit("capacitor_herm", {"cap_herm_uf": 45, "cap_tolerance_pct": 150})
    assert (result.low, result.high, result.window) == (None, None, "")
    assert "0 to 99.9 %" in result.problem
    assert "0 to 99.9 %" in limits.judge(result, 40).sentence


def test_check_limit_is_about_the_subject_of_the_check() -> None:
    result = limits.limit_for_check(KB, "uf_fan", PLATE)
    assert result is not None
    assert (result.about, result.window) == ("cap_fan", "4.7 to 5.3 µF")


@steady
@given(st.floats(1, 500), st.floats(1, 20))
def test_window_grows_with_tolerance_and_scales_with_the_marking(marked: float, tolerance: float) -> None:
    plate = {"cap_herm_uf": marked, "cap_tolerance_pct": tolerance}
    result = limit("capacitor_herm", plate)
    wider = limit("capacitor_herm", {**plate, "cap_tolerance_pct": tolerance + 2})
    assert result.low is not None
    assert result.high is not None
    assert wider.low is not None
    assert wider.high is not None
    assert wider.low <= result.low <= marked <= result.high <= wider.high


@steady
@given(st.floats(10, 200), st.floats(200, 500))
def test_holding_time_is_never_shorter_for_a_larger_capacitor_or_voltage(uf: float, volts: float) -> None:
    hold = limits.hold_seconds(KB, {"cap_herm_uf": uf, "cap_volts": volts})
    assert hold >= 10
    assert hold == int(hold)
    assert limits.hold_seconds(KB, {"cap_herm_uf": uf * 1.5, "cap_volts": volts}) >= hold
    assert limits.hold_seconds(KB, {"cap_herm_uf": uf, "cap_volts": volts * 1.2}) >= hold


def test_unread_voltage_is_taken_at_its_worst_beside_a_known_capacitance() -> None:
    known = limits.hold_seconds(KB, {"cap_herm_uf": 150, "cap_volts": 330})
    assert limits.hold_seconds(KB, {"cap_herm_uf": 150}) > known


# --- judging


@steady
@given(st.sampled_from(sorted(KB.limits)), READING, st.booleans())
def test_every_limit_judges_every_reading_in_words(limit_id: str, value: float, known: bool) -> None:
    verdict = limits.judge(limit(limit_id, PLATE if known else {}), value)
    assert verdict.word in {"in range", "low", "high", "borderline", "open", ""}
    assert verdict.ok is None or (verdict.ok is True) == (verdict.word == "in range")
    assert verdict.sentence.endswith((".", "?"))
    assert "None" not in verdict.sentence
    assert "{" not in verdict.sentence


@steady
@given(st.sampled_from(sorted(KB.limits)), READING, READING)
def test_a_lower_reading_is_never_called_higher(limit_id: str, one: float, other: float) -> None:
    rank = {"low": 0, "borderline": None, "in range": 1, "high": 2, "": None}
    low, high = sorted((one, other))
    ranks = [rank[limits.judge(limit(limit_id), value).word] for value in (low, high)]
    if None not in ranks:
        assert ranks == sorted(ranks, key=lambda r: r or 0)


@steady
@given(st.floats(0.1, 10), READING)
def test_a_worse_meter_never_turns_no_verdict_into_a_verdict(extra_pct: float, value: float) -> None:
    good = limit("supply_voltage")
    worse = replace(good, meter_pct=good.meter_pct + extra_pct)
    if limits.judge(good, value).word == "borderline":
        assert limits.judge(worse, value).word == "borderline"


@steady
@given(READING)
def test_assumed_plate_never_condemns_what_some_plate_would_allow(value: float) -> None:
    verdict = limits.judge(limit("capacitor_herm", {}), value)
    assert verdict.ok is not True
    if verdict.ok is False:
        for marked in (20, 30, 35, 45, 60, 80):
            assert limits.judge(limit("capacitor_herm", {"cap_herm_uf": marked}), value).ok is False


def test_assumed_plate_is_named_in_the_sentence() -> None:
    assert "typical HERM capacitance 45 µF" in limits.judge(limit("capacitor_herm", {}), 38).sentence
    assert "typical" not in limits.judge(limit("capacitor_herm"), 38).sentence


def test_over_limit_is_open_however_it_is_said_and_good_where_more_is_better() -> None:
    for verdict in (
        limits.judge(limit("coil_ohms"), None),
        limits.judge(limit("coil_ohms"), 14, over_limit=True),
        limits.judge(limit("coil_ohms"), inf),
    ):
        assert (verdict.word, verdict.ok) == ("open", False)
    assert limits.judge(limit("insulation_ohms"), None).ok is True


def test_not_a_number_is_measured_again() -> None:
    verdict = limits.judge(limit("coil_ohms"), nan)
    assert (verdict.word, verdict.ok) == ("borderline", None)


def test_zero_has_no_edge_at_a_lower_bound_of_zero() -> None:
    assert limits.judge(limit("contact_drop"), 0.0).word == "in range"
    assert limits.judge(limit("closed_ohms"), 0.0).word == "in range"


# --- figures


@pytest.mark.parametrize(
    ("value", "unit", "shown"),
    [
        (42.300000000000004, "µF", "42.3 µF"),
        (2_000_000, "Ω", "2 MΩ"),
        (4_700, "Ω", "4.7 kΩ"),
        (0.3, "V", "0.3 V"),
        (0.004, "V", "0.004 V"),
        (0, "A", "0 A"),
        (106.157, "A", "106.2 A"),
        (-0.5, "V", "-0.5 V"),
        (11.75, "µF", "11.75 µF"),
        (1e9, "V", "1000000000 V"),
        (50, "", "50"),
    ],
)
def test_figures_read_like_a_meter(value: float, unit: str, shown: str) -> None:
    assert figure(value, unit) == shown


def test_windows_are_rounded_for_reading() -> None:
    assert limit("capacitor_herm").window == "42.3 to 47.7 µF"
    assert limit("insulation_ohms").window == "at least 2 MΩ"
    assert limit("contact_drop").window == "up to 0.3 V"
    assert limit("capacitor_replacement").window == "45 µF"
    assert limit("fuse_maximum", {}).window == ""
    assert limit("discharge_time").window == "at least 10 s"


# --- "what should it read?"


def test_marked_value_gives_its_window() -> None:
    assert ids(quantity="capacitance", value=40.0) == [("capacitor_herm", "37.6 to 42.4 µF")]
    assert ids(quantity="capacitance", value=7.5) == [("capacitor_fan", "7.05 to 7.95 µF")]
    assert ids(subject="cap_fan", value=10.0) == [("capacitor_fan", "9.4 to 10.6 µF")]
    assert ids(subject="capacitor", value=5.0, quantity="capacitance") == [("capacitor_fan", "4.7 to 5.3 µF")]


def test_marked_value_that_fits_two_sections_is_answered_once() -> None:
    assert [window for _, window in ids(quantity="capacitance", value=17.0)] == ["15.98 to 18.02 µF"]


def test_marked_value_uses_the_tolerance_on_the_plate() -> None:
    plate = {"cap_tolerance_pct": 5.0}
    assert ids(quantity="capacitance", value=40.0, plate=plate) == [("capacitor_herm", "38 to 42 µF")]


def test_voltage_by_its_usual_name_finds_its_window() -> None:
    assert ids(quantity="voltage", value=24.0) == [("control_voltage", "20 to 30 V")]
    assert ids(quantity="voltage", value=240.0)[0] == ("supply_voltage", "216 to 264 V")
    assert ids(quantity="voltage", value=120.0)[0] == ("leg_voltage", "110 to 126 V")
    assert ids(quantity="voltage", value=460.0) == [("supply_voltage", "414 to 506 V")]


def test_subject_gives_every_limit_known_for_it_and_its_parts() -> None:
    assert {i for i, _ in ids(subject="contactor_coil")} == {"coil_ohms", "control_voltage"}
    assert {i for i, _ in ids(subject="capacitor")} == {"capacitor_herm", "capacitor_fan"}
    assert ids(subject="fan")[0] == ("fan_winding_ohms", "5 to 120 Ω")
    assert {i for i, _ in ids(subject="compressor")} >= {"compressor_amps", "winding_sum", "insulation_ohms"}
    assert ids(subject="contactor_coil", quantity="voltage") == [("control_voltage", "20 to 30 V")]


def test_subject_may_be_a_check_a_limit_or_a_quantity() -> None:
    assert ids(subject="v_coil") == [("control_voltage", "20 to 30 V")]
    assert ids(subject="discharge_time") == [("discharge_time", "at least 10 s")]
    assert {i for i, _ in ids(subject="temperature")} == {"shell_for_ohms"}


def test_question_about_nothing_known_has_no_answer() -> None:
    assert ids() == []
    assert ids(subject="filter") == []
    assert ids(subject="never_heard_of") == []
    assert ids(quantity="capacitance", value=-3.0)  # no such marking: the limits of the quantity
    assert ids(quantity="capacitance", value=5000.0) == []


# --- cooling


def test_forecast_rests_on_the_readings_that_count_and_says_what_is_missing() -> None:
    shell = [(0.0, 208.0), (15.0, 181.0), (30.0, 160.0)]
    forecast = limits.cool_down_forecast(KB, shell, 95)
    assert isinstance(forecast, Forecast)
    assert forecast.readings == 3
    assert forecast.latest_min is not None
    assert forecast.earliest_min < forecast.minutes < forecast.latest_min
    assert "windings lag" in forecast.sentence
    assert isinstance(limits.cool_down_forecast(KB, [], 95), Missing)
    assert isinstance(limits.cool_down_forecast(KB, shell, None), Missing)


@steady
@given(st.lists(st.tuples(st.floats(0, 300), st.floats(60, 300)), max_size=8), st.none() | st.floats(-20, 130))
def test_any_shell_readings_get_an_answer(shell: list[tuple[float, float]], air_f: float | None) -> None:
    forecast = limits.cool_down_forecast(KB, shell, air_f)
    assert forecast.sentence
    assert "{" not in forecast.sentence
    if isinstance(forecast, Forecast):
        assert forecast.minutes >= 0
        assert forecast.latest_min is None or forecast.earliest_min <= forecast.minutes <= forecast.latest_min


def test_more_readings_narrow_the_forecast() -> None:
    shell = [(0.0, 208.0), (15.0, 181.0), (30.0, 160.0), (45.0, 145.0), (60.0, 133.0)]
    widths = []
    for count in (3, 4, 5):
        forecast = limits.cool_down_forecast(KB, shell[:count], 95)
        assert isinstance(forecast, Forecast)
        assert forecast.latest_min is not None
        widths.append(forecast.latest_min - forecast.earliest_min)
    assert widths == sorted(widths, reverse=True)

"""Bare numbers count in the units of the technician, of the note, or of what was said before for the same question.

11.1 °C is 51.98 °F and 814 kPa is 118.06 psi by the exact definitions of NIST SP 811, appendix B.9.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.language.models import Asked, Context, Given, Heard, Kind
from assistant.language.understand import understand
from knowledge import load

KB = load()
METRIC = Context(metric=True)


def only(note: str, context: Context) -> Heard:
    heard = understand(note, KB, context).heard
    assert len(heard) == 1, heard
    return heard[0]


@pytest.mark.parametrize(
    ("note", "value"),
    [
        ("suction pressure is 814", 118.06),
        ("suction line is 11.1", 51.98),
        ("suction line is 11.1 degrees", 51.98),
        ("suction line is 52 f", 52.0),
        ("suction pressure is 118 psi", 118.0),
        ("target subcooling 5.5 on the plate", 9.9),
        ("liquid pressure is 23 bar", 333.59),
    ],
)
def test_who_works_in_si_need_not_say_so(note: str, value: float) -> None:
    assert only(note, METRIC).value == pytest.approx(value, abs=0.01)


def test_who_does_not_is_read_as_before() -> None:
    assert only("suction line is 52", Context()).value == 52
    assert only("suction line is 52 degrees", Context()).value == 52


def values(note: str, context: Context) -> list[float | None]:
    return [item.value for item in understand(note, KB, context).heard if item.kind is Kind.READING]


def test_a_note_in_si_is_in_si_throughout() -> None:
    assert values("suction pressure 814 kpa, suction line 11.1", Context()) == [
        pytest.approx(118.06, abs=0.01),
        pytest.approx(51.98, abs=0.01),
    ]


def test_degrees_celsius_go_with_pounds_too() -> None:
    assert values("suction line 11.1 c, suction pressure 118, liquid line 35", Context()) == [
        pytest.approx(51.98, abs=0.01),
        118,
        95,
    ]


def waiting(*inputs: Given) -> Context:
    request = Heard(Kind.REQUEST, "superheat", 0, 9, about="superheat", subject="suction_line", inputs=inputs)
    return Context(asked=Asked("calculation", "superheat", "suction_line", "temperature", options=(request,)))


@pytest.mark.parametrize(
    ("given_before", "value"),
    [
        (Given("suction_pressure", "814 kpa", 118.06, said_unit="kPa"), 51.98),
        (Given("suction_pressure", "118 psi", 118.0, said_unit="psig"), 11.1),
        (Given("suction_pressure", "118", 118.0), 11.1),
    ],
)
def test_a_bare_answer_counts_in_the_units_of_the_question(given_before: Given, value: float) -> None:
    answer = only("11.1", waiting(given_before)).inputs[0]
    assert (answer.about, answer.said_unit) == ("suction_line", None)
    assert answer.value == pytest.approx(value, abs=0.01)


@given(st.integers(min_value=-20, max_value=120), st.sampled_from(["suction line", "liquid line", "outdoor air"]))
def test_a_bare_number_is_the_same_as_with_its_unit(degrees: int, place: str) -> None:
    """Metric or not, leaving the usual unit away changes no value."""
    for context, unit in ((METRIC, "c"), (Context(), "f")):
        bare = understand(f"{place} is {degrees}", KB, context).heard[0]
        told = understand(f"{place} is {degrees} {unit}", KB, context).heard[0]
        assert (bare.about, bare.quantity) == (told.about, told.quantity)
        assert bare.value == pytest.approx(told.value)

"""Whatever is given to any calculation: a value outside its range is refused with that range, never worked out."""

from __future__ import annotations

import re
from math import isfinite

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.reasoning.calculations import Calculated, Missing, Refused, calculate
from knowledge.models.calculation import CalculationInput, InputKind
from tests.reasoning.test_calculations import ALL, KB

COMPLETE = {case.calculation: case.given for case in reversed(ALL) if case.gives is not None}
"""A case with a result for each calculation."""
WITHOUT_CASE = {"saturation_temperature": {"refrigerant": "R-410A", "pressure": 118.0}}
EXAMPLES = COMPLETE | WITHOUT_CASE


def valid(calculation: str, one: CalculationInput) -> tuple[float, float]:
    """The range that is stated for an input: of the calculation's own condition, else what a meter can show."""
    condition = KB.calculations[calculation].conditions.get(one.id)
    stated = condition.span if condition is not None else None
    low, high = KB.quantities[one.quantity or ""].plausible
    return (max(low, stated[0]), min(high, stated[1])) if stated is not None else (low, high)


def numbers(calculation: str) -> list[CalculationInput]:
    known = KB.calculations[calculation]
    listed = [KB.calculation_inputs[name] for name in (*known.needs, *known.may)]
    return [one for one in listed if one.kind is InputKind.NUMBER]


def test_every_calculation_has_an_example_to_vary() -> None:
    assert set(EXAMPLES) == set(KB.calculations)
    for calculation, given_ in EXAMPLES.items():
        assert isinstance(calculate(KB, calculation, given_), Calculated), calculation


@pytest.mark.parametrize("calculation", KB.calculations)
@settings(deadline=None, max_examples=30)
@given(data=st.data())
def test_a_value_outside_its_stated_range_is_refused_with_the_range(calculation: str, data: st.DataObject) -> None:
    one = data.draw(st.sampled_from(numbers(calculation)))
    low, high = valid(calculation, one)
    reach = max(abs(low), abs(high), 1.0)
    below = st.floats(low - 10 * reach, low, exclude_max=True)
    above = st.floats(high, high + 10 * reach, exclude_min=True)
    value = data.draw(st.one_of(below, above, st.sampled_from([float("nan"), float("inf"), -float("inf")])))

    result = calculate(KB, calculation, {**EXAMPLES[calculation], one.id: value})

    assert isinstance(result, Refused), result
    stated = {f"{end:g}" for end in (low, high)}
    assert any(end in result.sentence for end in stated), result.sentence


RANGE = re.compile(r"must be|valid|at most|at least|above|below|goes from|no valid test|range|table|lies between")
"""Words with which a formula or a printed table says where it holds."""


@pytest.mark.parametrize("calculation", KB.calculations)
@settings(deadline=None, max_examples=30)
@given(data=st.data())
def test_inside_the_stated_ranges_there_is_a_finite_result_or_the_range_of_the_formula(
    calculation: str, data: st.DataObject
) -> None:
    values = {one.id: data.draw(st.floats(*valid(calculation, one))) for one in numbers(calculation)}
    names = data.draw(st.sets(st.sampled_from(sorted(values))))
    result = calculate(KB, calculation, {**EXAMPLES[calculation], **{name: values[name] for name in names}})

    assert not isinstance(result, Missing)
    if isinstance(result, Refused):
        assert RANGE.search(result.sentence), result.sentence
        return
    assert isfinite(result.value)
    assert result.low <= result.value <= result.high

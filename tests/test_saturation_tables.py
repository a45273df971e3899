"""The shipped saturation tables are those that the equations of state give, and hold what they promise."""

from __future__ import annotations

import pytest

from knowledge.base import load

from .saturation_tables import PROMISE_F, differences, equation, table_of, worst_error_f

KB = load()


@pytest.mark.filterwarnings("default")
@pytest.mark.parametrize("name", ["r_22", "r_410a", "r_454b", "r_407c"])
def test_shipped_table_is_as_it_is_made_now_and_read_within_its_promise(name: str) -> None:
    pytest.importorskip("CoolProp", reason="CoolProp is needed only for development")
    refrigerant = KB.refrigerants[name]
    assert differences(KB, [refrigerant]) == []
    assert worst_error_f(table_of(refrigerant, KB.saturation[name]), equation(refrigerant)) < PROMISE_F


def test_tables_reach_from_a_cold_coil_to_a_hot_condenser() -> None:
    for saturation in KB.saturation.values():
        last_f = saturation.first_f + saturation.step_f * (len(saturation.dew_psia) - 1)
        assert saturation.first_f <= -40, saturation.id
        assert last_f >= 145, saturation.id

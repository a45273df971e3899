"""What the simulated visits are made of: complaints that fit the faults, and where the technician stands."""

from __future__ import annotations

import numpy as np
import pytest

from assistant.practice.field_unit import LEG_GONE, FieldUnit
from assistant.reasoning.hypotheses import Row
from assistant.reasoning.tables import Tables

from .many_visits import complaints
from .simulated_unit import drawn_unit


@pytest.mark.parametrize(
    ("faults", "told"),
    [
        (("cap_fan_open",), ("not_cooling",)),
        (("cabinet_loose",), ("noisy",)),
        (("cap_fan_open", "cabinet_loose"), ("not_cooling", "noisy")),
        (("trap_wrong", "pan_cracked"), ("water_leak",)),
    ],
)
def test_customers_complain_of_what_a_fault_is_noticed_by(
    tables: Tables, faults: tuple[str, ...], told: tuple[str, ...]
) -> None:
    assert complaints(tables, faults) == told


def test_a_lost_leg_is_lost_and_a_low_supply_is_only_low(tables: Tables) -> None:
    left = {"service_leg_lost": [], "supply_low": []}
    for name, found in left.items():
        for seed in range(20):
            rng = np.random.default_rng(seed)
            unit = FieldUnit(tables.kb, drawn_unit(tables.unit, rng)[0], Row((name,), 1.0), rng)
            found.append(float(unit.changes.value[0, unit.wiring.index["supply_1"]]))

    assert max(left["service_leg_lost"]) < 0.1
    assert LEG_GONE < min(left["supply_low"]) <= max(left["supply_low"]) < 0.9

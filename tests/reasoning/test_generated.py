"""Faults that are made of parts and conductors: found where the evidence is theirs, silent where it is not."""

from __future__ import annotations

import pytest

from assistant.reasoning.diagnosis import Diagnosis, Evidence
from assistant.reasoning.tables import Tables
from tests.knowledge.built_tables import tables_of

STILL = (
    Evidence("ask_thermostat", outcomes=("calling",)),
    Evidence("look_fan", outcomes=("still",)),
    Evidence("hear_compressor", outcomes=("silent",)),
)
CLEAR = (
    Evidence("r_comp_ground", over_limit=True),
    Evidence("r_fan_ground", over_limit=True),
)


def leading(tables: Tables, plate: dict[str, float], *found: Evidence) -> set[str]:
    """Return the repairs of the suspects down to a tenth of the first one's probability."""
    suspects = Diagnosis(tables, list(found), plate=plate).suspects(8)
    return {one.repair for one in suspects if one.repair and one.probability > suspects[0].probability / 10}


@pytest.mark.parametrize(
    ("found", "repair"),
    [
        # a breaker that tripped, both motors clear of ground, and a rubbed whip
        ((Evidence("look_breaker", outcomes=("tripped",)), *CLEAR, Evidence("look_wiring", outcomes=("loose",))),
         "repair_chafed_wiring"),
        # the low-voltage fuse blew, coil and outdoor cable are sound, and a wire at the board is pinched
        ((Evidence("look_lv_fuse", outcomes=("blown",)), Evidence("r_coil", 14.0), Evidence("r_control_cable", 15.0),
          Evidence("look_indoor_wiring", outcomes=("loose",))), "repair_indoor_wiring"),
        # G is called, the relay on the board is shorted and eats the fuse
        ((Evidence("look_lv_fuse", outcomes=("blown",)), Evidence("r_control_cable", 15.0), Evidence("r_g_c", 0.4)),
         "replace_blower_relay"),
        # the contactor coil reads ten times its ohms
        ((Evidence("v_coil", 25.0), Evidence("look_contactor", outcomes=("out",)), Evidence("r_coil", 400.0)),
         "replace_contactor"),
    ],
)  # fmt: skip
def test_evidence_of_its_own_brings_it_to_the_front(
    tables: Tables, plate: dict[str, float], found: tuple[Evidence, ...], repair: str
) -> None:
    """Common practice, no source."""
    assert repair in leading(tables, plate, *STILL, *found)


def test_a_crankcase_heater_that_reads_to_ground_twice_leads(plate: dict[str, float]) -> None:
    built = tables_of({"crankcase_heater": "fitted"})
    twice = [Evidence("r_heater_ground", 900.0), Evidence("r_heater_ground", 880.0)]
    found = [*STILL, Evidence("look_breaker", outcomes=("tripped",)), *CLEAR, *twice]
    assert Diagnosis(built, found, plate=plate).suspects(1)[0].faults == ("ground_crankcase_heater",)


def test_all_of_them_together_weigh_little(tables: Tables) -> None:
    made = float(tables.prior[tables.rare].sum())
    assert 0 < made < 0.02


def test_none_leads_where_nothing_was_found_yet(tables: Tables, plate: dict[str, float]) -> None:
    suspects = Diagnosis(tables, [], plate=plate).suspects(5)
    assert not any(tables.kb.faults[name].rare for one in suspects for name in one.faults)

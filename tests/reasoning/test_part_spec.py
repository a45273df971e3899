"""What to ask for at the counter, made from plate and old part."""

from __future__ import annotations

import pytest

from assistant.reasoning.limits import part_spec
from assistant.reasoning.limits.part_spec import DERIVED, places
from knowledge import load
from knowledge.models.repair import Repair

KB = load()
PLATE = {
    "cap_herm_uf": 45.0, "cap_fan_uf": 5.0, "cap_volts": 440.0, "rated_voltage": 230.0, "rla": 16.7, "lra": 79.0,
    "fan_fla": 1.0, "mca": 21.9, "mocp": 35.0, "fan_hp": 0.25, "fan_rpm": 1075.0,
    "blower_fla": 3.6, "nominal_tons": 3.0,
}  # fmt: skip
WORDS = {"refrigerant": "r-410a", "rated_voltage": "208/230 volt"}
SPECS = [
    (repair.id, text)
    for repair in KB.repairs.values()
    for text in (repair.specify, *(one.specify for one in repair.wordings.values() if one.specify))
]


def spec(repair: str, plate: dict[str, float] | None = None) -> str:
    return part_spec(KB, KB.repairs[repair].specify, PLATE if plate is None else plate, WORDS)


@pytest.mark.parametrize(("repair", "text"), SPECS, ids=[repair for repair, _ in SPECS])
@pytest.mark.parametrize("plate", [{}, PLATE], ids=["nothing read", "all read"])
def test_every_part_is_named_whatever_was_read(repair: str, text: str, plate: dict[str, float]) -> None:
    assert places(text) <= KB.plate_items.keys() | DERIVED
    told = part_spec(KB, text, plate, WORDS if plate else {})
    assert told.strip()
    assert not set(told) & set("[]{}|")
    assert ", ," not in told


def test_a_capacitor_is_asked_for_by_its_marking() -> None:
    assert "45/5 µF, 440 V or higher" in spec("replace_capacitor")
    assert "as marked on the old one" in spec("replace_capacitor", {})


def test_a_fan_motor_is_asked_for_by_its_label_with_a_capacitor_of_its_own_marking() -> None:
    told = spec("replace_fan_motor")
    assert "208/230 V, 1/4 hp, 1075 rpm, about 1 A (FLA), same rotation" in told
    assert "new motor's own label" in told


def test_a_contactor_carries_compressor_and_fan_together() -> None:
    """17.7 A of both: the next rating of definite-purpose contactors is 20 A; common practice, no source."""
    assert "20 A or larger" in spec("replace_contactor")
    assert "25 A or larger" in spec("replace_contactor", {**PLATE, "fan_fla": 4.0})
    assert "locked-rotor rating at least 79 A" in spec("replace_contactor")


def test_a_disconnect_is_rated_as_in_the_codes_worked_example() -> None:
    """NEC 440.12: 115 % of 16.7 A and 1.0 A together is 20.4 A (worked example, see the circuit sizes)."""
    assert "at least 20.4 A" in spec("replace_disconnect")


def test_fuses_stay_at_the_plates_maximum() -> None:
    assert "never above the plate's 35 A" in spec("replace_fuses")


def test_a_part_outside_the_tables_falls_back_on_words() -> None:
    told = spec("replace_contactor", {**PLATE, "rla": 400.0})
    assert "not below the compressor's RLA" in told


def test_a_place_that_nothing_knows_is_an_error_and_no_empty_word() -> None:
    with pytest.raises(KeyError):
        part_spec(KB, "wire of {gauge_awg}", PLATE, WORDS)


def test_the_unit_decides_the_wording() -> None:
    repair: Repair = KB.repairs["replace_fuses"]
    assert "all three" in (repair.wordings["kind.three_phase"].specify or "")

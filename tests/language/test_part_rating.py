"""What stands on a new part is no reading: its volts and amps wake nothing and condemn nothing."""

from __future__ import annotations

import pytest

from assistant.language.models import Kind
from assistant.language.understand import understand
from knowledge import load


@pytest.mark.parametrize(
    ("said", "repair"),
    [
        ("swapped in the 40 amp contactor", "replace_contactor"),
        ("put in a 30 amp contactor", "replace_contactor"),
        ("replaced the contactor with a 30 amp 24 volt one", "replace_contactor"),
        ("replaced the contactor with a 2 pole 30 amp", "replace_contactor"),
        ("put in a 40 va transformer", "replace_transformer"),
        ("put in a new fan motor 208/230 volt 1.4 amp", "replace_fan_motor"),
        ("put in a 3 amp board fuse", "replace_lv_fuse"),
    ],
)
def test_the_rating_of_a_new_part_is_no_reading(said: str, repair: str) -> None:
    found = understand(said, load())
    assert [(item.kind, item.about) for item in found.heard] == [(Kind.REPAIR, repair)]
    assert found.not_understood == ()


@pytest.mark.parametrize(
    ("said", "values"),
    [
        ("replaced the contactor and got 27 at the coil", [27.0]),
        ("replaced the contactor 238 volts l1 to l2", [238.0]),
        ("replaced the fan motor, it pulls 1.2 amps", [1.2]),
    ],
)
def test_what_is_read_after_a_repair_in_the_same_breath_is_a_reading(said: str, values: list[float]) -> None:
    read = [item.value for item in understand(said, load()).heard if item.value is not None]
    assert read == values


def test_the_print_of_a_new_capacitor_and_of_fuses_is_kept() -> None:
    for said, items in (("put in a 45/5 440 cap", {"cap_herm_uf", "cap_fan_uf", "cap_volts"}),
                        ("put in new 30 amp fuses", {"fuse_rating"}),
                        ("put in three 30 amp time delay fuses", {"fuse_rating"}),
                        ("put in a 1/4 hp 1075 rpm fan motor", {"fan_hp", "fan_rpm"})):  # fmt: skip
        heard = understand(said, load()).heard
        assert {item.about for item in heard if item.kind is Kind.PLATE} == items
        assert [item.kind for item in heard].count(Kind.REPAIR) == 1


@pytest.mark.parametrize(
    ("said", "items"),
    [
        ("fan motor is 1/4 hp, 208/230 volt 1.4 amps", {"fan_hp": 0.25, "fan_fla": 1.4}),
        ("fan motor is 208/230 volt 1.4 amps", {"fan_fla": 1.4}),
        ("compressor is 208/230 volt 14.5 amps", {"rla": 14.5}),
        ("fan motor is 1/4 hp 230 volts", {"fan_hp": 0.25}),
        ("replaced both fuses, 30 amp time delay", {"fuse_rating": 30.0}),
        ("fuses are 30 amp time delay", {"fuse_rating": 30.0}),
    ],
)
def test_print_told_as_a_plain_statement_is_no_reading(said: str, items: dict[str, float]) -> None:
    found = understand(said, load())
    assert {item.about: item.value for item in found.heard if item.kind is Kind.PLATE} == items
    assert {item.kind for item in found.heard} <= {Kind.PLATE, Kind.REPAIR}
    assert found.not_understood == ()


@pytest.mark.parametrize("said", ["fan motor reads 208 volts", "fan 1.4 amps", "compressor 230 volts 14.5 amps"])
def test_volts_and_amps_of_a_part_alone_stay_readings(said: str) -> None:
    heard = understand(said, load()).heard
    assert heard
    assert {item.kind for item in heard} == {Kind.READING}


def test_a_time_delay_beside_no_fuse_is_the_board() -> None:
    (item,) = understand("it has a time delay board", load()).heard
    assert (item.kind, item.about) == (Kind.BUILT, "time_delay.board")


@pytest.mark.parametrize(
    ("said", "cans"),
    [
        ("two 20s in parallel", "20+20"),
        ("can i put two 20 microfarad caps in parallel", "20+20"),
        ("can i parallel two 20s for a 40 440", "20+20 for 40 440"),
        ("a 20 and a 15 in parallel", "20+15"),
        ("i have a 45 5 440 on the truck", "45/5 440"),
    ],
)
def test_a_count_before_a_capacitor_is_none_of_its_microfarads(said: str, cans: str) -> None:
    (item,) = understand(said, load()).heard
    assert (item.about, item.text) == ("replacement", cans)

"""What the conversation knows decides what a bare word or number means."""

from __future__ import annotations

import pytest

from assistant.language.models import Asked, Context, Doubt, Heard, Kind
from assistant.language.understand import understand
from knowledge import load
from tests.language.notes import asked_for

DUAL = {"cap_herm_uf": 45.0, "cap_fan_uf": 5.0}


def hear(note: str, context: Context | None = None) -> tuple[Heard, ...]:
    return understand(note, load(), context or Context()).heard


def only(note: str, context: Context | None = None) -> Heard:
    heard = hear(note, context)
    assert len(heard) == 1, heard
    return heard[0]


@pytest.mark.parametrize(("value", "about"), [(38, "cap_herm"), (45, "cap_herm"), (4.8, "cap_fan"), (2, "cap_fan")])
def test_with_the_plate_known_a_capacitor_reading_belongs_to_the_nearer_section(value: float, about: str) -> None:
    item = only(f"cap reads {value}", Context(plate=DUAL))
    assert (item.about, item.usable) == (about, True)
    assert Doubt.ASSUMED in item.doubts


@pytest.mark.parametrize(("value", "about"), [(38, "cap_herm"), (7.2, "cap_fan")])
def test_without_the_plate_the_value_decides_where_it_can(value: float, about: str) -> None:
    item = only(f"cap reads {value} uf")
    assert (item.about, item.usable) == (about, True)
    assert Doubt.ASSUMED in item.doubts


def test_without_the_plate_a_value_that_fits_both_sections_is_asked_back() -> None:
    item = only("cap reads 12 uf")
    assert Doubt.AMBIGUOUS in item.doubts
    assert {option.about for option in item.options} == {"cap_herm", "cap_fan"}


def test_a_section_that_reads_like_its_sister_is_asked_back() -> None:
    """No capacitor reads four times its print; the leads are more likely on the other section."""
    item = only("fan side 20", Context(plate=DUAL))
    assert Doubt.AMBIGUOUS in item.doubts
    assert [option.about for option in item.options] == ["cap_fan", "cap_herm"]
    assert only("fan side 5.3", Context(plate=DUAL)).usable
    assert only("herm side 4", Context(plate=DUAL)).usable


def test_a_short_name_means_the_point_that_was_asked_about() -> None:
    assert only("26 on y to c", Context(asked=asked_for("check:v_y_outdoor"))).about == "y_outdoor"
    assert only("26 on y to c").about == "y_c"


def test_a_pair_answers_the_plate_question_and_the_reading_question() -> None:
    printed = hear("45/5", Context(asked=asked_for("plate:cap_herm_uf")))
    measured = hear("45.1/4.9", Context(asked=asked_for("check:uf_herm")))
    assert [(item.kind, item.about, item.value) for item in printed] == [
        (Kind.PLATE, "cap_fan_uf", 5.0),
        (Kind.PLATE, "cap_herm_uf", 45.0),
    ]
    assert [(item.kind, item.about, item.value) for item in measured] == [
        (Kind.READING, "cap_fan", 4.9),
        (Kind.READING, "cap_herm", 45.1),
    ]


def test_volts_for_an_asked_dc_check_are_dc_volts() -> None:
    item = only("3 volts", Context(asked=asked_for("step:dc_check")))
    assert (item.quantity, item.value) == ("voltage_dc", 3.0)


def test_plain_volts_on_the_capacitor_never_pass_for_dc_volts() -> None:
    """On AC a trapped charge reads zero, so "0 volts on the cap" proves nothing."""
    assert all(item.quantity != "voltage_dc" for item in hear("0 volts on the cap"))


@pytest.mark.parametrize(
    ("note", "about", "value"),
    [
        ("herm", "cap_herm", 12.0), ("the fan side", "cap_fan", 12.0), ("the first one", "cap_herm", 12.0),
        ("2", "cap_fan", 12.0), ("it was the compressor side", "cap_herm", 12.0),
    ],
)  # fmt: skip
def test_an_option_is_chosen_by_name_or_place(note: str, about: str, value: float) -> None:
    options = only("cap reads 12 uf").options
    item = only(note, Context(asked=Asked("clarify", "capacitor", options=options)))
    assert (item.about, item.value, item.usable) == (about, value, True)
    assert note == item.said


def test_a_choice_that_leaves_two_options_stays_open() -> None:
    options = only("cap reads 12 uf").options
    item = only("12", Context(asked=Asked("clarify", "capacitor", options=options)))
    assert not item.usable
    assert len(item.options) == 2


def test_another_note_instead_of_a_choice_is_taken_as_it_is() -> None:
    options = only("cap reads 12 uf").options
    item = only("240 line side", Context(asked=Asked("clarify", "capacitor", options=options)))
    assert (item.about, item.value) == ("contactor_line", 240.0)


def test_a_correction_needs_something_to_correct() -> None:
    assert [item.kind for item in hear("no, thirteen")] != [Kind.CORRECTION, Kind.READING]


def test_a_correction_keeps_what_was_not_corrected() -> None:
    marked, item = hear("no, thirteen", Context(last=hear("volts at the coil 30")))
    assert marked.kind is Kind.CORRECTION
    assert (item.about, item.quantity, item.value) == ("contactor_coil", "voltage", 13.0)


def test_typed_teens_are_never_doubted() -> None:
    assert only("fifteen", Context(asked=asked_for("check:v_coil"))).usable
    assert not only("fifteen", Context(asked=asked_for("check:v_coil"), spoken=True)).usable


def test_an_unclear_word_of_two_parts_is_asked_back_and_never_tossed_for() -> None:
    item = only("it just hums")
    assert Doubt.AMBIGUOUS in item.doubts
    assert {"fan", "compressor"} <= {option.about for option in item.options}
    assert only("it just hums", Context(asked=asked_for("check:hear_compressor"))).about == "compressor"


def test_an_open_section_is_no_ohm_reading_when_microfarads_were_asked() -> None:
    heard = understand("OL", load(), Context(asked=asked_for("check:uf_herm")))
    assert not heard.heard
    assert heard.not_understood == ("OL",)


def test_the_conversation_is_optional() -> None:
    assert understand("fan hums", load()) == understand("fan hums", load(), Context())


_ALTERNATING = ("step:zero_leg_to_leg", "step:zero_leg_1", "step:zero_leg_2")


@pytest.mark.parametrize("asked", _ALTERNATING)
@pytest.mark.parametrize("unit", sorted({w for u in load().quantities["voltage_dc"].units for w in u.firm}))
@pytest.mark.parametrize("shape", ["0 {}", "{} 0", "1.2 {}", "leg to leg 0 {}", "l1 to ground 0 {}", "no {}"])
def test_volts_dc_never_prove_an_alternating_point_dead(asked: str, unit: str, shape: str) -> None:
    heard = understand(shape.format(unit), load(), Context(asked=asked_for(asked))).heard
    assert not [item for item in heard if item.quantity == "voltage"]


@pytest.mark.parametrize("unit", sorted(load().quantities["voltage"].units[0].firm))
@pytest.mark.parametrize("shape", ["0 {}", "3 {}", "cap 2 {}"])
def test_alternating_volts_never_prove_a_capacitor_discharged(unit: str, shape: str) -> None:
    heard = understand(shape.format(unit), load(), Context(asked=asked_for("step:dc_check"))).heard
    assert not [item for item in heard if item.quantity == "voltage_dc"]

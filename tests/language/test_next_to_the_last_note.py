"""What the note before said carries on: a side of the same part, the same quantity, the thing that "it" is."""

from __future__ import annotations

import pytest

from assistant.language.models import Asked, Context, Kind
from assistant.language.understand import understand
from knowledge import load

KB = load()


def told(*notes: str, asked: Asked | None = None, powered: bool | None = None) -> list[tuple[str | None, str | None]]:
    """Return (subject, quantity or state) of what the last of several notes says."""
    context = Context(asked=asked, powered=powered)
    for note in notes[:-1]:
        context = Context(asked=asked, powered=powered, last=understand(note, KB, context).heard)
    return [(item.about, item.quantity or item.state) for item in understand(notes[-1], KB, context).heard]


@pytest.mark.parametrize(
    ("first", "second", "about"),
    [
        ("240 at the line side of the disconnect", "nothing on the load side", "disconnect_load"),
        ("240 on the top of the disconnect", "nothing on the bottom side", "disconnect_load"),
        ("240 at the line side of the contactor", "nothing on the load side", "contactor_load"),
    ],
)
def test_a_side_belongs_to_the_part_that_was_read_before(first: str, second: str, about: str) -> None:
    assert told(first, second) == [(about, "voltage")]


def test_what_is_asked_for_goes_before_what_was_read() -> None:
    asked = Asked("check", "v_contactor_load", "contactor_load", "voltage")
    assert told("240 at the line side of the disconnect", "nothing on the load side", asked=asked) == [
        ("contactor_load", "voltage")
    ]


def test_the_other_section_is_read_in_the_same_quantity() -> None:
    assert told("herm is 11", "fan 4.8", powered=False) == [("cap_fan", "capacitance")]


@pytest.mark.parametrize(("powered", "quantity"), [(True, "current"), (False, "resistance"), (None, "current")])
def test_a_number_without_a_unit_is_what_can_be_read_now(powered: bool | None, quantity: str) -> None:
    assert told("fan 1.1", powered=powered) == [("fan", quantity)]


@pytest.mark.parametrize("powered", [True, False, None])
def test_a_capacitor_is_read_in_microfarads_whatever_the_power(powered: bool | None) -> None:
    """On a unit told to be live it was taken for DC volts: a charge that nobody had measured."""
    assert told("herm reads 38.2", powered=powered) == [("cap_herm", "capacitance")]


def test_it_is_what_was_found_before() -> None:
    (item,) = understand(
        "cleaned it with a hose", KB, Context(last=understand("condenser coil is packed", KB).heard)
    ).heard
    assert (item.kind, item.about) == (Kind.REPAIR, "clean_condenser")
    assert not understand("cleaned it", KB).heard

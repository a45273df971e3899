"""A visit by conversation: all runs, no cold air, the charge is low; told in the words of the trade."""

from __future__ import annotations

from tests.engine.conversation import Conversation

NOTES = (
    "both fans run but not cold",
    "thermostat is calling, compressor is running",
    "filter is clean and the evap is clean",
    "airflow is strong",
    "suction 88 psi liquid 300 410a",
    "its a piston",
    "vapor line 72",
    "liquid line 96",
)
REST = ("95 outside", "wet bulb 64", "return 76 supply 66", "condenser is clean", "big line is warm", "flares are oily")


def test_gauges_are_told_but_not_counted_before_fifteen_minutes(visit: Conversation) -> None:
    replies = [visit.say(note) for note in NOTES]

    assert "15 minutes" in replies[-1].reply
    assert "Subcooling: " in replies[-1].reply


def test_low_charge_ends_with_a_certified_technician(visit: Conversation) -> None:
    for note in (*NOTES, "running for 20 minutes", *REST):
        last = visit.say(note)

    assert last.suspects[0].id == "undercharge"
    assert last.repair is not None
    assert last.repair.id == "repair_leak"
    assert "certified" in last.reply


def test_the_same_visit_in_metric_units_gives_the_same_suspect(visit: Conversation) -> None:
    metric = (
        "both fans run but not cold", "thermostat is calling, compressor is running",
        "filter is clean and the evap is clean", "airflow is strong", "refrigerant 410a", "suction 0.607 mpa",
        "head pressure 2.07 mpa", "its a piston", "vapor line 22.2 celsius", "liquid line 35.6 celsius",
        "running for 20 minutes", "ambient 35 celsius", "wet bulb 17.8 celsius", "flares are oily",
    )  # fmt: skip
    for note in metric:
        last = visit.say(note)

    assert last.suspects[0].id == "undercharge"


def test_a_refrigerant_without_a_table_is_diagnosed_by_the_chart_of_its_cylinder(visit: Conversation) -> None:
    """The low charge of above, told as saturation temperatures: 88 psig and 300 psig of R-410A are 26 and 96 °F."""
    for note in (*NOTES[:4], "plate says R-438A"):
        visit.say(note)
    refused = visit.say("suction 60 psi")
    assert "cylinder's chart" in refused.reply
    visit.say("suction saturation 26", "its a piston", "vapor line 72", "liquid saturation 97")
    reply = visit.say("liquid line 96")
    assert "Subcooling: 1 °F" in reply.reply
    last = visit.say("running for 20 minutes", *REST)
    assert last.suspects[0].id == "undercharge"
    assert last.repair is not None
    assert last.repair.id == "repair_leak"


def test_a_saturation_beside_its_line_is_a_reading_of_superheat(visit: Conversation) -> None:
    visit.say("not cooling")
    reply = visit.say("sat temp 40 suction line 52")
    assert [(item.about, item.value) for item in reply.heard] == [("superheat", 12.0)]
    assert [item.name for item in reply.readings] == ["superheat as the instrument shows it"]

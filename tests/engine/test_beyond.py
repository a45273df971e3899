"""What goes beyond the visit is told by itself and written down; what is wished for in danger is advised against."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from knowledge import load
from knowledge.models.visit import HazardKind

from .conversation import Conversation

BEYOND = sorted(hazard.id for hazard in load().hazards.values() if hazard.kind is not HazardKind.PLACE)
WORDS = {
    "gas_smell": "i smell gas",
    "gas_side": "pilot light is out",
    "no_certificate": "im not certified",
    "service_panel": "need to open the main panel",
    "weak_structure": "roof feels soft",
    "out_of_reach": "its on a wall bracket",
    "heat_illness": "im getting dizzy",
    "bypass_wanted": "customer wants me to bypass the float switch",
    "bigger_fuse": "can i put in a bigger fuse",
    "topping_up": "can i add a pound of r410a",
    "water_cooling": "can i hose it down",
    "ice_force": "can i chip the ice off",
    "venting": "can i bleed some off",
}


@pytest.mark.parametrize("hazard", BEYOND)
def test_each_limit_of_the_job_is_told_when_its_words_fall(visit: Conversation, hazard: str) -> None:
    kb = load()
    texts = [caution.text for caution in kb.cautions.values() if f"hazard:{hazard}" in caution.when]
    reply = visit.say("not cooling, blower runs", WORDS[hazard])
    assert texts
    assert all(text in reply.reply for text in texts)
    again = visit.say(WORDS[hazard])
    assert all(text in again.reply for text in texts)


def test_beside_gas_nothing_else_is_asked_for(visit: Conversation) -> None:
    reply = visit.say("not cooling, blower runs", "strong smell of gas")
    assert reply.next is None
    assert not reply.safety_steps
    assert visit.say("what next").next is not None


def test_without_certificate_no_gauge_is_asked_for(visit: Conversation) -> None:
    """40 CFR 82.161 (quoted in the bibliography as epa_608): the circuit is for certified technicians."""
    visit.say("both run but not cooling, r410a", "im not certified", "fan turning", "compressor running", "blower runs")
    kb = visit.desk.kb
    for _ in range(12):
        item = visit.reply.next
        if item is not None and item.id in kb.checks:
            assert "gauges" not in kb.checks[item.id].tools, item.id
        visit.say("something else")


def test_what_was_handed_on_stands_open_in_the_note(visit: Conversation, tmp_path: Path) -> None:
    visit.say("not cooling, blower runs", "roof feels soft", "can i put in a bigger fuse", "finish", "write the note")
    note = json.loads(next((tmp_path / "notes").glob("*.json")).read_text(encoding="utf-8"))
    referred = [point["text"] for point in note["left_open"] if point["kind"] == "referred"]
    assert referred == ["roof, stand or bracket that may not hold"]
    told = [line["text"] for line in note["safety"] if line["kind"] == "hazard"]
    assert "a larger fuse or breaker" in told
    assert not note["header"]["conditions"]


def test_work_that_is_only_planned_is_not_logged_as_done(visit: Conversation) -> None:
    reply = visit.say("fan hums, compressor runs", "replace the cap")
    assert "no reading on the part proves it yet" in reply.reply
    assert reply.phase == "finding"
    assert reply.next is not None


def test_an_unreadable_plate_leaves_the_check_that_was_asked(visit: Conversation) -> None:
    asked = visit.say("nothing runs outside, stat calling, blower on").next
    assert asked is not None
    reply = visit.say("plate is sunburnt, cant read it")
    assert reply.next is not None
    assert reply.next.id == asked.id
    assert not reply.not_understood


def test_zeros_and_the_tester_again_in_one_note(visit: Conversation) -> None:
    visit.say("fan hums", "pulled the disconnect", "locked and tagged", "121 on the outlet")
    reply = visit.say("0 leg to leg, 0 l1 to ground, 0 l2 to ground, tester 120 again")
    assert reply.power == "proved dead"


def test_a_tool_that_was_missing_is_at_hand_once_it_is_told_or_used(visit: Conversation, tmp_path: Path) -> None:
    visit.say("nothing runs outside, stat calling, blower on", "no meter, no clamp meter, no thermometer")
    visit.say("ok got the meter", "fan 0.9 amps", "finish", "write the note")
    note = json.loads(next((tmp_path / "notes").glob("*.json")).read_text(encoding="utf-8"))
    assert [point["text"] for point in note["left_open"] if point["kind"] == "tool"] == ["thermometer"]

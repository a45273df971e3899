"""Words about "it": the repair that is proposed, the part just read, the question behind a question."""

from __future__ import annotations

import pytest

from .conversation import DISCHARGE, MAKE_DEAD, Conversation

DEAD_CABLE = (
    "nothing running outside, stat is calling, blower runs",
    "contactor aint pulled in",
    "27 at the board, 0 at the coil",
    "y to c at unit 0",
    "r to c 27 inside y to c 27 inside",
    "no time delay board in it",
    "wire is chewed by the weed eater right at the wall",
)


def test_work_on_it_is_the_proposed_repair(visit: Conversation) -> None:
    """Where a cable is proposed "fixing it" plans that one, and "spliced it" reports that one as done."""
    reply = visit.say(*DEAD_CABLE)
    assert reply.repair is not None
    assert reply.repair.id == "repair_control_cable"
    planned = visit.say("fixing it now")
    assert [(item.about, item.value) for item in planned.heard] == [("repair_control_cable", "planned")]
    assert planned.phase == "repair"
    done = visit.say("spliced it")
    assert [(item.about, item.value) for item in done.heard] == [("repair_control_cable", "done")]


def test_a_part_measured_by_itself_is_what_a_new_one_replaces(visit: Conversation) -> None:
    """Right behind its microfarads "put in a new one" is the capacitor."""
    visit.say("outdoor fan hums, compressor runs", *MAKE_DEAD, *DISCHARGE, "fan cap reads 1.2 rated 5")
    reply = visit.say("put in a new one")
    assert [item.about for item in reply.heard] == ["replace_capacitor"]


def test_not_having_a_part_puts_no_reading_right(visit: Conversation) -> None:
    """ "Don't have one" is no "no, one"."""
    visit.say("outdoor fan hums, compressor runs", *MAKE_DEAD, *DISCHARGE, "fan cap reads 1.2 rated 5")
    assert not visit.say("dont have one").heard


def test_amps_go_on_from_part_to_part_whatever_is_asked(visit: Conversation) -> None:
    """ "Compressor 14.1 amps fan 1.0" to a question for volts: both are amps."""
    visit.say(*DEAD_CABLE, "spliced it", "tools clear", "everybody clear", "power is on")
    reply = visit.say("fan running, compressor running", "compressor 14.1 amps fan 1.0")
    assert [(item.about, item.quantity, item.value) for item in reply.heard] == [
        ("compressor", "current", 14.1),
        ("fan", "current", 1.0),
    ]


def test_a_clarifying_question_may_be_passed_over(visit: Conversation) -> None:
    """A bare value that is none of the choices answers what was asked before."""
    visit.say("outdoor fan hums, compressor runs", "it has a dual cap", *MAKE_DEAD, *DISCHARGE)
    assert visit.reply.next is not None
    assert visit.reply.next.id == "uf_fan"
    assert visit.say("coil is clear").question
    reply = visit.say("1.2")
    assert [(item.about, item.value) for item in reply.heard] == [("cap_fan", 1.2)]


@pytest.mark.parametrize("words", ["good to go?", "locked and tagged?", "all clear?", "disconnect open?", "tools out?"])
def test_a_question_confirms_nothing_and_undoes_nothing(visit: Conversation, words: str) -> None:
    """Asking how things stand is answered with that; no step is taken or taken back."""
    visit.say("fan hums", "pulled the disconnect")
    before = [step.id for step in visit.reply.safety_steps]
    reply = visit.say(words)
    assert [(item.kind, item.about) for item in reply.heard] == [("request", "where")]
    assert "Power: unknown" in reply.reply
    assert [step.id for step in reply.safety_steps] == before


def test_one_name_of_two_coils_is_asked_back_or_known(visit: Conversation) -> None:
    """ "Cleaned the coil" asks which, unless one of them was spoken of before."""
    assert visit.say("not cooling", "cleaned the coil").question
    reply = visit.say("condenser")
    assert [item.about for item in reply.heard] == ["clean_condenser"]


def test_the_coil_that_was_found_dirty_is_the_one_that_was_washed(visit: Conversation) -> None:
    """No second repair is logged because two coils share a name."""
    reply = visit.say("outdoor coil is matted", "washed the coil")
    assert [item.about for item in reply.heard] == ["clean_condenser"]


def test_a_value_answers_the_look_at_a_part_beside_its_print(visit: Conversation) -> None:
    """A blower capacitor is weak by its microfarads against its mark; without the mark that is asked for."""
    visit.say("no air indoors", "blower hums")
    assert "What is printed" in visit.say("blower cap reads 3.4").spoken
    reply = visit.say("blower cap 3.4 rated 10")
    assert ("blower_cap", "weak") in {(item.about, item.value) for item in reply.heard}
    assert reply.limits[0].window == "9.4 to 10.6 µF"

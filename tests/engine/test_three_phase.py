"""A visit to a three-phase unit: told in words, proved dead at six places, judged by all three legs."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.engine.conversation import MAKE_DEAD, Conversation

MORE = ("l2 to l3 0 volts", "l1 to l3 0 volts", "l3 to ground 0 volts")


@pytest.fixture
def visit(tmp_path: Path, cache: Path) -> Iterator[Conversation]:
    talk = Conversation(tmp_path, cache)
    yield talk
    talk.desk.close()


@pytest.mark.parametrize("note", ["208/230-3-60", "three phase", "three phase 460 volt", "3 phase unit"])
def test_the_kind_is_told_in_words(visit: Conversation, note: str) -> None:
    reply = visit.say("not cooling", note)
    assert reply.heard[0].shown == "unit: three-phase unit"


def test_460_volts_bring_their_warning_and_their_limits(visit: Conversation) -> None:
    reply = visit.say("not cooling", "460 volt three phase")
    assert "277 V from each leg to ground" in reply.reply
    assert "in range" in visit.say("l1 to l2 472").heard[0].shown
    assert "in range" in visit.say("l3 to ground 276").heard[0].shown


def test_readings_taken_before_the_kind_was_told_are_kept(visit: Conversation) -> None:
    visit.say("not cooling", "208 on the line side")
    reply = visit.say("three phase")
    assert [reading.shown for reading in reply.readings] == ["208 V"]
    assert reply.readings[0].name == "volts L1 to L2, contactor line side"


def test_two_legs_prove_no_three_phase_unit_dead(visit: Conversation) -> None:
    """NFPA 70E 120.5: each phase conductor to each other and to ground (quoted in the knowledge)."""
    visit.say("not cooling", "three phase")
    assert visit.say(*MAKE_DEAD).power == "isolated"
    reply = visit.say(*MORE, "proved the tester again")
    assert reply.power == "proved dead"


def test_all_six_at_once(visit: Conversation) -> None:
    visit.say("not cooling", "three phase", *MAKE_DEAD[:3])
    reply = visit.say("all six 0 volts", "proved the tester again")
    assert reply.power == "proved dead"


def test_three_phases_told_late_take_the_proof_back(visit: Conversation) -> None:
    visit.say("not cooling")
    assert visit.say(*MAKE_DEAD).power == "proved dead"
    assert visit.say("its three phase").power == "isolated"
    assert visit.say(*MORE).power == "isolated"


def test_voltage_on_the_third_leg_is_a_danger(visit: Conversation) -> None:
    visit.say("not cooling", "three phase", *MAKE_DEAD)
    reply = visit.say("l3 to ground 118 volts")
    assert reply.power == "live"
    assert "DANGER" in reply.reply.upper()


def test_a_lost_phase_is_found(visit: Conversation) -> None:
    visit.say("not cooling", "three phase 208 volt", "compressor hums, fan is running", "into the disconnect 206 volts")
    reply = visit.say("disconnect l2 to l3 101 volts", "disconnect l1 to l3 102 volts")
    assert reply.suspects[0].id == "phase_lost"


def test_unbalance_is_worked_out_of_the_three_pairs(visit: Conversation) -> None:
    """203/210/212: average 208.33, largest difference 5.33, 2.56 % (definition of NEMA MG 1, worked by hand)."""
    visit.say("not cooling", "three phase", "l1 to l2 203 volts", "l2 to l3 210 volts")
    assert "2.6" in visit.say("l1 to l3 212 volts").reply


def test_a_scroll_that_runs_backwards_is_found(visit: Conversation) -> None:
    visit.say("not cooling", "three phase", "fan is running", "compressor is running", "6 amps on the compressor")
    reply = visit.say("compressor is running backwards, loud")
    assert reply.suspects[0].id == "phase_reversed"


def test_equal_windings_are_judged_as_equal(visit: Conversation) -> None:
    visit.say("not cooling", "three phase", *MAKE_DEAD[:3], "all six 0 volts", "proved the tester again")
    visit.say("compressor t1 to t2 0.91 ohms", "compressor t1 to t3 0.92 ohms")
    assert "equal" in visit.say("compressor t2 to t3 0.9 ohms").reply


def test_a_high_leg_is_no_fault_of_the_supply(visit: Conversation) -> None:
    """A 240 V delta with the middle of one winding grounded: 120, 208 and 120 V to ground (derived)."""
    visit.say("three phase not cooling", "fan turning", "compressor humming", "l1 to ground 120", "l3 to ground 120")
    odd = visit.say("l2 to ground 208 volts").heard[0].shown
    assert "high" in odd

    told = visit.say("its a high leg")
    assert "Nothing that needs 120 V goes on it" in told.reply
    assert "cannot both be right" not in told.reply
    assert not [suspect for suspect in told.suspects if suspect.id.startswith("supply_")]

    again = visit.say("l2 to ground 208 volts").heard[0].shown
    assert "in range" in again


def test_three_values_in_a_row_are_the_three_pairs_and_their_unbalance_is_told(visit: Conversation) -> None:
    """Three bare volts are the pairs of phases: the unbalance of 1.5 % follows (NEMA MG 1, largest deviation)."""
    reply = visit.say("three phase unit, not cooling", "voltages 236 240 243")
    assert [item.value for item in reply.heard] == [236.0, 240.0, 243.0]
    assert not reply.not_understood
    assert "voltage unbalance: 1.5 %" in reply.reply

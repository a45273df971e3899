"""A reading between any two test points counts in a visit like every other one."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.engine.conversation import Conversation


@pytest.fixture
def visit(tmp_path: Path) -> Iterator[Conversation]:
    talk = Conversation(tmp_path)
    yield talk
    talk.desk.close()


def test_it_is_kept_and_changes_the_suspects(visit: Conversation) -> None:
    visit.say("not cooling", "fan is running", "compressor is silent", "240 at t1 t2")
    reply = visit.say("240 from t1 to compressor c")
    assert reply.readings[0].name == "volts contactor load side T1 to compressor common C"
    assert reply.suspects[0].id == "lead_c_burnt"


def test_voltage_on_a_unit_held_dead_is_a_danger(visit: Conversation) -> None:
    visit.say("not cooling", "pulled the disconnect", "my lock is on it")
    assert visit.reply.power == "isolated"
    reply = visit.say("118 volts from t1 to ground")
    assert reply.power == "live"


def test_between_two_circuits_it_is_kept_and_counts_for_nothing(visit: Conversation) -> None:
    visit.say("not cooling")
    before = [suspect.id for suspect in visit.reply.suspects]
    reply = visit.say("24 volts from the y wire to ground")
    assert [item.kind for item in reply.heard] == ["reading"]
    assert [suspect.id for suspect in reply.suspects] == before


def test_it_is_in_the_job_note(visit: Conversation) -> None:
    visit.say("not cooling", "240 from t1 to compressor c")
    note = visit.desk.write_note()[0].read_text(encoding="utf-8")
    assert "contactor load side T1 to compressor common C" in note


def test_the_same_leg_twice_is_a_lost_leg(visit: Conversation) -> None:
    """Both legs 120 V to ground and nothing across: it is one leg, fed back through the load; the supply leads."""
    reply = visit.say(
        "nothing running outside", "stat calling, blower runs", "one leg 120 the other 120 but zero across"
    )
    parts = {visit.desk.kb.faults[suspect.id].part for suspect in reply.suspects[:3]}
    assert parts <= {"disconnect_inside", "fuse_1", "fuse_2", "fuses", "supply", "breaker"}, parts

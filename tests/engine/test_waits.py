"""Waits beside each other, and waits that should be over before the unit runs again.

That ice on the indoor coil sends liquid back to the compressor, and that a single-phase compressor should not be
started against unequal pressures, is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.engine.conversation import Conversation


@pytest.fixture
def visit(tmp_path: Path, cache: Path) -> Iterator[Conversation]:
    talk = Conversation(tmp_path, cache)
    talk.say("not cooling")
    yield talk
    talk.desk.close()


def test_two_plain_timers_run_beside_each_other_each_with_its_name(visit: Conversation) -> None:
    reply = visit.say("set a timer for 10 minutes", "set a timer for 20 minutes")
    assert [(timer.name, timer.minutes) for timer in reply.timers] == [("timer", 10), ("timer 2", 20)]
    told = visit.say("timers").reply
    assert "timer: " in told
    assert "timer 2: " in told


def test_both_timers_of_one_note_run(visit: Conversation) -> None:
    reply = visit.say("set a timer for 10 minutes and a timer for 20 minutes")
    assert [timer.minutes for timer in reply.timers] == [10, 20]


def test_stopping_the_timers_ends_both(visit: Conversation) -> None:
    assert not visit.say("set a timer for 10 minutes", "set a timer for 20 minutes", "stop the timer").timers


def test_two_timers_are_there_again_after_the_program_was_killed(visit: Conversation) -> None:
    before = visit.say("set a timer for 10 minutes", "set a timer for 20 minutes").timers
    assert visit.killed().timers == before


def test_a_thaw_named_again_is_one_timer(visit: Conversation) -> None:
    reply = visit.say("letting it thaw", "thawing for 90 minutes")
    assert [(timer.name, timer.minutes) for timer in reply.timers] == [("coil thawing", 90)]


def test_the_rest_of_the_thaw_is_told_before_the_unit_is_put_back_and_bars_nothing(visit: Conversation) -> None:
    visit.say("fan running", "indoor coil is iced")
    entered = visit.say("changed the filter")
    assert "min to go before it should run" in entered.reply
    assert "liquid comes back to the compressor" in entered.reply
    assert "before it should run" not in visit.say("tools clear").reply
    assert "min to go before it should run" in visit.say("everybody clear").reply
    assert visit.say("lock off and power on").phase == "proving"


def test_a_thaw_that_is_over_is_not_held_against_the_restart(visit: Conversation) -> None:
    visit.say("fan running", "indoor coil is iced", "indoor coil is clear")
    assert "before it should run" not in visit.say("changed the filter").reply


def test_a_plain_timer_holds_up_no_restart(visit: Conversation) -> None:
    visit.say("fan running", "set a timer for 30 minutes")
    assert "before it should run" not in visit.say("changed the filter").reply

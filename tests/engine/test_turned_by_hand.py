"""A fan that spins on a unit proved dead: the hand turns a blade, only power turns a motor.

That a unit found running has lost its proof of being dead: 29 CFR 1910.333(b)(2); that blades are turned by hand to
feel the bearings is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.engine.conversation import MAKE_DEAD, Conversation


@pytest.fixture
def dead(tmp_path: Path, cache: Path) -> Iterator[Conversation]:
    """A visit with the unit proved dead."""
    talk = Conversation(tmp_path, cache)
    talk.say("outdoor unit dead", *MAKE_DEAD)
    yield talk
    talk.desk.close()


@pytest.mark.parametrize("said", ["fan spins fine by hand", "fan spins free", "blade spins fine", "fan turns freely"])
def test_a_blade_that_the_hand_turns_wakes_no_dead_unit(dead: Conversation, said: str) -> None:
    reply = dead.say(said)
    assert reply.power == "proved dead"
    assert "NOT DEAD" not in reply.reply
    assert [reading.name for reading in reply.readings][:1] == ["fan blade by hand"]


@pytest.mark.parametrize("said", ["fan is running", "fan is turning", "fan spins fine by itself"])
def test_a_fan_that_runs_by_itself_shows_power_at_once(dead: Conversation, said: str) -> None:
    reply = dead.say(said)
    assert reply.power == "live"
    assert "NOT DEAD" in reply.reply


@pytest.mark.parametrize("said", ["fan spins fine", "fan turns", "the fan spins"])
@pytest.mark.parametrize(
    ("answer", "power"),
    [("by hand", "proved dead"), ("yes", "proved dead"), ("i turned it by hand", "proved dead"), ("no", "live"),
     ("by itself", "live"), ("it runs by itself", "live"), ("fan is running", "live")],
)  # fmt: skip
def test_spinning_without_a_word_of_what_turned_it_is_asked_back(
    dead: Conversation, said: str, answer: str, power: str
) -> None:
    asked = dead.say(said)
    assert asked.power == "proved dead"
    assert asked.question is not None
    assert "hands out" in asked.question
    reply = dead.say(answer)
    assert reply.power == power
    assert reply.question is None


@pytest.mark.parametrize("other", ["shell is 85", "what next", "dont know", "note: gate was open"])
def test_other_news_does_not_drop_the_question(dead: Conversation, other: str) -> None:
    question = dead.say("fan spins").question
    assert dead.say(other).question == question
    assert dead.say("by itself").power == "live"


def test_a_fan_that_spins_on_a_live_unit_is_not_asked_back(dead: Conversation) -> None:
    dead.say("power is on")
    assert dead.say("fan spins fine").question is None

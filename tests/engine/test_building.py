"""The technician says how the unit is built, at any time; the search then holds to the parts it has."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.engine.conversation import Conversation


@pytest.fixture(scope="module")
def cache(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One cache for all: the tables of a way of building are made once."""
    return tmp_path_factory.mktemp("cache")


@pytest.fixture
def visit(tmp_path: Path, cache: Path) -> Iterator[Conversation]:
    talk = Conversation(tmp_path, cache)
    yield talk
    talk.desk.close()


def test_a_choice_is_read_back_and_its_danger_said(visit: Conversation) -> None:
    reply = visit.say("not cooling", "one pole contactor")
    assert [item.shown for item in reply.heard] == ["unit: one-pole contactor"]
    assert "stay live with the contactor out" in reply.reply


def test_what_the_unit_lacks_is_no_longer_understood_as_a_part_of_it(visit: Conversation) -> None:
    visit.say("not cooling")
    assert visit.say("pole 2 reads 1 volt").readings[0].name == "volts across contactor pole 2"
    visit.say("scratch that", "it is a one pole contactor")
    assert all(reading.name != "volts across contactor pole 2" for reading in visit.say("pole 1 is 0 volts").readings)


def test_a_reading_of_a_part_that_turns_out_not_to_be_there_is_kept_and_counts_for_nothing(
    visit: Conversation,
) -> None:
    visit.say("not cooling", "volts across pole 2 240 volts")
    before = visit.reply.suspects[0].id
    reply = visit.say("one pole contactor")
    assert before == "pole_2_open"
    assert "pole_2_open" not in {suspect.id for suspect in reply.suspects}
    assert reply.readings[0].name == "volts across contactor pole 2"


def test_the_choice_can_be_taken_back(visit: Conversation) -> None:
    visit.say("not cooling", "no fuses in it", "scratch that")
    assert visit.say("fuse 1 is 0 volts").readings[0].name == "volts across fuse 1"


@pytest.mark.parametrize(
    ("denied", "meant"),
    [("not a two pole contactor", "unit: one-pole contactor"), ("not a psc blower", "unit: electronically commutated")],
)
def test_denying_one_of_two_says_the_other(visit: Conversation, denied: str, meant: str) -> None:
    assert visit.say("not cooling", denied).heard[0].shown.startswith(meant)


def test_denying_one_of_several_says_nothing_certain(visit: Conversation) -> None:
    visit.say("not cooling")
    assert visit.say("not both pressure switches").not_understood


def test_how_it_is_built_is_asked_once_with_the_check_that_hangs_on_it_and_owes_no_answer(visit: Conversation) -> None:
    notes = [
        "not cooling", "thermostat is calling", "blower is running", "fan is not turning", "compressor is silent",
        "contactor is in", "240 volts l1 to l2", "0 volts t1 to t2", "0 volts across pole 1", "done", "what next",
    ]  # fmt: skip
    asked = [visit.say(note) for note in notes]
    questions = [reply for reply in asked if "one pole or two" in reply.reply]
    assert len(questions) == 1
    assert questions[0].next is not None
    assert questions[0].next.id == "v_pole_2"


def test_the_note_says_how_the_unit_is_built(visit: Conversation) -> None:
    visit.say("not cooling", "one pole contactor", "no float switch")
    (markdown,) = [path for path in visit.desk.write_note() if path.suffix == ".md"]
    assert "single-phase 240 V split system: one-pole contactor, no float switch" in markdown.read_text("utf-8")


def test_it_is_still_known_after_the_program_was_killed(visit: Conversation) -> None:
    visit.say("not cooling", "one pole contactor")
    visit.killed()
    assert "pole_2" not in set(iter(visit.desk.kb.subjects))

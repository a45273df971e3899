"""The technician says how the unit is built, at any time; the search then holds to the parts it has."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from assistant.session.log import read
from tests.engine.conversation import DISCHARGE, MAKE_DEAD, RESTORE, Conversation


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
    assert visit.say("not high and low pressure switches").not_understood


BEFORE_POLE_2 = (
    "not cooling", "thermostat is calling", "blower is running", "fan is not turning", "compressor is silent",
    "contactor is in", "240 volts l1 to l2", "0 volts t1 to t2", "0 volts across pole 1", "done",
)  # fmt: skip


def logged(visit: Conversation) -> set[str]:
    return {event.type for event in read(visit.visits.store.path_of(visit.desk.visit)).events}


def asked(visit: Conversation) -> str | None:
    return visit.reply.next.id if visit.reply.next else None


def test_how_it_is_built_is_asked_before_the_check_that_hangs_on_it(visit: Conversation) -> None:
    visit.say(*BEFORE_POLE_2)
    assert asked(visit) == "contactor_poles"
    assert "one pole or two" in visit.reply.reply
    assert visit.reply.spoken.endswith("One-pole contactor or two?")


def test_only_what_the_next_check_hangs_on_is_asked(visit: Conversation) -> None:
    options = {option.id for option in visit.desk.kb.units["split_psc_240"].options}
    asked_so_far = []
    for note in BEFORE_POLE_2:
        visit.say(note)
        asked_so_far.append(asked(visit))
    assert options.intersection(filter(None, asked_so_far)) == {"contactor_poles"}


@pytest.mark.parametrize(("said", "name"), [("two", "two-pole"), ("just one", "one-pole"), ("single pole", "one-pole")])
def test_a_short_answer_says_how_it_is_built(visit: Conversation, said: str, name: str) -> None:
    visit.say(*BEFORE_POLE_2)
    reply = visit.say(said)
    assert [item.shown for item in reply.heard] == [f"unit: {name} contactor"]
    assert asked(visit) != "contactor_poles"
    assert ("pole_2" in set(iter(visit.desk.kb.subjects))) == (name == "two-pole")


@pytest.mark.parametrize("said", ["skip it", "don't know", "not sure", "can't see it"])
def test_who_does_not_know_passes_it_over_and_the_usual_is_taken(visit: Conversation, said: str) -> None:
    visit.say(*BEFORE_POLE_2)
    reply = visit.say(said)
    assert "Taken as the usual, two-pole contactor" in reply.reply
    assert asked(visit) == "v_pole_2"
    assert "check_skipped" not in logged(visit)


def test_other_news_passes_it_over_and_it_is_not_asked_again(visit: Conversation) -> None:
    visit.say(*BEFORE_POLE_2)
    assert visit.say("240 volts across pole 2").readings[0].name == "volts across contactor pole 2"
    visit.say("what next")
    assert asked(visit) != "contactor_poles"


def test_a_short_answer_means_nothing_of_the_unit_where_it_was_not_asked(visit: Conversation) -> None:
    visit.say("not cooling")
    assert not [item for item in visit.say("just one").heard if item.kind == "built"]


def test_yes_is_no_answer_to_which_of_two(visit: Conversation) -> None:
    visit.say(*BEFORE_POLE_2)
    assert "two-pole contactor, one-pole contactor" in visit.say("yes").reply


def test_a_capacitor_marked_with_two_values_is_not_asked_for_its_kind(visit: Conversation) -> None:
    visit.say("not cooling", "cap is a 45/5", "thermostat is calling", "blower is running", "fan is humming")
    visit.say("pulled the disconnect", "locked and tagged", "tester proved", "0 leg to leg", "0 leg 1 to ground")
    visit.say("0 leg 2 to ground", "tester proved again", "discharged the cap", "2 vdc")
    assert asked(visit) != "run_capacitors"
    assert "built_asked" not in logged(visit)


def test_the_note_says_how_the_unit_is_built(visit: Conversation) -> None:
    visit.say("not cooling", "one pole contactor", "no float switch")
    (markdown,) = [path for path in visit.desk.write_note() if path.suffix == ".md"]
    assert "single-phase 240 V split system: one-pole contactor, no float switch" in markdown.read_text("utf-8")


def test_it_is_still_known_after_the_program_was_killed(visit: Conversation) -> None:
    visit.say("not cooling", "one pole contactor")
    visit.killed()
    assert "pole_2" not in set(iter(visit.desk.kb.subjects))


LOCKED = (
    "not cooling", "fan is turning", "compressor hums and cuts out", "cap is a 45/5, rla 14.5, lra 80",
    "condenser coil is clean", *MAKE_DEAD, *DISCHARGE, "herm reads 45", "wires all look good", "contacts look good",
    "c to s 2.4 ohms", "s to r 3.2 ohms", "c to r 0.8 ohms", "compressor to ground is OL", *RESTORE,
    "gloves and glasses on, ready", "76 amps when it tries", "77 amps again", "0.1 volts across pole 1", *MAKE_DEAD,
    *DISCHARGE, "herm reads 45", "wires all look good",
)  # fmt: skip


def test_no_compressor_is_condemned_before_it_was_asked_for_a_start_kit(visit: Conversation) -> None:
    """An open start relay looks like a locked rotor, and its parts are measured only where there is a kit."""
    before = []
    for note in LOCKED:
        before.append(asked(visit))
        reply = visit.say(note)
        if asked(visit) == "hard_start":
            break
        assert reply.repair is None or reply.repair.id != "replace_compressor"
    assert asked(visit) == "hard_start"
    assert "hard_start" not in before

    told = visit.say("it has a hard start kit")
    assert told.repair is None or told.repair.id != "replace_compressor"


def test_before_giving_up_it_is_asked_how_the_unit_is_built(visit: Conversation) -> None:
    visit.say("not cooling", "no meter, no gauges, no thermometer, no manometer, no clamp meter")
    options, seen = visit.desk.kb.units["split_psc_240"].options, []
    for _ in range(80):
        if "cannot tell" in visit.reply.reply.lower():
            break
        seen.append(asked(visit))
        visit.say("something else" if visit.reply.safety_steps else "can't")
    assert {option.id for option in options if option.id in seen} >= {"cycle", "hard_start", "time_delay"}

"""A visit with calculations in it: answered, asked for what is missing, and without any trace in the diagnosis."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from assistant.dialogue.reply import Reply
from assistant.engine.core import Engine
from assistant.session import events as e
from assistant.session.fold import Visit
from knowledge import load
from tests.engine.clock import SteppingClock
from tests.engine.conversation import DISCHARGE, MAKE_DEAD, Conversation
from tests.language.test_asking import ALL

QUESTIONS = [note for case in ALL for note in (*case.said, *case.si)]


def requests(reply: Reply) -> list[str | None]:
    return [item.about for item in reply.heard if item.kind == "request"]


def test_a_complete_question_is_answered_with_all_that_belongs_to_it(visit: Conversation) -> None:
    before = visit.say("not cooling")
    reply = visit.say("superheat at 118 psi with a 52 degree line, R-410A")
    assert "Superheat 12 °F (10 to 15 °F)" in reply.reply
    parts = ("R-410A", "118 psig", "52 °F", "dew temperature", "Holds for: running steadily", "CoolProp", "WARNING: R")
    for part in parts:
        assert part in reply.reply
    assert reply.spoken.startswith("Superheat 12 °F.")
    assert requests(reply) == ["superheat"]
    assert [(limit.quantity, limit.low, limit.high) for limit in reply.limits] == [("temperature_difference", 10, 15)]
    assert reply.next == before.next
    assert reply.readings == ()


def test_the_refrigerant_is_told_with_its_group_and_composition(visit: Conversation) -> None:
    """ANSI/ASHRAE 34 (from memory; the composition agrees with CoolProp's predefined mixture)."""
    reply = visit.say("sat temp 100 psi 454b").reply
    assert "R-454B: safety group A2L, low toxicity, burns slowly; by mass R-32 68.9 %, R-1234yf 31.1 %." in reply
    assert "A2L refrigerant: it can burn" in reply


def test_a_typed_saturation_rests_on_no_table(visit: Conversation) -> None:
    assert "CoolProp" not in visit.say("superheat with saturation 40 and line 52").reply
    assert "CoolProp" in visit.say("superheat 118 psi 52 line 410a").reply


def test_a_subcooling_without_a_table_asks_for_the_chart_too(visit: Conversation) -> None:
    assert "bubble (liquid) temperature" in (visit.say("subcooling r438a liquid line 98").question or "")
    assert "Subcooling 12 °F" in visit.say("110").reply


def test_an_answer_that_names_another_line_is_no_answer(visit: Conversation) -> None:
    visit.say("not cooling", "superheat 118 psi r410a")
    reply = visit.say("liquid line 95")
    assert "Superheat" not in reply.reply
    assert [(item.about, item.value) for item in reply.heard] == [("liquid_line", 95.0)]


def test_what_the_subcooling_should_be_is_the_limit_of_the_plate(visit: Conversation) -> None:
    visit.say("not cooling", "plate says R-410A, subcooling 12 on the plate")
    reply = visit.say("what should the subcooling be")
    assert [(limit.low, limit.high) for limit in reply.limits] == [(9, 15)]  # California RA3.2: within 3 °F


def test_si_is_answered_in_si_with_the_other_behind(visit: Conversation) -> None:
    reply = visit.say("superheat at 0.814 megapascal with an 11.1 C line, R-410A")
    assert "Superheat 6.7 °C (5.6 °C to 8.3 °C); 12 °F (10 to 15 °F)" in reply.reply
    assert "814 kPa" in reply.reply


def test_a_verdict_comes_with_what_the_result_is_held_against(visit: Conversation) -> None:
    reply = visit.say("subcool 9 degrees, 320 psi, r32 liquid line 88, txv")
    assert "A2L" in reply.reply
    assert "plate subcooling 9 °F" in reply.reply
    assert [(limit.low, limit.high) for limit in reply.limits] == [(6, 12)]
    reply = visit.say("charge by subcooling txv airflow good 20 min 95 out 78 return target 10 r410a 340 psi 104 line")
    assert "Too little refrigerant" in reply.reply


def test_missing_inputs_are_asked_for_one_by_one_and_the_check_of_the_visit_comes_back(visit: Conversation) -> None:
    check = visit.say("not cooling").next
    assert visit.say("what's the superheat").question == "Superheat: Which refrigerant is on the plate?"
    assert "suction pressure" in (visit.say("410").question or "")
    assert "suction line" in (visit.say("118").question or "")
    reply = visit.say("52")
    assert "Superheat 12 °F" in reply.reply
    assert reply.question is None
    assert reply.next == check
    assert check is not None
    assert check.say in reply.reply
    assert visit.say("fan is running").readings  # the bare words belong to the visit again


@pytest.mark.parametrize("word", ["never mind", "skip it", "don't know", "no"])
def test_a_waiting_calculation_is_dropped_at_a_word(visit: Conversation, word: str) -> None:
    check = visit.say("not cooling", "fan is running").next
    visit.say("superheat with r410a")
    reply = visit.say(word)
    assert "Left: superheat." in reply.reply
    assert reply.question is None
    assert reply.next == check
    assert [item.name for item in reply.readings] == ["look at the fan"] or len(reply.readings) == 1


def test_other_news_lets_it_wait_no_longer(visit: Conversation) -> None:
    visit.say("not cooling", "superheat with r410a")
    reply = visit.say("compressor is humming")
    assert reply.question is None
    assert [item.kind for item in reply.heard] == ["finding"]


def test_a_safety_step_is_never_confirmed_by_an_answer_to_a_calculation(visit: Conversation) -> None:
    asked = visit.say("not cooling", "pulled the disconnect").safety_steps
    assert asked
    visit.say("charge by superheat", "piston")
    assert "without a stop" in (visit.say("yes").question or "")  # the airflow is proved, not the lock on
    assert visit.say("never mind").safety_steps == asked
    visit.say("superheat r410a")
    assert visit.say("done").safety_steps == asked


def test_the_plate_gives_what_it_has(visit: Conversation) -> None:
    visit.say("not cooling", "plate says R-410A")
    reply = visit.say("superheat 118 psi 52 line")
    assert "Superheat 12 °F" in reply.reply
    assert "R-410A (of the plate)" in reply.reply


def test_what_was_said_goes_before_the_plate(visit: Conversation) -> None:
    visit.say("not cooling", "plate says R-410A")
    assert "R-22" in visit.say("superheat 68 psi 55 line r22").reply


def test_fresh_readings_of_the_visit_are_used_and_said(visit: Conversation) -> None:
    visit.say("not cooling", "suction pressure is 118 psi", "suction line is 52 degrees")
    reply = visit.say("superheat r410a")
    assert "Superheat 12 °F" in reply.reply
    assert "118 psig (read in this visit)" in reply.reply


def test_a_reading_from_before_the_last_change_of_power_is_not_taken(visit: Conversation) -> None:
    visit.say("not cooling", "suction pressure is 118 psi", "suction line is 52 degrees", "pulled the disconnect")
    visit.say("power is back on")
    assert "suction pressure" in (visit.say("superheat r410a").question or "")


def test_news_that_bring_the_missing_input_finish_the_calculation(visit: Conversation) -> None:
    visit.say("not cooling", "superheat 118 psi 52 line")
    reply = visit.say("plate says R-410A")
    assert "Superheat 12 °F" in reply.reply


def test_a_refusal_says_the_range_and_asks_for_what_will_do(visit: Conversation) -> None:
    reply = visit.say("superheat r438a 60 psi 52 line")
    assert "no result" in reply.reply
    assert "chart" in (reply.question or "")
    assert "Superheat 12 °F" in visit.say("40").reply
    assert "valid 55 to 115 °F" in visit.say("target superheat 67 wet bulb 45 outside").reply


def test_an_answer_out_of_range_is_asked_for_again(visit: Conversation) -> None:
    visit.say("charge by subcooling txv r410a airflow proved")
    reply = visit.say("8 minutes")
    assert "valid 15 to 1440 min" in reply.reply
    assert "How long has it been running" in (reply.question or "")
    assert "How long has it been running" not in (visit.say("20 minutes").question or "")


def test_a_part_on_the_truck_is_no_print_and_is_told_whether_it_fits(visit: Conversation) -> None:
    """Never another capacitance, never fewer volts: common practice, no source."""
    visit.say("not cooling", "capacitor marked 45/5 370 volts")
    assert "Nothing at hand fits" in visit.say("I have a 40/5 440 on the truck").reply
    assert "Fit 45/5" in visit.say("got a 45/5 440 in stock").reply
    assert "Nothing at hand fits" in visit.say("I have a 45/5 330 on the truck").reply
    assert "25 µF 440 V and 20 µF 440 V in parallel" in visit.say("can I combine a 25 440 and a 20 440 for a 45").reply
    assert not [item for item in visit.reply.heard if item.kind in {"plate", "reading"}]


@pytest.mark.parametrize(("note", "says"), [
    ("can i use a 370 volt cap for a 440", "370 V in place of 440 V: Refuse."),
    ("is a 370 ok in place of a 440", "370 V in place of 440 V: Refuse."),
    ("can i use a 45 5 370 for a 440", "370 V in place of 440 V: Refuse."),
    ("can i use a 440 for a 370", "440 V in place of 370 V: The volts fit"),
])  # fmt: skip
def test_volts_alone_decide_at_once_whether_a_capacitor_is_refused(visit: Conversation, note: str, says: str) -> None:
    """Never fewer volts, always the marked microfarads: common practice, no source."""
    reply = visit.say("not cooling", note).reply
    assert says in reply
    assert "common practice of the trade, no source" in reply.lower()
    assert ("microfarads must be as marked" in reply) == ("Refuse" not in reply)


@pytest.mark.parametrize("note", [
    "what torque on the lugs", "how tight do the lugs go", "torque spec for the contactor lugs",
])  # fmt: skip
def test_torque_is_the_marked_one_and_no_figure_of_our_own(visit: Conversation, note: str) -> None:
    """The marked value, with an approved tool: NEC 110.14(D)."""
    reply = visit.say("not cooling", note)
    assert "marked value" in reply.reply
    assert "torque tool, never by feel" in reply.reply
    assert "110.14(D)" in reply.reply
    assert not reply.not_understood


def test_volts_without_a_name_are_held_against_the_plate(visit: Conversation) -> None:
    """Within 10 % of the plate's voltage: NEMA MG 1, 12.44.1."""
    assert "Which voltage is on the plate?" in (visit.say("not cooling", "is 190 volts too low").question or "")
    assert "Low, should be 207 to 253 V" in visit.say("230").reply
    assert "Low, should be 216 to 264 V" in visit.say("is 208 ok on a 240 unit").reply
    assert "In range, 207 to 253 V" in visit.say("is 228 volts ok for a 230 volt unit").reply
    assert not visit.desk.last_reply.readings


@pytest.mark.parametrize("note", ["is 24 volts ok", "is 190 volts too low at the coil", "is 118 volts to ground ok"])
def test_volts_of_something_else_are_not_held_against_the_plate(visit: Conversation, note: str) -> None:
    assert "supply_check" not in requests(visit.say("not cooling", note))


def test_a_winding_told_cold_and_now_asks_only_for_what_is_missing(visit: Conversation) -> None:
    """1.2083 times (234.5 + 23.9) less 234.5 is 77.7 °C: copper, NBS Bulletin 7 no. 1."""
    assert "S to R cold" in (visit.say("not cooling", "cold at 75 now 2.9").question or "")
    assert "Winding temperature 170 °F" in visit.say("2.4").reply
    assert not visit.desk.last_reply.readings
    heard = visit.say("suction line cold at 50 now 55").heard
    assert not [item for item in heard if item.kind == "request"]


def test_a_split_asked_about_is_held_against_its_own_air(visit: Conversation) -> None:
    """Target split 18.5 °F at 76/64 °F, within 3 °F: California RA3.2, table RA3.2-3, from memory."""
    assert (
        "Low, should be 16 to 22 °F"
        in visit.say("not cooling", "is a 12 degree split ok at 76 return 64 wet bulb").reply
    )
    assert not visit.desk.last_reply.readings


def test_static_of_the_cabinet_and_the_drop_of_the_filter_are_told_in_one_note(visit: Conversation) -> None:
    """0.35 and 0.40 in. w.c. are 0.75 together: arithmetic."""
    reply = visit.say("not cooling", "static pressure supply .35 return .4 filter drop .2")
    assert "0.75 in. w.c." in reply.reply
    assert [(item.about, item.value) for item in reply.heard if item.kind == "reading"] == [("filter_drop", 0.2)]
    assert not reply.not_understood


def test_a_measurement_asked_for_by_a_calculation_is_a_reading_of_the_visit(visit: Conversation) -> None:
    visit.say("not cooling", "plate r410a", "whats my superheat", "118")
    assert [item.about for item in visit.reply.heard if item.kind == "reading"] == ["suction"]
    reply = visit.say("52")
    assert "Superheat 12 °F" in reply.reply
    assert [(item.about, item.value) for item in reply.heard if item.kind == "reading"] == [("suction_line", 52)]


def test_a_question_with_numbers_of_its_own_leaves_no_reading(visit: Conversation) -> None:
    """Subcooling at 350 psi may be of any unit: so may the 98 that was asked for."""
    reply = visit.say("not cooling", "subcooling on 410a at 350 psi", "98")
    assert "Subcooling 9 °F" in reply.reply
    assert not [item for item in reply.heard if item.kind == "reading"]
    assert not reply.readings


def test_a_start_capacitor_is_judged_by_the_range_printed_on_it(visit: Conversation) -> None:
    """The reading must lie inside the printed range: EIA-463, from memory."""
    reply = visit.say("not cooling", "start cap reads 95 marked 88-108").reply
    assert "95 µF - in range, should be 88 to 108 µF" in reply
    assert "70 µF - low, should be 88 to 108 µF" in visit.say("start cap reads 70").reply
    assert [item.value for item in visit.desk.last_reply.heard if item.kind == "reading"] == [70]


def test_the_heat_index_comes_with_work_rest_and_water(visit: Conversation) -> None:
    """Rest and water: NIOSH 2017-127 (from memory), as the table of the knowledge says."""
    reply = visit.say("heat index 95 degrees 60 humidity").reply
    assert "min" in reply
    assert "water" in reply.lower()


def test_two_numbers_while_a_calculation_waits_are_no_error(visit: Conversation) -> None:
    visit.say("not cooling", "is 40 va enough for the coils")
    assert visit.say("6 lb 4 oz").heard


def test_the_plate_rules_over_the_code(visit: Conversation) -> None:
    reply = visit.say("not cooling", "max fuse 40 on the plate", "max fuse for this plate")
    assert "maximum fuse or breaker 40 A: that rules" in reply.reply
    assert reply.question is None


def test_the_lists_come_from_the_registry(visit: Conversation) -> None:
    kb = load()
    reply = visit.say("what can you calculate").reply
    assert all(one.name in reply for one in kb.calculations.values())
    reply = visit.say("which refrigerants do you know").reply
    assert all(one.name in reply for one in kb.refrigerants.values())
    assert "R-32 (A2L)" in reply


def test_a_capacitor_named_by_its_print_gets_its_window(visit: Conversation) -> None:
    reply = visit.say("what should a 35 on 370 read")
    assert [limit.window for limit in reply.limits] == ["32.9 to 37.1 µF"]


def test_when_it_can_be_touched_says_what_it_still_needs(visit: Conversation) -> None:
    visit.say("not cooling")
    assert "Measure the air temperature" in visit.say("how long until I can touch it").reply
    visit.say("95 outside", "shell is 200 degrees")
    assert "The forecast needs 3" in visit.say("how long until I can touch it").reply


@pytest.fixture(scope="module")
def engine(tmp_path_factory: pytest.TempPathFactory) -> Engine:
    return Engine(load(), SteppingClock(), "test", tmp_path_factory.mktemp("cache"))


STORY = ("not cooling", "fan off and compressor off", "24 volts at the contactor coil", *MAKE_DEAD, *DISCHARGE)


def traces(visit: Visit) -> list[str]:
    """What a visit holds besides words and questions."""
    told = (e.NoteHeard, e.ReplyGiven, e.Asked)
    return [
        event.model_dump_json(exclude={"seq", "at", "note"}) for event in visit.events if not isinstance(event, told)
    ]


@settings(deadline=None, max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(asked=st.lists(st.tuples(st.integers(0, len(STORY)), st.sampled_from(QUESTIONS)), max_size=4))
def test_asking_changes_nothing_but_the_talk(engine: Engine, asked: list[tuple[int, str]]) -> None:
    """The same visit with questions in between has the same readings, power, stops, suspects and next check."""
    plain = engine.open("plain", "split_psc_240")
    mixed = engine.open("plain", "split_psc_240")
    for place in range(len(STORY) + 1):
        for note in (note for at, note in asked if at == place):
            before = mixed
            mixed = engine.handle(mixed.visit, note)
            assert mixed.reply.suspects == before.reply.suspects
            assert mixed.reply.readings == before.reply.readings
        if place < len(STORY):
            plain, mixed = engine.handle(plain.visit, STORY[place]), engine.handle(mixed.visit, STORY[place])
    assert traces(mixed.visit) == traces(plain.visit)
    assert mixed.visit.state.power == plain.visit.state.power
    assert mixed.visit.state.stops == plain.visit.state.stops
    assert mixed.reply.suspects == plain.reply.suspects
    assert mixed.reply.next is not None
    assert plain.reply.next is not None
    assert mixed.reply.next.id == plain.reply.next.id  # its window is told in the units of the question


def test_what_waits_survives_the_end_of_the_program(visit: Conversation) -> None:
    visit.say("not cooling", "superheat r410a 118 psi")
    visit.killed()
    assert visit.reply.reply
    assert visit.say("superheat r410a 118 psi 52 line").heard


def test_the_log_holds_what_was_asked(visit: Conversation, tmp_path: Path) -> None:
    visit.say("not cooling", "superheat r410a 118 psi")
    lines = next((tmp_path / "visits").glob("**/*.jsonl")).read_text(encoding="utf-8")
    assert '"kind":"calculation"' in lines.replace(" ", "")

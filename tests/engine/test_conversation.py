"""What a technician says and what comes back, through engine, log and knowledge together."""

from __future__ import annotations

import pytest

from assistant.session.log import read

from .conversation import DISCHARGE, MAKE_DEAD, RESTORE, Conversation


def test_first_words_ask_for_complaint_and_plate(visit: Conversation) -> None:
    """A new visit starts with one question."""
    assert visit.reply.next is not None
    assert visit.reply.next.kind == "question"
    assert visit.reply.power == "unknown"


def test_several_findings_in_one_note_are_all_logged(visit: Conversation) -> None:
    """Complaint and two findings of one note all reach the reply and the log."""
    reply = visit.say("nothing running outside, stat is calling, blower runs")
    assert {(item.kind, item.about) for item in reply.heard} == {
        ("complaint", "nothing_runs_outside"),
        ("finding", "thermostat"),
        ("finding", "blower"),
    }
    assert not reply.not_understood


def test_next_check_comes_with_limits_and_a_reason(visit: Conversation) -> None:
    """After the looks the next check is a measurement with its window, source and why."""
    visit.say("nothing running outside, stat is calling, blower runs", "fan still, compressor silent")
    reply = visit.say("0 at the contactor coil")
    assert reply.limits
    assert reply.limits[0].source
    assert reply.next is not None
    assert reply.next.why


def test_hands_on_check_waits_for_every_proof(visit: Conversation) -> None:
    """The missing steps are listed in order and shrink one by one."""
    visit.say("outdoor fan hums, compressor runs", "pulled the disconnect")
    counts = []
    for note in (*MAKE_DEAD[1:], *DISCHARGE):
        reply = visit.say(note)
        counts.append(len(reply.safety_steps))
    assert visit.reply.power == "charge removed"
    assert counts == sorted(counts, reverse=True)
    assert counts[-1] == 0


def test_bare_zero_answers_the_step_that_was_asked(visit: Conversation) -> None:
    """While proving dead a bare "zero" is the reading of the step in question."""
    visit.say("fan hums", "pulled the disconnect", "locked and tagged", "tester proved on a known source")
    assert visit.reply.safety_steps[0].id == "zero_leg_to_leg"
    visit.say("zero", "0", "zero volts")
    assert visit.reply.safety_steps[0].id == "tester_after"


@pytest.mark.parametrize("restoring", ["power's back on", "put the disconnect back in", "breaker back on"])
def test_any_power_on_ends_the_proof(visit: Conversation, restoring: str) -> None:
    """After power came back everything is to be proved again."""
    visit.say("fan hums", *MAKE_DEAD, *DISCHARGE)
    assert visit.reply.power == "charge removed"
    reply = visit.say(restoring)
    assert reply.power == "live"


def test_resume_makes_power_unknown_and_keeps_the_rest(visit: Conversation) -> None:
    """Killed half way: findings stay, the proof of dead does not."""
    visit.say("nothing running outside, stat is calling", *MAKE_DEAD)
    assert visit.reply.power == "proved dead"
    reply = visit.killed()
    assert reply.power == "unknown"
    assert any("thermostat" in item.name for item in reply.readings)


def test_taking_back_a_power_note_never_restores_a_proof(visit: Conversation) -> None:
    """Undo of "power on" leaves the power unknown."""
    visit.say("fan hums", *MAKE_DEAD, "power's back on")
    reply = visit.say("take that back")
    assert reply.power == "unknown"


def test_winding_to_ground_stops_everything_live(visit: Conversation) -> None:
    """A grounded winding is a hard stop; words do not clear it, a passing re-test does."""
    visit.say("fan hums", *MAKE_DEAD, *DISCHARGE)
    reply = visit.say("compressor windings to ground 0.5 ohm")
    assert [stop.id for stop in reply.stops] == ["comp_grounded"]
    assert visit.say("take that back").stops
    assert visit.say("it's fine now").stops
    assert not visit.say("compressor winding to ground 500 megohm").stops


def test_one_leg_to_ground_is_no_proof_of_leg_to_leg(visit: Conversation) -> None:
    """While leg to leg is asked, a leg to ground proves only itself; all three in one note prove all three."""
    visit.say("fan hums", "pulled the disconnect", "locked and tagged", "tester proved on a known source")
    assert visit.reply.safety_steps[0].id == "zero_leg_to_leg"
    reply = visit.say("l1 to ground 0 volts")
    assert [step.id for step in reply.safety_steps][:2] == ["zero_leg_to_leg", "zero_leg_2"]
    reply = visit.say("leg to leg zero, each leg to ground zero")
    assert reply.safety_steps[0].id == "tester_after"


def test_hedged_safety_word_does_not_count(visit: Conversation) -> None:
    """ "I think it's locked" proves nothing."""
    visit.say("fan hums", "pulled the disconnect")
    reply = visit.say("I think it's locked and tagged")
    assert reply.power != "isolated"


def test_spoken_step_is_read_back_until_a_clear_yes(visit: Conversation) -> None:
    """A heard confirmation counts only after a clear yes; "same" is none and is asked again."""
    visit.say("fan hums")
    assert "disconnect opened" in visit.desk.say("pulled the disconnect", "spoken", 0.9).reply
    assert "disconnect opened" in visit.say("same").reply
    visit.say("yes", "locked and tagged")
    assert visit.reply.power == "isolated"


def test_zero_reading_that_is_not_zero_is_danger(visit: Conversation) -> None:
    """120 V on a leg while proving dead: danger, proofs gone."""
    visit.say("fan hums", *MAKE_DEAD[:4])
    reply = visit.say("l1 to ground 120 volts")
    assert reply.power == "live"
    assert "DANGER" in reply.reply


def test_no_part_is_condemned_without_a_reading_on_it(visit: Conversation) -> None:
    """Elimination alone never proposes a repair; the reading on the part does."""
    visit.say("cap is a 45/5", "fan hums, compressor runs", "stat is calling, blower runs", *MAKE_DEAD)
    assert visit.say(*DISCHARGE).repair is None
    visit.say("herm reads 45.2")
    reply = visit.say("fan side reads 0.2")
    assert reply.repair is None or reply.repair.id == "replace_capacitor"
    again = visit.say("same") if reply.repair is None else reply
    assert again.repair is not None
    assert again.repair.id == "replace_capacitor"
    assert again.repair.why


def test_whole_visit_ends_with_a_note(visit: Conversation) -> None:
    """From complaint to closed, with every event in the log."""
    visit.say(
        "nothing running outside, stat is calling, blower runs", "cap is a 45/5", "fan hums", *MAKE_DEAD, *DISCHARGE
    )
    visit.say("herm reads 45.1", "fan side reads 0.2")
    if visit.reply.repair is None:
        visit.say("same")
    visit.say("done", *RESTORE)
    assert visit.reply.phase == "proving"
    for _ in range(25):
        if visit.reply.closed:
            break
        visit.say("done" if visit.reply.safety_steps else "yes" if not _wants_reading(visit) else _good_reading(visit))
    assert visit.reply.closed
    paths = visit.desk.write_note()
    assert "run capacitor replaced" in paths[0].read_text(encoding="utf-8").lower()
    assert read(visit.visits.store.path_of(visit.desk.visit)).events[-1].type == "reply_given"


def _wants_reading(visit: Conversation) -> bool:
    return visit.reply.next is not None and visit.reply.next.id in _READINGS


def _good_reading(visit: Conversation) -> str:
    assert visit.reply.next is not None
    return _READINGS[visit.reply.next.id]


_READINGS = {
    "prove_volts": "238",
    "prove_amps_comp": "12.4",
    "prove_amps_fan": "1.1",
    "prove_cap_load": "6.1 amps on the herm lead, 358 volts herm to c running",
    "prove_cap_fan": "0.7 amps on the fan start lead, 371 volts fan to c",
    "prove_poles": "0.06",
    "prove_cooling": "return 78 supply 59",
    "prove_charge": "gauges not put on",
}


def test_a_unit_that_does_not_run_has_a_fan_and_a_compressor_that_do_not(visit: Conversation) -> None:
    visit.say("the unit wont run at all")
    shown = {item.name: item.shown for item in visit.reply.readings}
    assert shown["outdoor fan"] == "not running"
    assert shown["compressor sound"] == "not running"


def test_a_second_word_about_the_same_thing_narrows_the_first(visit: Conversation) -> None:
    visit.say("contactor not pulled in, no hum")
    assert [item.shown for item in visit.reply.readings] == ["dropped out"]
    assert [item.shown for item in visit.reply.heard if item.about == "contactor"] == ["contactor: dropped out"]


def test_another_check_can_be_wanted_while_its_safety_steps_are_asked(visit: Conversation) -> None:
    visit.say("nothing runs outside", "fan is still", "compressor silent", "contactor pulled in")
    while not (visit.reply.safety_steps and visit.reply.next):
        visit.say("can't")
    wanted = visit.reply.next.id
    visit.say("something else")
    assert visit.reply.next is None or visit.reply.next.id != wanted


def test_hot_compressor_and_a_dead_coil_go_together(visit: Conversation) -> None:
    """An open high-pressure switch drops the contactor of a compressor that got hot: common practice, no source."""
    visit.say("nothing runs outside", "contactor is out", "27 y to c at the board", "0 at the coil")
    visit.say("27 across the hp switch", "compressor is hot")
    assert "cannot both be right" not in visit.reply.reply


def test_why_names_a_suspect_that_the_check_would_show(visit: Conversation) -> None:
    visit.say("nothing runs outside", "contactor is out", "27 y to c at the board", "0 at the coil", "why")
    line = next(line for line in visit.reply.reply.split("\n") if line.startswith("A good unit gives"))
    good, _, bad = line.removeprefix("A good unit gives: ").partition(". With ")
    assert good != bad.rpartition("gives: ")[2].rstrip(".")


@pytest.mark.parametrize("undone", ["not locked and tagged", "disconnect is not open"])
def test_a_proved_step_that_is_undone_takes_the_proofs_with_it(visit: Conversation, undone: str) -> None:
    visit.say("nothing runs outside", *MAKE_DEAD)
    assert visit.reply.power == "proved dead"
    visit.say(undone)
    assert visit.reply.power == "unknown"
    assert "WARNING" in visit.reply.reply


def test_a_doubtful_danger_is_a_danger(visit: Conversation) -> None:
    visit.say("nothing runs outside", *MAKE_DEAD[:3])
    visit.say("I think there's 240 leg to leg")
    assert visit.reply.power == "live"
    assert "DANGER" in visit.reply.reply


def test_a_repair_is_declined_by_a_no_and_by_nothing_else(visit: Conversation) -> None:
    visit.say("nothing runs outside", "fan is humming", "blower runs", "compressor runs")
    visit.say(*MAKE_DEAD, *DISCHARGE, "fan side reads 0.2", "herm reads 45")
    visit.say("same")
    assert visit.reply.repair is not None
    visit.say("no")
    assert visit.reply.phase == "securing"


def test_zero_volts_behind_an_open_disconnect_are_no_evidence(visit: Conversation) -> None:
    visit.say("nothing runs outside", "240 line side", "pulled the disconnect", "0 l1 to ground")
    assert [item.name for item in visit.reply.readings] == ["volts across the contactor line side"]


def test_volts_behind_an_open_disconnect_are_danger_before_the_lock_too(visit: Conversation) -> None:
    visit.say("nothing runs outside", "240 line side", "pulled the disconnect", "240 load side")
    assert "DANGER" in visit.reply.reply
    assert "not dead" in visit.reply.reply.lower()


def test_control_volts_count_with_the_disconnect_open(visit: Conversation) -> None:
    visit.say("nothing runs outside", *MAKE_DEAD, "27 y to c at the board")
    assert [item.shown for item in visit.reply.readings] == ["27 V"]


def test_a_proof_by_numbers_is_not_given_by_a_yes(visit: Conversation) -> None:
    visit.say("nothing runs outside", "replaced the capacitor", *MAKE_DEAD, *DISCHARGE, *RESTORE)
    visit.say("fan is running", "compressor is running", "ready")
    assert visit.reply.next is not None
    assert visit.reply.next.id == "prove_volts"
    visit.say("yes")
    assert visit.reply.next is not None
    assert visit.reply.next.id == "prove_volts"
    visit.say("238 volts", "comp pulls 12.1", "0.9 amps on the fan")
    assert visit.reply.next is not None
    assert visit.reply.next.id == "prove_cap_load"


def test_the_own_isolation_is_no_finding_about_the_disconnect(visit: Conversation) -> None:
    visit.say("nothing runs outside", *MAKE_DEAD, "disconnect is out")
    assert not any(item.name == "outdoor disconnect" for item in visit.reply.readings)
    while visit.reply.next is not None and visit.reply.next.kind == "check":
        assert visit.reply.next.id != "look_disconnect"
        visit.say("something else")


def test_closing_up_is_told_in_own_words(visit: Conversation) -> None:
    visit.say("nothing runs outside", "finish", "yes")
    assert visit.reply.next is not None
    assert visit.reply.next.id == "secure_covers"
    visit.say("tools clear, covers on")
    assert visit.reply.next is not None
    assert visit.reply.next.id == "secure_disconnect"
    visit.say("lock off and power on")
    assert visit.reply.next is not None
    assert visit.reply.next.id == "secure_parts"


def test_a_bare_number_answers_the_check_behind_the_precautions(visit: Conversation) -> None:
    visit.say("nothing runs outside", "fan is still", "compressor silent", "contactor pulled in", "240 line side")
    assert visit.reply.safety_steps[0].id == "live_precautions"
    assert visit.reply.next is not None
    wanted = visit.desk._engine.kb.checks[visit.reply.next.id]
    visit.say("238")
    assert [item.about for item in visit.reply.heard] == [wanted.about]


def test_a_yes_beside_other_words_confirms_no_safety_step(visit: Conversation) -> None:
    visit.say("no cool", "pulled the disconnect", "locked and tagged")
    reply = visit.say("yes the purple doohickey")
    assert not any(item.kind == "safety" for item in reply.heard)
    assert reply.safety_steps[0].id == "tester_before"


def test_a_question_asked_back_is_left_in_words_or_stays_open(visit: Conversation) -> None:
    visit.say("no cool")
    assert visit.say("240 at the contactor").question
    assert visit.say("where are we").question
    assert "240 at the contactor" in visit.say("coil is clean").reply


def test_a_pushed_blade_and_a_shorted_capacitor_bring_their_warning(visit: Conversation) -> None:
    visit.say("no cool", "fan humming")
    assert "pushing its blade" in visit.say("pushed the blade with a stick and it ran").reply
    assert "capacitor can burst" in visit.say("shorted the cap with a screwdriver").reply


def test_while_a_step_is_asked_no_yes_is_asked_for_the_repair(visit: Conversation) -> None:
    visit.say("no cool, fan humming, compressor running, cap 40/5", *MAKE_DEAD)
    reply = visit.say("cap is swelled up", "herm 38.2 fan .2")
    assert reply.repair is not None
    assert reply.safety_steps
    assert 'Say "yes"' not in reply.reply


def test_what_cannot_be_reached_before_the_precautions_is_set_aside(visit: Conversation) -> None:
    reply = visit.say("no cool, 240 at the line side, nothing at the load side")
    asked = reply.next.id if reply.next else ""
    assert reply.safety_steps[0].id == "live_precautions"
    assert visit.say("cant reach it").next.id != asked  # type: ignore[union-attr]


def test_a_ground_found_on_an_unsafe_unit_is_taken_again_first(visit: Conversation) -> None:
    visit.say("trips the breaker", "compressor windings to ground 0.4 meg")
    assert [stop.id for stop in visit.reply.stops] == ["comp_grounded"]
    assert visit.reply.next is not None
    assert visit.reply.next.id == "r_comp_ground"
    assert visit.reply.safety_steps[0].id == "disconnect_open"
    visit.say(*MAKE_DEAD, *DISCHARGE, "0.3 meg")
    assert visit.reply.next is None or visit.reply.next.id != "look_blower"
    assert visit.reply.stops


def test_a_proof_that_stays_bad_sends_the_visit_back_for_a_second_root_fault(visit: Conversation) -> None:
    visit.say("nothing runs outside", "rla 14.5", *MAKE_DEAD, *DISCHARGE, "replaced the capacitor", *RESTORE)
    visit.say("fan is running", "compressor is running", "ready", "240 volts", "compressor amps 25")
    assert visit.reply.next is not None
    assert visit.reply.next.id == "prove_amps_comp"  # one bad reading does not condemn the work
    assert visit.reply.phase == "proving"
    visit.say("compressor amps 26")
    assert visit.reply.phase == "finding"
    assert "Proof fails: compressor amps" in visit.reply.reply


def test_a_proof_that_was_misread_is_good_when_two_takes_say_so(visit: Conversation) -> None:
    visit.say("nothing runs outside", "rla 14.5", *MAKE_DEAD, *DISCHARGE, "replaced the capacitor", *RESTORE)
    visit.say("fan is running", "compressor is running", "ready", "240 volts", "compressor amps 25")
    visit.say("compressor amps 12")
    assert visit.reply.next is not None
    assert visit.reply.next.id == "prove_amps_comp"
    assert "A third time decides" in visit.reply.reply
    visit.say("compressor amps 12.1")
    assert visit.reply.next is not None
    assert visit.reply.next.id == "prove_amps_fan"


@pytest.mark.parametrize(
    "note", ["fan hums and wont turn", "fan not turning but humming", "fan is humming not turning"]
)
def test_humming_and_still_in_one_note_is_the_humming_fan(visit: Conversation, note: str) -> None:
    """The more telling of two words about one thing counts, whichever came first."""
    visit.say(note)
    log = read(visit.visits.store.path_of(visit.desk.visit))
    found = [event for event in log.events if event.type == "finding_made"][-1]
    assert found.outcomes == ("humming",)


def test_a_shock_stops_everything_among_words_nobody_knows(visit: Conversation) -> None:
    """Danger is taken from any sentence it stands in."""
    reply = visit.say("compressor hums", "shock off the cabinet when i touched it")
    assert "shock_felt" in {stop.id for stop in reply.stops}


def test_what_is_under_way_is_not_done(visit: Conversation) -> None:
    visit.say("not cooling", "fan still, compressor hums", "ready to look inside")
    for words in ("on it", "hang on", "doing it now", "ready", "told them"):
        before = visit.reply.safety_steps
        visit.say(words)
        assert visit.reply.safety_steps == before
        assert visit.reply.power == "unknown"


def test_a_question_about_a_part_logs_nothing_of_it(visit: Conversation) -> None:
    visit.say("not cooling", "fan running, compressor off")
    known = len(visit.reply.readings)
    for words in (
        "how hot can the shell be",
        "can i put a 40 amp fuse in it",
        "should i replace the swollen capacitor",
    ):
        visit.say(words)
        assert len(visit.reply.readings) == known
        assert not visit.reply.not_understood
    visit.say("can i put a 40 amp fuse in it")
    assert "no fuse or breaker is larger than the plate allows" in visit.reply.reply


def test_an_opinion_is_answered_with_how_likely_it_is(visit: Conversation) -> None:
    visit.say("not cooling", "fan running, compressor hums", "must be the contactor")
    assert "hardly: contactor" in visit.reply.reply
    visit.say("is it the capacitor")
    assert "HERM section of the run capacitor open" in visit.reply.reply


def test_a_bare_yes_to_a_look_is_logged_under_the_name_of_the_part(visit: Conversation) -> None:
    visit.say("nothing runs outside", "fan still, compressor silent")
    assert visit.reply.next is not None
    assert visit.reply.next.id == "look_disconnect"
    visit.say("yes")
    assert "outdoor disconnect" in {item.name for item in visit.reply.readings}
    assert "yes" not in {item.name for item in visit.reply.readings}

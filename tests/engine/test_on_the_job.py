"""What a sloppy, hurried technician runs into on the way: no program may ask in vain or feed a fault."""

from __future__ import annotations

from assistant.session.events import ProofRecorded
from assistant.session.log import read

from .conversation import DISCHARGE, MAKE_DEAD, RESTORE, Conversation


def test_bare_volts_of_the_known_source_prove_the_tester(visit: Conversation) -> None:
    """A bare "121" answers the tester step; a zero there proves nothing."""
    visit.say("fan hums", "pulled the disconnect", "locked and tagged")
    assert visit.reply.safety_steps[0].id == "tester_before"
    visit.say("0")
    assert visit.reply.safety_steps[0].id == "tester_before"
    visit.say("121")
    assert visit.reply.safety_steps[0].id == "zero_leg_to_leg"


def test_nothing_is_energised_for_a_look_while_the_breaker_is_tripped(visit: Conversation) -> None:
    """With a tripped breaker neither a look at the running unit nor a live reading outdoors is asked."""
    visit.say("trips the breaker", "breaker is tripped")
    kb = visit.desk.kb
    for _ in range(4):
        item = visit.reply.next
        assert item is not None
        if item.id in kb.checks:
            check = kb.checks[item.id]
            fed = check.energised or check.needs.value == "live"
            assert not fed or check.setup in kb.power_rules.indoor_setups, check.id
        visit.say("something else")


def test_resetting_again_and_again_is_warned_of(visit: Conversation) -> None:
    """Who says that the breaker was reset three times hears that it must not be once more."""
    reply = visit.say("trips the breaker, he flipped it back three times")
    assert "No further reset" in reply.reply


def test_ice_starts_the_thaw_and_its_end_stops_it(visit: Conversation) -> None:
    """A coil found iced puts the thaw on the clock; once the ice is gone the timer goes too."""
    reply = visit.say("its freezing up", "indoor coil is a block of ice")
    assert [timer.id for timer in reply.timers] == ["thaw"]
    reply = visit.say("ice is all gone")
    assert not reply.timers


def test_a_proof_that_cannot_be_measured_is_not_asked_for_in_vain(visit: Conversation) -> None:
    """Out of reach while the live work is being prepared, or no tool: not done, with the reason, and on it goes."""
    visit.say("its freezing up, fan and compressor run, blower runs", "filter is dirty", "new filter in", *RESTORE)
    visit.say("both running")
    assert visit.reply.safety_steps[0].id == "live_precautions"
    visit.say("cant get at it")
    assert set(_not_done(visit)) == {"prove_volts"}
    visit.say("no clamp meter, no meter")
    left = _not_done(visit)
    assert set(left) == {
        "prove_volts",
        "prove_amps_comp",
        "prove_amps_fan",
        "prove_cap_load",
        "prove_cap_fan",
        "prove_poles",
    }
    assert "clamp meter" in left["prove_amps_fan"]


def _not_done(visit: Conversation) -> dict[str, str]:
    """Return the proofs recorded as not done, with the words of the reason."""
    events = read(visit.visits.store.path_of(visit.desk.visit)).events
    return {one.item: one.words for one in events if isinstance(one, ProofRecorded) and one.verdict == "not done"}


def test_the_rating_of_a_capacitor_never_voids_the_proofs(visit: Conversation) -> None:
    """ "440v" read off the can while the unit is proved dead is print, not power."""
    visit.say("fan hums", "pulled the disconnect", "locked and tagged", "tester works", "all zero", "tester still good")
    visit.say("bled it through the resistor, 2 vdc left")
    assert visit.reply.power == "charge removed"
    visit.say("cap is marked 40/5, 440v, 6 percent")
    assert visit.reply.power == "charge removed"
    assert not visit.reply.not_understood


def test_a_photograph_is_named_in_the_note_by_its_path(visit: Conversation) -> None:
    """The path and what it shows stand in the note; what the caption says is a finding all the same."""
    reply = visit.say("fan hums", 'photo "truck cam/IMG_12.jpg" of the chewed cable')
    assert any(item.about == "control_cable" for item in reply.heard)
    note = next(path for path in visit.desk.write_note() if path.suffix == ".md").read_text(encoding="utf-8")
    assert "## Photographs" in note
    assert "IMG_12.jpg: the chewed cable" in note.replace("\\", "")


def test_a_still_fan_is_asked_whether_it_hums_and_nothing_else(visit: Conversation) -> None:
    reply = visit.say("not cooling", "fan is still")
    assert reply.next is not None
    assert reply.next.id == "look_fan"
    assert "still but humming, or still and silent?" in reply.next.say
    assert "slow" not in reply.next.say

    told = visit.say("silent")
    assert {item.name: item.shown for item in told.readings}["outdoor fan"] == "still and silent"
    assert told.next is not None
    assert told.next.id != "look_fan"


def test_should_i_is_answered_with_how_likely_it_is_and_accepts_nothing(visit: Conversation) -> None:
    visit.say("not cooling", "fan is humming", "thermostat is calling", "compressor humming", "cap is a 45/5")
    visit.say("condenser coil is clean", *MAKE_DEAD, *DISCHARGE, "fan side reads 0.3")
    assert visit.say("0.3").repair is not None
    asked = visit.say("should i replace the capacitor?")
    assert visit.reply.phase == "finding"
    assert "run capacitor open" in asked.reply
    assert "found 0.3 µF" in asked.reply
    assert asked.repair is not None
    assert asked.repair.id == "replace_capacitor"

    visit.say("yes")
    assert visit.reply.phase == "repair"


def test_a_fan_winding_to_ground_told_twice_is_condemned_without_asking_for_the_breaker(visit: Conversation) -> None:
    visit.say("breaker trips", *MAKE_DEAD, *DISCHARGE, "fan winding to ground 0.5 ohm")
    reply = visit.say("still 0.5 ohms fan to ground")
    assert reply.repair is not None
    assert reply.repair.id == "replace_fan_motor"
    assert [stop.id for stop in reply.stops] == ["fan_grounded"]

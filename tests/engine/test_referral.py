"""Work for another trade or a certificate is handed on: nobody here is told to do it, and the note says referred."""

from __future__ import annotations

from .conversation import Conversation

GROUNDED = (
    "it trips the breaker", "thermostat is calling", "blower runs", "breaker is tripped",
    "cap is a 45/5, rla 14.5, rated voltage 230", "pulled the disconnect", "locked and tagged",
    "tester proved on a known source", "0 leg to leg", "0 leg 1 to ground", "0 leg 2 to ground", "tester proved again",
    "discharged the capacitor through the resistor", "2 volts dc on the capacitor",
    "compressor winding to ground 0.4 ohms", "0.4 ohms", "c to s 1.9 ohms", "s to r 2.5 ohms", "c to r 0.6 ohms",
)  # fmt: skip


def test_a_referral_asks_for_handing_on_and_a_yes_refers_it(visit: Conversation) -> None:
    asked = visit.say(*GROUNDED)
    assert asked.repair is not None
    assert asked.repair.refer
    assert "handed on" in asked.repair.say
    assert '"done"' not in asked.repair.say
    handed_on = visit.say("yes")
    assert handed_on.phase == "securing"
    assert "not proved safe" not in handed_on.reply


def test_a_visit_that_only_referred_is_not_closed_as_repaired(visit: Conversation) -> None:
    """Handing on mends nothing: neither the outcome nor the note says so."""
    visit.say(*GROUNDED, "yes", "yes", "yes", "yes", "yes")
    closed = visit.say("yes")
    assert closed.phase == "closed"
    note = next(path for path in visit.desk.write_note() if path.suffix == ".md").read_text(encoding="utf-8")
    assert "closed as: referred" in note
    assert "compressor replacement referred" in note
    assert "compressor replaced" not in note


def test_every_referral_says_so_where_it_is_recorded(visit: Conversation) -> None:
    """A repair for another trade never reads as done here."""
    for repair in visit.desk.kb.repairs.values():
        assert not repair.refer or "referred" in repair.done, repair.id

"""A technician who works in SI tells and reads SI; the visit is the same. 77 °F is 25 °C exactly (NIST SP 811, B.9)."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.open_visit import Visits
from knowledge import load
from tests.engine.clock import SteppingClock
from tests.engine.conversation import MAKE_DEAD, Conversation

US = ("nothing runs outside", *MAKE_DEAD, "compressor shell 176 degrees f", "replaced the capacitor")
SI = ("nothing runs outside", *MAKE_DEAD, "compressor shell 80 degrees c", "replaced the capacitor")
PROVING = ("tools clear", "everybody clear", "power on", "fan is running", "compressor is running")


class MetricConversation(Conversation):
    def __init__(self, home: Path) -> None:
        self.visits = Visits(
            load(), home / "visits", home / "notes", cache=home / "cache", clock=SteppingClock(), units="si"
        )
        self.desk = self.visits.new()
        self.reply = self.desk.greet()


@pytest.fixture
def metric(tmp_path: Path) -> Conversation:
    return MetricConversation(tmp_path)


def test_what_is_told_in_si_is_shown_in_si(metric: Conversation) -> None:
    metric.say(*SI[:-1])
    assert "80 °C" in metric.reply.reply
    assert "°F" not in metric.reply.reply.split("\n")[0]
    assert metric.reply.heard[0].value == pytest.approx(176)  # the machine-readable value stays canonical


def test_the_same_visit_in_si_and_in_us_units_leads_to_the_same_belief(tmp_path: Path, visit: Conversation) -> None:
    metric = MetricConversation(tmp_path / "si")
    for us, si in zip(US, SI, strict=True):
        visit.say(us)
        metric.say(si)
        assert metric.reply.suspects == visit.reply.suspects
        assert metric.reply.power == visit.reply.power


def test_the_split_is_a_difference_in_the_technicians_unit(metric: Conversation) -> None:
    metric.say("nothing runs outside", "replaced the capacitor", *PROVING, "return 25 c supply 14 c")
    assert "11 °C" in metric.reply.reply
    note = next(path for path in metric.desk.write_note() if path.suffix == ".md").read_text(encoding="utf-8")
    assert "25 °C" in note
    assert "77 °F" not in note


GAUGES = (
    ("suction 48 psi", "suction 330.95 kpa"),
    ("liquid 185 psi", "liquid 1.27553 megapascal"),
    ("suction line 66 f", "suction line 18.89 c"),
    ("liquid line 88 f", "liquid line 31.11 c"),
    ("outdoor air 95 f", "outdoor air 35 c"),
    ("return air 78 f", "return air 25.56 c"),
    ("wet bulb 66 f", "wet bulb 18.89 c"),
    ("supply air 66 f", "supply air 18.89 c"),
)
"""48 psi is 330.948 kPa: 1 psi = 6.894757 kPa (NIST SP 811, B.9)."""
RUNS = (
    "not cooling, r22, fixed orifice", "both fans run, compressor runs", "running 30 minutes", "filter is clean",
    "strong air", "condenser coil is clean", "indoor coil is clean",
)  # fmt: skip


def test_gauges_told_in_si_lead_to_the_same_belief(tmp_path: Path, visit: Conversation) -> None:
    metric = MetricConversation(tmp_path / "si")
    visit.say(*RUNS)
    metric.say(*RUNS)
    for us, si in GAUGES:
        visit.say(us)
        metric.say(si)
        assert [one.id for one in metric.reply.suspects] == [one.id for one in visit.reply.suspects]
        for one, other in zip(metric.reply.suspects, visit.reply.suspects, strict=True):
            assert one.probability == pytest.approx(other.probability, abs=0.01)
    assert visit.reply.suspects[0].name == "refrigerant charge low from a leak"
    assert "°F" not in metric.reply.reply.split("Next")[0]


ASKED_BARE = (
    ("charge by superheat", "charge by superheat"),
    ("r410a", "r410a"),
    ("piston", "piston"),
    ("yes", "yes"),
    ("20", "20"),
    ("95", "35"),
    ("78", "25.56"),
    ("66", "18.89"),
    ("118", "813.58"),
    ("64", "17.78"),
)
"""Bare answers, in the order in which the inputs are asked for; the right column is the left one in SI."""


def test_bare_answers_complete_a_verdict_in_either_system(tmp_path: Path, visit: Conversation) -> None:
    metric = MetricConversation(tmp_path / "si")
    for us, si in ASKED_BARE:
        visit.say(us)
        metric.say(si)
        assert (visit.reply.question is None) == (metric.reply.question is None), (us, metric.reply.reply)
    for reply in (visit.reply, metric.reply):
        assert reply.question is None
        assert "Charge by superheat" in reply.reply
    us, si = (reply.heard[0].value for reply in (visit.reply, metric.reply))
    assert us is not None
    assert si == pytest.approx(us, abs=0.05)

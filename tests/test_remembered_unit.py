"""A unit met again: known by what is told of it, its past readings beside today's, in the answer and in the note."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from assistant.desk import Desk
from assistant.open_visit import Visits
from knowledge import load

SAFE = (
    "pulled the disconnect", "locked and tagged", "tester proved on a known source", "0 leg to leg",
    "0 leg 1 to ground", "0 leg 2 to ground", "tester proved again", "discharged the capacitor through the resistor",
    "2 volts dc on the capacitor",
)  # fmt: skip


class Calendar:
    """A clock that stands until the next visit."""

    def __init__(self) -> None:
        self.now = datetime(2026, 6, 2, 14, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.now


@pytest.fixture
def calendar() -> Calendar:
    return Calendar()


@pytest.fixture
def visits(tmp_path: Path, calendar: Calendar) -> Visits:
    return Visits(load(), tmp_path / "visits", tmp_path / "notes", clock=calendar)


def visit(visits: Visits, *notes: str) -> Desk:
    desk = visits.new()
    for note in notes:
        desk.say(note)
    desk.close()
    return desk


def test_a_unit_met_again_shows_what_it_read_last_time(visits: Visits, calendar: Calendar) -> None:
    visit(visits, "not cooling, serial INV-4471", "cap is a 45/5", *SAFE, "herm reads 44.1")
    calendar.now += timedelta(days=40)
    desk = visits.new()
    assert "44.1 µF" in desk.say("not cooling, serial inv 4471").reply
    for note in ("cap is a 45/5", *SAFE):
        desk.say(note)
    reply = desk.say("herm reads 41.8").reply
    assert "On 2026-06-02, capacitance of the HERM section: 44.1 µF; since then -2.3 µF (-5 %)." in reply
    text = next(path for path in desk.write_note() if path.suffix == ".md").read_text(encoding="utf-8")
    desk.close()
    assert "| capacitance of the HERM section | 44.1 µF | 41.8 µF | -2.3 µF (-5 %) |" in text


def test_what_was_read_before_a_repair_says_nothing_of_the_unit_as_it_was_left(
    visits: Visits, calendar: Calendar
) -> None:
    visit(visits, "not cooling, serial INV-4471", "cap is a 45/5", *SAFE, "herm reads 12", "replaced the capacitor")
    calendar.now += timedelta(days=1)
    desk = visits.new()
    reply = desk.say("not cooling, serial INV-4471").reply
    desk.close()
    assert "run capacitor replaced" in reply
    assert "12 µF" not in reply


def test_split_and_capacitance_under_load_of_the_last_proof_stand_beside_todays(
    visits: Visits, calendar: Calendar
) -> None:
    safe = (*SAFE, "fan side reads 0.8", "replaced the capacitor", "tools clear", "everybody clear")
    proof = ("lock off and power on", "yes", "ready", "238", "12.4 amps", "1.1 amps")
    visit(visits, "not cooling, serial INV-4471", "cap is a 45/5", *safe, *proof,
          "6.1 amps on the herm lead, 358 volts herm to c running", "0.05", "return 78 supply 60")  # fmt: skip
    calendar.now += timedelta(days=300)
    desk = visits.new()
    assert "return and supply air 18 °F" in desk.say("not cooling, serial inv 4471").reply
    for note in ("cap is a 45/5", *safe, *proof):
        desk.say(note)
    under_load = desk.say("5.9 amps on the herm lead, 358 volts herm to c running").reply
    desk.say("0.05")
    split = desk.say("return 78 supply 62").reply
    text = next(path for path in desk.write_note() if path.suffix == ".md").read_text(encoding="utf-8")
    desk.close()
    assert "HERM capacitance under load: 45.2 µF; since then -1.48 µF (-3 %)." in under_load
    assert "return and supply air: 18 °F; since then -2 °F." in split
    assert "| return and supply air | 18 °F | 16 °F | -2 °F |" in text


def test_another_unit_is_not_taken_for_it(visits: Visits, calendar: Calendar) -> None:
    visit(visits, "not cooling, serial INV-4471", *SAFE, "herm reads 44.1")
    calendar.now += timedelta(days=1)
    desk = visits.new()
    reply = desk.say("not cooling, serial INV-4472").reply
    desk.close()
    assert "known" not in reply


def test_a_damaged_log_of_an_earlier_visit_keeps_nothing_from_the_technician(
    visits: Visits, calendar: Calendar, tmp_path: Path
) -> None:
    visit(visits, "not cooling, serial INV-4471")
    (tmp_path / "visits" / "2026-06-01-a.jsonl").write_text("no log at all\n", encoding="utf-8")
    calendar.now += timedelta(days=1)
    desk = visits.new()
    assert "2026-06-02" in desk.say("serial INV-4471").reply
    desk.close()

"""The end of the closing list: condensate, and superheat or subcooling judged, or why they could not be."""

from __future__ import annotations

from collections.abc import Iterator
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
TO_THE_DRAIN = (
    "not cooling, cap is a 45/5 440 volt", "plate subcooling 10, r410a", *SAFE, "fan side reads 0.8",
    "replaced the capacitor", "tools clear", "everybody clear", "lock off and power on", "yes", "ready", "238",
    "12.4 amps", "1.1 amps", "6.1 amps on the herm lead, 358 volts herm to c running",
    "0.7 amps on the fan start lead, 371 volts fan to c", "0.05", "return 78 supply 60",
    "yes", "yes", "yes",
)  # fmt: skip
GATES_OPEN = (
    "blower runs, filter clean, indoor coil clean, condenser clean, compressor running, fan running, "
    "been running 15 minutes"
)


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    desk = Visits(load(), tmp_path / "visits", tmp_path / "notes").new()
    for note in TO_THE_DRAIN:
        desk.say(note)
    yield desk
    desk.close()


def asked(desk: Desk) -> str | None:
    return desk.last_reply.next.id if desk.last_reply.next else None


def note_of(desk: Desk) -> str:
    return next(path for path in desk.write_note() if path.suffix == ".md").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    "said", ["drain is running", "yes", "pan is dry", "water comes out of the drain", "condensate drips outside"]
)
def test_condensate_that_runs_off_is_good(desk: Desk, said: str) -> None:
    assert asked(desk) == "prove_drain"
    desk.say(said)
    assert asked(desk) == "prove_charge"
    assert "| condensate runs off | good |" in note_of(desk)


def test_a_pan_that_runs_over_is_not(desk: Desk) -> None:
    assert "Not good: condensate runs off" in desk.say("pan is running over").reply


@pytest.mark.parametrize("said", ["gauges not put on", "no gauges", "not certified", "too cool out for it"])
def test_a_charge_that_was_not_judged_is_recorded_with_its_reason_and_leaves_nothing_open(
    desk: Desk, said: str
) -> None:
    desk.say("drain is running")
    desk.say(said)
    assert asked(desk) == "secure_wiring"
    text = note_of(desk)
    row = next(line for line in text.splitlines() if line.startswith("| superheat and subcooling | not done |"))
    assert len(row.split("|")[-2].strip()) > 5
    assert "superheat and subcooling not judged" in text
    assert "Not done: superheat and subcooling" not in text


def test_a_bare_yes_is_no_reading_of_it(desk: Desk) -> None:
    desk.say("drain is running")
    assert "I need the reading" in desk.say("yes").reply
    assert asked(desk) == "prove_charge"


@pytest.mark.parametrize(("degrees", "good"), [(11, True), (13, True), (7, True), (2, False), (19, False)])
def test_subcooling_is_judged_against_the_plate(desk: Desk, degrees: int, good: bool) -> None:
    """Plate 10 °F plus and minus 3 °F: California RA3.2 for expansion valves; beyond it the gauges' own error."""
    desk.say("drain is running")
    desk.say(GATES_OPEN)
    reply = desk.say(f"subcooling {degrees}").reply
    assert ("Not good: superheat and subcooling" in reply) is not good
    assert asked(desk) == ("secure_wiring" if good else "prove_charge")


def test_gauges_read_with_the_gate_shut_are_kept_and_not_judged(desk: Desk) -> None:
    desk.say("drain is running")
    desk.say("subcooling 4")
    assert asked(desk) == "secure_wiring"
    assert "4 °F, not judged: Gauges count only with" in note_of(desk)

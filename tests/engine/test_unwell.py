"""When a proof that came out bad says that a fault is left, and when it no longer does."""

from __future__ import annotations

import pytest

from assistant.engine.proving import fails, open_items, unwell
from assistant.reasoning.evidence import Unwell
from assistant.session import events as e
from tests.session.made import KB, Story


def seen(story: Story, check: str, outcome: str) -> None:
    story.find(KB.checks[check].about, outcome, check=check, outcomes=(outcome,))


def test_looks_that_are_good_when_taken_again_leave_no_fault_behind() -> None:
    story = Story()
    seen(story, "ask_load", "high")
    story.add(e.ProofRecorded, item="prove_comfort", verdict="bad", words="it is full of people")
    assert unwell(story.state, KB) is Unwell.LOOKS

    seen(story, "ask_load", "usual")
    assert unwell(story.state, KB) is Unwell.NO


def test_a_measured_proof_stays_bad_until_it_is_proved_good() -> None:
    story = Story()
    for _ in range(2):
        story.add(e.ProofRecorded, item="prove_cooling", verdict="bad", words="8 degrees")
    seen(story, "look_fan", "turning")
    assert unwell(story.state, KB) is Unwell.UNIT

    story.add(e.ProofRecorded, item="prove_cooling", verdict="good", words="19 degrees")
    assert unwell(story.state, KB) is Unwell.NO


def proved(story: Story, *told: tuple[str, float]) -> None:
    for verdict, value in told:
        story.add(
            e.ProofRecorded, item="prove_cap_fan", verdict=verdict, value=value, unit="µF", words="amps and volts"
        )


@pytest.mark.parametrize(
    ("told", "still_open", "failed"),
    [
        ((("good", 5.1),), False, False),
        ((("bad", 3.2),), True, False),
        ((("bad", 3.2), ("good", 5.0)), True, False),
        ((("bad", 3.2), ("good", 5.0), ("good", 5.1)), False, False),
        ((("bad", 3.2), ("good", 5.0), ("bad", 3.1)), False, True),
        ((("bad", 3.2), ("bad", 3.1)), False, True),
        ((("bad", 0.0), ("bad", 3.1)), True, False),  # one of the two was misread
        ((("bad", 0.0), ("bad", 3.1), ("bad", 3.2)), False, True),
    ],
)
def test_two_takes_that_agree_decide_a_measured_proof(
    told: tuple[tuple[str, float], ...], still_open: bool, failed: bool
) -> None:
    story = Story()
    story.add(e.PhaseEntered, phase="proving")
    proved(story, *told)

    item = KB.close_out["prove_cap_fan"]
    assert (item in open_items(story.state, KB)) is still_open
    assert fails(story.state, item) is failed

"""When a proof that came out bad says that a fault is left, and when it no longer does."""

from __future__ import annotations

from assistant.engine.proving import unwell
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

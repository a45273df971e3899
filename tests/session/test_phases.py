"""The phases of a visit: which triggers lead where, and what the guards say is missing."""

from __future__ import annotations

import pytest

from assistant.session import events as e
from assistant.session.phases import GUARDS, TABLE, Refusal, Trigger, next_phase, phase_table
from assistant.session.state import Power
from knowledge.models.visit import Phase

from .made import CLEAR, DEAD, DISCHARGED, ISOLATE, KB, Story


def at(phase: Phase, story: Story | None = None) -> Story:
    story = story or Story()
    if phase is not Phase.INTAKE:
        story.add(e.PhaseEntered, phase=phase.value)
    return story


def record(story: Story, phase: Phase, *, but: str = "") -> Story:
    for item in KB.close_out.values():
        if item.complaints:
            story.add(e.ComplaintReported, complaint=item.complaints[0], said="that too")
        if item.phase is phase and item.id != but:
            story.add(e.ProofRecorded, item=item.id, verdict="not done", words="called away")
    return story


def refused(story: Story, trigger: Trigger) -> Refusal:
    result = next_phase(story.state, trigger, KB)
    assert isinstance(result, Refusal)
    return result


@pytest.mark.parametrize(
    ("phase", "trigger", "target"),
    [
        (Phase.INTAKE, Trigger.COMPLAINT_OR_FINDING, Phase.FINDING),
        (Phase.FINDING, Trigger.REPAIR_ACCEPTED, Phase.REPAIR),
        (Phase.FINDING, Trigger.REPAIR_STARTED, Phase.REPAIR),
        (Phase.FINDING, Trigger.REPAIR_DONE, Phase.RESTART),
        (Phase.REPAIR, Trigger.REPAIR_DONE, Phase.RESTART),
        (Phase.PROVING, Trigger.REPAIR_DONE, Phase.RESTART),
        (Phase.FINDING, Trigger.NO_FAULT, Phase.PROVING),
        (Phase.PROVING, Trigger.STILL_FAULTY, Phase.FINDING),
        (Phase.RESTART, Trigger.STILL_FAULTY, Phase.FINDING),
        (Phase.FINDING, Trigger.LEAVE_UNREPAIRED, Phase.SECURING),
        (Phase.REPAIR, Trigger.LEAVE_UNREPAIRED, Phase.SECURING),
        (Phase.RESTART, Trigger.LEAVE_UNREPAIRED, Phase.SECURING),
        (Phase.PROVING, Trigger.LEAVE_UNREPAIRED, Phase.SECURING),
        (Phase.REPAIR, Trigger.FINISH_EARLY, Phase.CLOSED),
        (Phase.CLOSED, Trigger.REOPEN, Phase.FINDING),
    ],
)
def test_the_ways_through_a_visit(phase: Phase, trigger: Trigger, target: Phase) -> None:
    assert next_phase(at(phase).state, trigger, KB) is target


def test_a_trigger_that_leads_where_the_visit_is_changes_nothing() -> None:
    assert next_phase(at(Phase.FINDING).state, Trigger.COMPLAINT_OR_FINDING, KB) is Phase.FINDING
    assert next_phase(at(Phase.RESTART).state, Trigger.REPAIR_DONE, KB) is Phase.RESTART


def test_a_trigger_that_belongs_elsewhere_is_refused_with_the_phases_it_belongs_to() -> None:
    refusal = refused(at(Phase.INTAKE), Trigger.PROOFS_COMPLETE)
    assert refusal.guard == ""
    assert "Intake" in refusal.sentence
    assert "Proof of performance" in refusal.sentence


def test_an_unknown_trigger_is_a_mistake_of_the_caller() -> None:
    with pytest.raises(ValueError, match="dance"):
        next_phase(Story().state, "dance", KB)


@pytest.mark.parametrize(
    ("steps", "missing"),
    [
        (DEAD, "tools"),
        ((*DEAD, CLEAR[0]), "people"),
        ((*DEAD, *CLEAR), "power on"),
        ((*DEAD, CLEAR[0], ("power_on", None)), "people"),
    ],
)
def test_restart_waits_for_tools_people_and_power(steps: tuple[tuple[str, None], ...], missing: str) -> None:
    refusal = refused(at(Phase.RESTART, Story().steps(steps)), Trigger.POWER_RESTORED)
    assert refusal.guard == "clear and on"
    assert missing in refusal.sentence


@pytest.mark.parametrize(
    "steps",
    [(*DEAD, *CLEAR, ("power_on", None)), (("power_on", None), *CLEAR), (*CLEAR, ("power_on", None))],
)
def test_restart_leads_to_the_proofs_when_all_is_clear_and_on(steps: tuple[tuple[str, None], ...]) -> None:
    story = at(Phase.RESTART, Story().steps(steps))
    assert next_phase(story.state, Trigger.POWER_RESTORED, KB) is Phase.PROVING


def test_restart_is_refused_while_a_stop_forbids_energising() -> None:
    story = at(Phase.RESTART, Story().steps([*DEAD, *CLEAR, ("power_on", None)]))
    story.add(e.StopRaised, stop="burnt_terminal", because="lead burnt")
    refusal = refused(story, Trigger.POWER_RESTORED)
    assert refusal.guard == "no stop stands"
    assert KB.stops["burnt_terminal"].name in refusal.sentence
    assert KB.checks["look_wiring"].name in refusal.sentence
    story.add(e.StopCleared, stop="burnt_terminal", because="sound")
    assert next_phase(story.state, Trigger.POWER_RESTORED, KB) is Phase.PROVING


def test_no_fault_is_refused_while_a_stop_stands() -> None:
    story = at(Phase.FINDING)
    story.add(e.StopRaised, stop="wet_electrics", because="wet")
    assert refused(story, Trigger.NO_FAULT).guard == "no stop stands"


def test_a_stop_of_another_version_of_the_knowledge_forbids_energising() -> None:
    story = at(Phase.FINDING)
    story.add(e.StopRaised, stop="never_heard_of", because="older program")
    assert "never_heard_of" in refused(story, Trigger.NO_FAULT).sentence


@pytest.mark.parametrize(
    ("phase", "trigger", "target"),
    [
        (Phase.PROVING, Trigger.PROOFS_COMPLETE, Phase.SECURING),
        (Phase.SECURING, Trigger.SECURED, Phase.CLOSED),
    ],
)
def test_every_item_of_the_phase_is_recorded_first(phase: Phase, trigger: Trigger, target: Phase) -> None:
    items = [item for item in KB.close_out.values() if item.phase is phase and not item.only_with]
    assert len(items) > 2
    for item in items:
        story = record(at(phase), phase, but=item.id)
        sentence = refused(story, trigger).sentence
        assert item.name in sentence
        assert all(other.name not in sentence for other in items if other is not item)
    assert next_phase(record(at(phase), phase).state, trigger, KB) is target


@pytest.mark.parametrize("trigger", [Trigger.SECURED, Trigger.FINISH_EARLY])
def test_a_unit_that_must_not_be_energised_is_left_isolated(trigger: Trigger) -> None:
    story = record(at(Phase.SECURING), Phase.SECURING)
    story.add(e.StopRaised, stop="comp_grounded", because="0.2 MΩ")
    refusal = refused(story, trigger)
    assert refusal.guard == "left safe"
    assert "lock" in refusal.sentence
    story.steps(ISOLATE)
    assert story.state.power is Power.ISOLATED
    assert next_phase(story.state, trigger, KB) is Phase.CLOSED


def test_work_on_the_unit_makes_earlier_proofs_worthless() -> None:
    story = record(at(Phase.PROVING), Phase.PROVING)
    story.add(e.RepairDone, repair="replace_contactor", said="new contactor", proposed=False)
    assert story.state.proofs == {}


def test_a_search_in_between_opens_only_the_proof_that_was_bad() -> None:
    story = record(at(Phase.PROVING), Phase.PROVING)
    before = set(story.state.proofs)
    story.add(e.ProofRecorded, item="prove_amps_fan", verdict="bad", words="fan 9 amps")
    at(Phase.FINDING, story)
    assert set(story.state.proofs) == before - {"prove_amps_fan"}


def test_proofs_stay_while_the_visit_goes_from_proving_to_securing() -> None:
    story = record(at(Phase.PROVING), Phase.PROVING)
    at(Phase.SECURING, story)
    assert next_phase(record(story, Phase.SECURING).state, Trigger.SECURED, KB) is Phase.CLOSED
    assert len(story.state.proofs) == len(KB.close_out)


def test_closing_and_reopening() -> None:
    story = Story().steps(DISCHARGED)
    story.add(e.VisitClosed, outcome="repaired")
    assert (story.state.phase, story.state.closed) == ("closed", "repaired")
    at(Phase.FINDING, story)
    assert (story.state.phase, story.state.closed) == ("finding", None)


# --- the table ---


def test_every_phase_can_be_reached_and_has_a_way_out() -> None:
    reached, grown = {Phase.INTAKE}, True
    while grown:
        more = {row.target for row in TABLE if reached.intersection(row.source)} - reached
        reached, grown = reached | more, bool(more)
    assert reached == set(Phase)
    for phase in Phase:
        assert any(phase in row.source and row.target is not phase for row in TABLE)


def test_from_every_phase_the_visit_can_be_closed() -> None:
    closing = {Phase.CLOSED}
    for _ in Phase:
        closing |= {source for row in TABLE if row.target in closing for source in row.source}
    assert closing == set(Phase)


def test_no_pair_of_phase_and_trigger_has_two_rows_and_no_trigger_is_without() -> None:
    pairs = [(source, row.on) for row in TABLE for source in row.source]
    assert len(pairs) == len(set(pairs))
    assert {on for _, on in pairs} == set(Trigger)


def test_every_guard_is_used_and_every_used_guard_exists() -> None:
    assert {name for row in TABLE for name in row.guards} == set(GUARDS)


def test_only_guarded_rows_lead_to_the_proofs() -> None:
    for row in TABLE:
        if row.target is Phase.PROVING:
            assert "no stop stands" in row.guards


def test_the_printed_table_has_a_line_for_every_row() -> None:
    lines = phase_table().splitlines()
    assert len(lines) == len(TABLE) + 2
    for row, line in zip(TABLE, lines[2:], strict=True):
        assert f"| {row.on} |" in line
        assert line.endswith(f"| {row.target} |")


def test_what_nobody_complained_of_need_not_be_proved_gone() -> None:
    quiet = at(Phase.PROVING)
    for item in KB.close_out.values():
        if not item.complaints and item.phase is Phase.PROVING:
            quiet.add(e.ProofRecorded, item=item.id, verdict="not done", words="called away")
    assert next_phase(quiet.state, Trigger.PROOFS_COMPLETE, KB) is Phase.SECURING

    quiet.add(e.ComplaintReported, complaint="noisy", said="rattling outside")
    assert KB.close_out["prove_quiet"].name in refused(quiet, Trigger.PROOFS_COMPLETE).sentence

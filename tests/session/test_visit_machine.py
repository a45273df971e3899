"""Random visits: no order of steps, readings, power changes, undo and resuming proves what was not proved.

An independent account of the proofs is kept beside the fold: only "which steps with good values came in which order
since power may last have been back".
"""

from __future__ import annotations

import tempfile
from pathlib import Path

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import Bundle, RuleBasedStateMachine, consumes, initialize, invariant, rule

from assistant.reasoning.safety import cleared_stops, gate, raised_stops
from assistant.session import events as e
from assistant.session.fold import fold
from assistant.session.log import VisitLog, read
from assistant.session.power import missing_steps
from assistant.session.state import HELD_DEAD, Power
from knowledge.models.entry import PowerNeed

from .made import KB, Story, finding, reading

STEPS = sorted(KB.steps)
ZEROS = ("zero_leg_to_leg", "zero_leg_1", "zero_leg_2")
LIKELY = [*STEPS, "disconnect_open", "lock_tag", "tester_before", *ZEROS, "tester_after", "discharge", "dc_check"]
VOLTS = st.sampled_from([0.0, 0.4, 1.9, 2.0, 2.1, 12.0, 49.0, 118.0, 240.0, -118.0, None])
OHMS = st.sampled_from([0.0, 900.0, 1.9e6, 2.0e6, 5.0e7, None])
DOUBTS = st.sampled_from([(), (), ("unsure",), ("misheard",), ("assumed",)])


class Visits(RuleBasedStateMachine):
    """Told as the engine tells it; stops are raised and cleared by the gate's own word."""

    notes: Bundle[int] = Bundle("notes")

    @initialize()
    def begin(self) -> None:
        self.story = Story()
        self.account: list[str] = []
        """Good steps since power may last have been back."""
        self.owed: set[str] = set()
        """Stops raised and not yet re-tested."""
        self.cleared_by: dict[int, set[str]] = {}

    # --- what a technician does ---

    @rule(target=notes, step=st.sampled_from(LIKELY), value=VOLTS)
    def confirm(self, step: str, value: float | None) -> int:
        return self._confirm(step, value)

    def _confirm(self, step: str, value: float | None) -> int:
        measured = KB.steps[step].at_most is not None
        note = self.story.step(step, value if measured else None)
        if step == "power_on" or (step in ZEROS and value is not None and abs(value) > 2):
            self.account = []
        elif step == "dc_check" and value is not None and abs(value) > 10:
            self.account = [name for name in self.account if name not in {"discharge", "dc_check"}]
        elif not measured or value is not None:
            self.account.append(step)
        return note

    @rule(good=st.booleans())
    def prove_dead_in_one_go(self, good: bool) -> None:
        for step in ("disconnect_open", "lock_tag", "tester_before", *ZEROS):
            self._confirm(step, 0.2)
        self._confirm("tester_after" if good else "discharge", None)

    @rule()
    def remove_charge_in_one_go(self) -> None:
        self._confirm("discharge", None)
        self._confirm("dc_check", 3.0)

    @rule(target=notes, to=st.sampled_from(["live", "unknown"]))
    def power_changes(self, to: str) -> int:
        note = self.story.hear()
        self.story.add(e.PowerChanged, to=to, because="told so")
        self.account = []
        return note

    @rule()
    def resume(self) -> None:
        self.story.add(e.VisitResumed, knowledge="k", program="p")
        self.account = []

    @rule(target=notes, ohms=OHMS, doubts=DOUBTS)
    def read_to_ground(self, ohms: float | None, doubts: tuple[str, ...]) -> int:
        note = self.story.hear()
        proved = not missing_steps(self.story.state, PowerNeed.DISCHARGED, KB)
        made = reading(self.story.state, "r_comp_ground", ohms, over_limit=ohms is None, doubts=doubts, proved=proved)
        self._observe(self.story.add(e.ReadingTaken, **made), passes=(ohms is None or ohms >= 2e6) and proved)
        return note

    @rule(target=notes, how=st.sampled_from(["burnt", "good"]), negated=st.booleans(), doubts=DOUBTS)
    def look_at_the_wiring(self, how: str, negated: bool, doubts: tuple[str, ...]) -> int:
        note = self.story.hear()
        proved = not missing_steps(self.story.state, PowerNeed.DEAD, KB)
        outcomes = ("burnt",) if how == "burnt" else ("fine",)
        fields = {"check": "look_wiring", "outcomes": outcomes, "negated": negated, "doubts": doubts, "proved": proved}
        made = finding(self.story.state, "wiring", how, **fields)
        self._observe(self.story.add(e.FindingMade, **made), passes=how == "good" and not negated and proved)
        return note

    @rule(target=notes)
    def fuses(self) -> int:
        note = self.story.hear()
        again = any(done.repair == "replace_fuses" for done in self.story.state.repairs)
        before = self.story.state
        done = self.story.add(e.RepairDone, repair="replace_fuses", said="new fuses", proposed=False)
        raised = raised_stops(KB, before, done)
        assert bool(raised) is (again and "second_blown_fuse" not in self.owed)
        for stop, because in raised:
            self.story.add(e.StopRaised, stop=stop.id, because=because)
            self.owed.add(stop.id)
        return note

    @rule(target=notes)
    def say_something(self) -> int:
        note = self.story.hear()
        self.story.add(e.FreeNote, text="gate code 4")
        return note

    @rule(target=notes, note=consumes(notes), because=st.sampled_from(["undo", "correction"]))
    def take_back(self, note: int, because: str) -> int:
        """Taking back may be the note's own undo, or an old one's."""
        void = self.story.state.taken_back
        touched = any(
            event.note == note and isinstance(event, e.StepConfirmed | e.PowerChanged)
            for event in self.story.visit.events
        )
        before = self.story.state
        taking = self.story.take_back(note, because)
        self.owed |= self.cleared_by.get(note, set())
        if touched:
            self.account = []
            assert self.story.state.power is Power.UNKNOWN
            assert self.story.state.epoch > before.epoch
        assert self.story.state.taken_back != void
        return taking

    def _observe(self, event: e.ReadingTaken | e.FindingMade, *, passes: bool) -> None:
        self.account = [name for name in self.account if name not in {"tools_clear", "people_clear"}]
        for stop, because in raised_stops(KB, self.story.state, event):
            self.story.add(e.StopRaised, stop=stop.id, because=because)
            self.owed.add(stop.id)
        for stop, because in cleared_stops(KB, self.story.state, event):
            assert passes, "only a proved re-test that passes clears a stop"
            assert set(event.doubts) <= {"assumed"}, "a hedged word clears nothing"
            assert event.check in stop.retests
            self.story.add(e.StopCleared, stop=stop.id, because=because)
            self.owed.discard(stop.id)
            self.cleared_by.setdefault(event.note, set()).add(stop.id)

    # --- what must hold ---

    @invariant()
    def stops_never_vanish_by_themselves(self) -> None:
        assert set(self.story.standing()) == self.owed

    @invariant()
    def what_is_proved_was_done_in_order_in_this_epoch(self) -> None:
        power = self.story.state.power
        level = 0
        if in_order(self.account, ["disconnect_open", "lock_tag"]):
            level = 1
        if any(
            in_order(self.account, ["disconnect_open", "lock_tag", "tester_before", zero, "tester_after"])
            for zero in ZEROS
        ) and all(in_order(self.account, ["lock_tag", "tester_before", zero, "tester_after"]) for zero in ZEROS):
            level = 2
            if in_order(self.account, ["tester_after", "discharge", "dc_check"]):
                level = 3
        reached = {Power.ISOLATED: 1, Power.PROVED_DEAD: 2, Power.DISCHARGED: 3}.get(power, 0)
        assert reached <= level, f"{power} with only {self.account}"

    @invariant()
    def the_gate_opens_only_where_the_state_is_proved(self) -> None:
        state = self.story.state
        open_for = {need for need in PowerNeed if gate(state, need, KB).free}
        assert (PowerNeed.DEAD in open_for) <= (state.power in {Power.PROVED_DEAD, Power.DISCHARGED})
        assert (PowerNeed.DISCHARGED in open_for) <= (state.power is Power.DISCHARGED)
        assert (PowerNeed.LIVE in open_for) <= (state.power not in HELD_DEAD)
        if self.owed:
            assert PowerNeed.LIVE not in open_for
            assert gate(state, PowerNeed.LIVE, KB).missing == ()
        assert PowerNeed.ANY in open_for

    @invariant()
    def the_state_is_the_fold_of_the_events(self) -> None:
        assert fold(list(self.story.visit.events), KB) == self.story.state

    def teardown(self) -> None:
        """The whole visit, written and read, is the same visit."""
        if not hasattr(self, "story"):
            return
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "visit.jsonl"
            with VisitLog.create(path) as log:
                log.append(self.story.visit.events)
            content = read(path)
        assert content.events == tuple(self.story.visit.events)
        assert fold(content.events, KB) == self.story.state


def in_order(account: list[str], wanted: list[str]) -> bool:
    """True where the wanted steps occur in this order, other steps between them allowed."""
    rest = iter(account)
    return all(step in rest for step in wanted)


TestVisits = Visits.TestCase
TestVisits.settings = settings(max_examples=120, stateful_step_count=40, deadline=None)

"""No sequence of notes ever yields a hands-on check or repair without its proofs in the current power epoch.

The oracle below is written from the rule, not from the program: it walks the log and keeps what was proved since
power last came back or was lost from sight. A step counts only where its words name it, or where they answer the
question for that very step. Rule: lockout sequence of 29 CFR 1910.147(d) and live-dead-live test of
NFPA 70E 120.5 (both as cited in the knowledge), stored charge by DC reading (derived).
"""

from __future__ import annotations

import tempfile
from collections.abc import Iterable
from pathlib import Path

from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from assistant.desk import Desk
from assistant.dialogue.reply import Reply
from assistant.open_visit import Visits
from assistant.session import events as e
from assistant.session.log import read
from knowledge import load
from tests.engine.clock import SteppingClock

ZEROS = {"zero_leg_to_leg", "zero_leg_1", "zero_leg_2"}
THREE_PHASES = ZEROS | {"zero_l2_l3", "zero_l1_l3", "zero_leg_3"}
"""All three pairs and all three legs to ground."""
DEAD_V = 2.0
CHARGE_LEFT_V = 10.0

NAMED_BY = {
    "disconnect_open": ("disconnect",), "lock_tag": ("lock",), "tester_before": ("tester",),
    "tester_after": ("tester",),
    "zero_leg_to_leg": ("leg to leg", "all three pairs"),
    "zero_leg_1": ("l1", "all three legs"), "zero_leg_2": ("l2", "all three legs"),
    "zero_l2_l3": ("l2 to l3", "all three pairs"), "zero_l1_l3": ("l1 to l3", "all three pairs"),
    "zero_leg_3": ("l3", "all three legs"),
    "discharge": ("discharged",), "discharge_start": ("discharged the start",),
    "dc_check_start": ("dc on the start",), "dc_check": ("dc on the capacitor", "volts dc"),
}  # fmt: skip
"""Words of the notes below that name a step; which step the program took them for is not believed."""

IN_ORDER = (
    "pulled the disconnect", "locked and tagged", "tester proved on a known source", "leg to leg 0 volts",
    "l1 to ground 0 volts", "l2 to ground 0 volts", "proved the tester again",
    "discharged the capacitor through the resistor", "3 volts dc on the capacitor",
)  # fmt: skip
MORE_OF_THREE = ("l2 to l3 0 volts", "l1 to l3 0 volts", "l3 to ground 0 volts")
MORE_OF_KIT = ("discharged the start capacitor", "2 volts dc on the start capacitor")
OTHER = (
    "three phase unit", "single phase unit", "has a hard start kit", "no hard start kit", *MORE_OF_THREE, *MORE_OF_KIT,
    "l2 to l3 104 volts", "l3 to ground 120 volts", "all three pairs 0 volts", "all three legs to ground 0 volts",
    "nothing running outside", "stat is calling, blower runs", "fan is humming", "compressor silent",
    "contactor is out", "contactor pulled in", "27 at the coil", "0 at the coil", "240 line side", "0 load side",
    "herm reads 12", "fan side reads 0.3", "herm 45", "c to r 0.8 ohm", "windings to ground 0.5 ohm",
    "leg to leg 240 volts", "l1 to ground 120 volts", "300 volts dc on the capacitor", "power's back on",
    "breaker back on", "tools clear", "everybody clear", "fan is running now", "8 amps on the compressor",
    "yes", "no", "done", "zero", "0", "skip", "can't get at it", "what next", "something else", "why", "take that back",
    "no, thirteen", "I meant the herm side", "not locked yet", "I think it's dead", "should I pull the disconnect?",
    "replaced the capacitor", "put new fuses in", "same", "finish", "", "blah blah", "lead is burnt", "wires look fine",
)  # fmt: skip


class AnyVisit(RuleBasedStateMachine):
    """A technician who says anything in any order, takes things back, and kills the program."""

    @initialize()
    def begin(self) -> None:
        self.home = tempfile.TemporaryDirectory()
        root = Path(self.home.name)
        self.visits = Visits(load(), root / "visits", root / "notes", cache=None, clock=SteppingClock())
        self.desk: Desk = self.visits.new()
        self.reply: Reply = self.desk.greet()

    @rule(note=st.sampled_from(OTHER))
    def say_something(self, note: str) -> None:
        self.reply = self.desk.say(note)

    @rule(count=st.integers(1, len(IN_ORDER)), start=st.integers(0, len(IN_ORDER) - 1))
    def make_safe_partly(self, count: int, start: int) -> None:
        for note in IN_ORDER[start : start + count]:
            self.reply = self.desk.say(note)
            self.check()

    @rule()
    def make_safe(self) -> None:
        self.make_safe_partly(len(IN_ORDER), 0)

    @rule(kit=st.booleans(), three=st.booleans())
    def make_safe_whatever_it_is(self, kit: bool, three: bool) -> None:
        zeros = (*IN_ORDER[3:6], *(MORE_OF_THREE if three else ()))
        charge = (IN_ORDER[7], *(MORE_OF_KIT[:1] if kit else ()), IN_ORDER[8], *(MORE_OF_KIT[1:] if kit else ()))
        for note in (*IN_ORDER[:3], *zeros, IN_ORDER[6], *charge):
            self.reply = self.desk.say(note)
            self.check()

    @rule(note=st.sampled_from(IN_ORDER), spoken=st.booleans())
    def one_step(self, note: str, spoken: bool) -> None:
        self.reply = self.desk.say(note, "spoken" if spoken else "typed", 0.9 if spoken else None)

    @rule()
    def killed_and_started_again(self) -> None:
        visit = self.desk.visit
        self.desk.close()
        self.desk = self.visits.resumed(visit)
        self.reply = self.desk.greet()
        assert self.reply.power == "unknown"

    @invariant()
    def check(self) -> None:
        events = read(self.visits.store.path_of(self.desk.visit)).events
        dead, discharged = proved(events)
        assert (self.reply.power in {"proved dead", "charge removed"}) <= dead
        assert (self.reply.power == "charge removed") <= discharged
        needs = self.reply.repair.needs if self.reply.repair else self.reply.next.needs if self.reply.next else "any"
        if not self.reply.safety_steps:
            assert needs != "dead" or dead, self.reply.reply
            assert needs != "discharged" or discharged, self.reply.reply

    def teardown(self) -> None:
        self.desk.close()
        self.home.cleanup()


def proved(events: Iterable[e.AnyEvent]) -> tuple[bool, bool]:
    """Return (dead, discharged) by the rule alone."""
    listed = list(events)
    kind, kit = _built(listed)
    zeros = THREE_PHASES if kind == "three_phase" else ZEROS
    done: list[str] = []
    notes: dict[int, bool] = {}
    asked = ""
    for event in listed:
        if isinstance(event, e.Asked):
            asked = event.id if event.kind == "step" else ""
        if isinstance(event, e.StepConfirmed | e.PowerChanged):
            notes[event.note] = True
        back = isinstance(event, e.NoteTakenBack) and notes.get(event.taken_back, False)
        if back or isinstance(event, e.VisitResumed | e.PowerChanged):
            done = []
        elif isinstance(event, e.StepConfirmed):
            if event.step == "power_on" or (
                event.step in THREE_PHASES and (event.value is None or event.value > DEAD_V)
            ):
                done = []
            elif event.step in {"dc_check", "dc_check_start"} and (event.value is None or event.value > CHARGE_LEFT_V):
                done = [step for step in done if not step.startswith("discharge")]
            elif event.step == asked or any(words in event.said.lower() for words in NAMED_BY.get(event.step, ())):
                done.append(event.step)
    dead = _dead(done, zeros)
    return dead, dead and all(
        discharge in done and check in _after(done, discharge)
        for discharge, check in (("discharge", "dc_check"), *([("discharge_start", "dc_check_start")] if kit else []))
    )


def _built(events: list[e.AnyEvent]) -> tuple[str, bool]:
    """Return the kind of unit and whether it has a start capacitor, by the words that stand in the end."""
    void: set[int] = set()
    for event in reversed(events):
        if isinstance(event, e.NoteTakenBack) and event.note not in void:
            void.add(event.taken_back)
    kind, kit = "split_psc_240", {}
    for event in events:
        if isinstance(event, e.BuiltTold) and event.note not in void:
            kind = event.choice if event.option == "kind" else kind
            kit |= {event.option: event.choice}
    return kind, kind == "split_psc_240" and kit.get("hard_start") == "kit"


def _dead(done: list[str], zeros: set[str]) -> bool:
    if not {"disconnect_open", "lock_tag", "tester_before", "tester_after"} | zeros <= set(done):
        return False
    isolated = max(done.index("disconnect_open"), done.index("lock_tag"))
    starts = [at for at, step in enumerate(done) if step == "tester_before" and at > isolated]
    ends = [at for at, step in enumerate(done) if step == "tester_after"]
    return any(set(done[start:end]) >= zeros for start in starts for end in ends)


def _after(done: list[str], step: str) -> list[str]:
    return done[done.index(step) :]


AnyVisit.TestCase.settings = settings(
    max_examples=40,
    stateful_step_count=25,
    deadline=None,
    phases=(Phase.explicit, Phase.reuse, Phase.generate),  # shrinking whole visits takes minutes
    suppress_health_check=list(HealthCheck),
)
TestAnyVisit = AnyVisit.TestCase

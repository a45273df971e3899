"""Safety as data: steps of making safe and restoring, cautions, hard stops."""

from __future__ import annotations

from typing import Literal

from .entry import Closed, Entry, Fitted, Id, PowerNeed, Signal, Text


class SafetyStep(Fitted):
    order: int
    """Place in the sequence; a step counts only when those before it in its group are done."""
    group: Literal["isolate", "prove_dead", "remove_charge", "live_work", "restore"]
    say: Text
    spoken: Text
    name: Text
    """Past tense for the record: ``disconnect pulled open``"""
    reading: Id | None = None
    """Quantity that the step must be confirmed with, where it is a measurement."""
    about: Id | None = None
    """Subject the measurement is about: ``leg_to_leg``."""
    also_about: tuple[Id, ...] = ()
    """Other names of the same pair of points."""
    at_most: float | None = None
    """Largest value that counts as "dead" or "discharged"."""
    live_reading: Id | None = None
    """Quantity that may be told instead of a plain "done": the volts of the known source."""
    at_least: float | None = None
    """Smallest value of it that shows the tester at work."""
    instead: Text | None = None
    """Said where it was reported done another way, or not done: what is wrong with that, and how it is done."""
    instead_spoken: Text | None = None
    source: str


class SafetyStepFile(Closed):
    steps: tuple[SafetyStep, ...]


class Caution(Entry):
    signal: Signal
    text: Text
    spoken: Text
    when: tuple[str, ...]
    """``check:ID``, ``repair:ID``, ``phase:ID``, ``hazard:ID``, ``needs:live`` ... any of them shows it."""
    source: str


class CautionFile(Closed):
    cautions: tuple[Caution, ...]


class Stop(Entry):
    """A hard stop outside all probabilities; only a recorded re-test that passes clears it."""

    signal: Signal
    name: Text
    text: Text
    spoken: Text
    check: Id | None = None
    """Numeric trigger: a reading of this check below/at least the value."""
    below: float | None = None
    at_least: float | None = None
    about: Id | None = None
    states: tuple[Id, ...] = ()
    """Finding trigger: this subject (or a part of it) in one of these states."""
    repeats_repair: Id | None = None
    """Trigger: this repair is wanted a second time in the visit (second blown fuse)."""
    retest: Id
    """Check that clears it when it passes."""
    also_retests: tuple[Id, ...] = ()
    """Further re-tests that must pass by the same measure, in any order, all of them after the stop was raised."""
    retest_at_least: float | None = None
    retest_below: float | None = None
    retest_outcomes: tuple[Id, ...] = ()
    forbids: tuple[PowerNeed, ...]
    """Power needs that may not be worked while it stands; ``live`` = do not energise."""
    source: str

    @property
    def retests(self) -> tuple[str, ...]:
        """All the checks that must pass."""
        return (self.retest, *self.also_retests)


class StopFile(Closed):
    stops: tuple[Stop, ...]


class Turned(Closed):
    """What is said alike of a fan that the hand turns and of one that power turns."""

    subject: Id
    said: tuple[str, ...]
    """Last words of what is asked back: spins. Words for a motor at work (is turning, running) are not."""
    blade: Id
    state: Id
    """What it means where the hand turned it: this part in this state."""
    by_hand: Id
    by_itself: Id
    """Intents that answer which of the two it was."""


class PowerRules(Closed):
    """Numbers and names that the power-state table needs."""

    hazardous_v: float
    """A voltage of at least this, measured where the disconnect should have made dead, shows that the unit is fed."""
    running_a: float
    """A current above this shows the same."""
    running_subjects: tuple[Id, ...]
    running_states: tuple[Id, ...]
    """One of these subjects found in one of these states shows the same."""
    closing: dict[Id, tuple[Id, ...]]
    """Subject -> states that close the supply: told of it while it is held open, they are news of power on."""
    fed_from_indoors: tuple[Id, ...]
    """Subjects that the outdoor disconnect does not make dead: what is measured there shows nothing about it."""
    control_circuit: tuple[Id, ...] = ()
    """Subjects outdoors that the control voltage from indoors feeds: a reading there means something with the
    disconnect open, and line voltage found there is danger all the same."""
    indoor_setups: tuple[Id, ...] = ()
    """Set-ups of checks that mean something while nothing reaches the outdoor unit."""
    any_order: tuple[tuple[Id, ...], ...] = ()
    """Steps of one group that do not wait for each other."""
    certain_enough: tuple[str, ...] = ()
    """Doubts that a re-test may carry and still clear a hard stop; any other doubt leaves the stop standing."""
    turned: Turned
    source: str


class PowerRulesFile(Closed):
    power_rules: PowerRules

"""Events and states made short, for the tests of the session and of the safety gate. All values are invented."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, datetime, timedelta
from typing import Any

from assistant.session import events as e
from assistant.session.fold import Visit
from assistant.session.state import VisitState
from knowledge import KnowledgeBase
from knowledge.base import load

NOON = datetime(2026, 7, 4, 12, 0, tzinfo=UTC)
KB: KnowledgeBase = load()

ISOLATE = (("disconnect_open", None), ("lock_tag", None))
PROVE = (
    ("tester_before", None),
    ("zero_leg_to_leg", 0.3),
    ("zero_leg_1", 0.0),
    ("zero_leg_2", 0.1),
    ("tester_after", None),
)
DISCHARGE = (("discharge", None), ("dc_check", 1.5))
CLEAR = (("tools_clear", None), ("people_clear", None))
DEAD = (*ISOLATE, *PROVE)
DISCHARGED = (*DEAD, *DISCHARGE)


class Story:
    """A visit told event by event; notes and sequence numbers are counted as the engine counts them."""

    def __init__(self) -> None:
        self.visit = Visit(KB)
        self.note = 0
        self.add(e.VisitOpened, visit="2026-07-04-a", unit_kind="split_psc_240", knowledge="k", program="p")

    @property
    def state(self) -> VisitState:
        return self.visit.state

    def add(self, kind: type[e.Event], /, **fields: Any) -> Any:
        """Add one event to the current note."""
        seq = self.state.seq + 1
        event: Any = kind(at=NOON + timedelta(seconds=seq), seq=seq, note=self.note, **fields)
        self.visit = self.visit.extended([event])
        return event

    def standing(self) -> list[str]:
        """Ids of the stops that stand."""
        return [stop.stop for stop in self.state.stops]

    def hear(self, text: str = "words") -> int:
        """Begin the next note and return its number."""
        self.note += 1
        self.add(e.NoteHeard, text=text, source="typed")
        return self.note

    def step(self, step: str, value: float | None = None) -> int:
        note = self.hear()
        self.add(e.StepConfirmed, step=step, value=value, said=step)
        return note

    def steps(self, steps: Iterable[tuple[str, float | None]]) -> Story:
        for step, value in steps:
            self.step(step, value)
        return self

    def read(self, check: str, value: float | None, /, **fields: Any) -> e.ReadingTaken:
        """Take a reading that answers a check, as the state now proves it."""
        self.hear()
        event: e.ReadingTaken = self.add(e.ReadingTaken, **reading(self.state, check, value, **fields))
        return event

    def find(self, about: str, state: str, /, **fields: Any) -> e.FindingMade:
        self.hear()
        event: e.FindingMade = self.add(e.FindingMade, **finding(self.state, about, state, **fields))
        return event

    def take_back(self, note: int, because: str = "undo") -> int:
        taking = self.hear("take that back")
        self.add(e.NoteTakenBack, taken_back=note, because=because)
        return taking


def reading(state: VisitState, check: str, value: float | None, /, **fields: Any) -> dict[str, Any]:
    entry = KB.checks[check]
    whole = {
        "about": entry.about,
        "quantity": entry.quantity,
        "value": value,
        "unit": "x",
        "check": check,
        "said": f"{value}",
        "power": state.power,
        "epoch": state.epoch,
        "proved": True,
        "phase": state.phase,
    }
    return whole | fields


def finding(state: VisitState, about: str, how: str, /, **fields: Any) -> dict[str, Any]:
    whole = {
        "about": about,
        "state": how,
        "said": f"{about} {how}",
        "power": state.power,
        "epoch": state.epoch,
        "proved": True,
        "phase": state.phase,
    }
    return whole | fields

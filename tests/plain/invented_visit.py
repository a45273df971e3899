"""An invented visit and a desk that plays it back, for the tests of both front ends. Nothing here is real."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, cast

from assistant.dialogue.reply import (
    CautionItem,
    HeardItem,
    LimitItem,
    NextItem,
    ReadingItem,
    RepairItem,
    Reply,
    StepItem,
    StopItem,
    SuspectItem,
    TimerItem,
)

if TYPE_CHECKING:
    from assistant.desk import Desk

VISIT = "invented-1"

STEPS = (
    StepItem(
        id="disconnect_open",
        say="Thermostat off, then open the outdoor disconnect (and the breaker where you work on the "
        "disconnect itself). Thermostat or contactor alone isolate nothing.",
        spoken="Open the disconnect. Done?",
    ),
    StepItem(id="lock_tag", say="Put your own lock and tag on it, key in your pocket.", spoken="Lock and tag on?"),
    StepItem(
        id="tester_before",
        say="Prove the tester on a known live source of the same kind.",
        spoken="Tester proved on a known source?",
    ),
    StepItem(
        id="zero_leg_to_leg",
        say="At the contactor line side, measure leg to leg. Volts?",
        spoken="Volts leg to leg?",
    ),
)
FAN_CAP = NextItem(
    id="uf_fan",
    name="fan capacitor, C to FAN",
    say="Measure the capacitor from C to FAN, leads pulled. Microfarads?",
    why="A weak fan capacitor is the likeliest cause of a humming fan, and this one reading settles it.",
    minutes=2,
    limits=(
        LimitItem(
            quantity="capacitance",
            about="cap_fan",
            low=4.7,
            high=5.3,
            unit="µF",
            window="4.7 to 5.3 µF",
            source="printed tolerance, common practice",
        ),
    ),
    needs="discharged",
)
SUSPECTS = (
    SuspectItem(
        id="cap_fan_weak",
        name="run capacitor, FAN side weak",
        probability=0.71,
        word="likely",
        consequences=("condenser fan does not start", "head pressure rises, overload opens"),
    ),
    SuspectItem(id="fan_bearing", name="fan motor bearing seized", probability=0.17, word="possible"),
    SuspectItem(id="fan_open", name="fan motor winding open", probability=0.04, word="unlikely"),
)
STOP = StopItem(
    id="comp_grounded",
    signal="danger",
    say="Compressor winding to ground. Do not energise this unit again.",
    because="compressor C to ground reads 0.4 MΩ, needs at least 2 MΩ",
)
SECOND_STOP = StopItem(
    id="burnt_disconnect",
    signal="warning",
    say="Burnt disconnect. Do not put it back into service.",
    because="disconnect reported burnt",
)
SECOND_SOURCE = CautionItem(
    id="second_source",
    signal="warning",
    say="With the disconnect open, 24 volts from indoors and the line side of the disconnect stay live. Test "
    "every point you touch.",
)
COOL_DOWN = TimerItem(id="cool_down", name="compressor cooling down", ends="2026-07-01T15:44:12Z", minutes=45)
READINGS = (
    ReadingItem(name="fan", shown="humming", doubt="spelling"),
    ReadingItem(name="line voltage L1 to L2", shown="241 V", verdict="in range"),
    ReadingItem(name="capacitor HERM", shown="38.1 µF", verdict="low"),
)

WELCOME = Reply(
    visit=VISIT,
    note=0,
    power="unknown",
    phase="intake",
    next=NextItem(
        id="complaint",
        kind="question",
        name="the complaint",
        say="What is the complaint, and what stands on the plate?",
        why="",
        minutes=1,
    ),
    reply="What is the complaint, and what stands on the plate?",
    spoken="What is the complaint?",
)
HUMMING = Reply(
    visit=VISIT,
    note=1,
    heard=(
        HeardItem(
            kind="finding",
            about="fan",
            name="fan",
            value="humming",
            said="fan is huming",
            doubt="spelling",
            shown="fan: humming",
        ),
        HeardItem(
            kind="reading",
            about="leg_to_leg",
            name="line voltage",
            quantity="voltage",
            value=241,
            unit="V",
            said="two forty one",
            shown="line voltage L1 to L2: 241 V (in range)",
        ),
    ),
    not_understood=("like my old truck",),
    power="unknown",
    phase="finding",
    safety_steps=STEPS,
    cautions=(SECOND_SOURCE,),
    next=FAN_CAP,
    suspects=SUSPECTS,
    timers=(COOL_DOWN,),
    readings=READINGS,
    reply="Fan humming, line voltage 241 V, in range. Next is the fan capacitor. Before it, make it safe: "
    "thermostat off, then open the outdoor disconnect.",
    spoken="Fan humming. Next the fan capacitor; open the disconnect first. Done?",
)
GROUNDED = HUMMING.model_copy(
    update={
        "note": 2,
        "heard": (
            HeardItem(
                kind="reading",
                about="comp_ground",
                name="compressor to ground",
                quantity="resistance",
                value=400000.0,
                unit="Ω",
                said="point four meg",
                shown="compressor C to ground: 0.4 MΩ (low)",
            ),
        ),
        "not_understood": (),
        "power": "isolated",
        "stops": (SECOND_STOP, STOP),
        "reply": "Compressor C to ground: 0.4 MΩ, low.\nDANGER: " + STOP.say,
        "spoken": "Stop. Winding to ground. Do not energise.",
    }
)
READY = HUMMING.model_copy(
    update={
        "note": 3,
        "heard": (),
        "not_understood": (),
        "power": "charge removed",
        "safety_steps": (),
        "reply": "Charge removed. Measure the capacitor from C to FAN, leads pulled.",
        "spoken": "Measure C to FAN. Microfarads?",
    }
)
REPAIR = READY.model_copy(
    update={
        "note": 4,
        "phase": "repair",
        "next": None,
        "repair": RepairItem(
            id="replace_capacitor",
            say="Replace the dual run capacitor, same microfarads, at least the same volts.",
            why=("C to FAN reads 1.2 µF; a good one 4.7 to 5.3 µF; a weak FAN side below that.",),
            parts="dual run capacitor 45+5 µF 440 V",
            steps=("Photograph the wires.", "Swap them one at a time.", "Strap it upright."),
            also=("Look at the wires for heat marks.",),
            consequences=("fan did not start",),
            minutes=20,
        ),
        "reply": "Replace the dual run capacitor.",
    }
)
ASKED_BACK = HUMMING.model_copy(
    update={"note": 5, "question": "0.9 ohm or 0.9 kilo-ohm?", "reply": "0.9 ohm or 0.9 kilo-ohm?"}
)
WHY = HUMMING.model_copy(
    update={
        "note": 6,
        "heard": (),
        "not_understood": (),
        "reply": "Because a weak fan capacitor explains the humming best: a good fan starts at once.",
    }
)
CLOSED = READY.model_copy(
    update={
        "note": 9,
        "phase": "closed",
        "next": None,
        "closed": True,
        "reply": "Closed. The job note is written.",
    }
)


class PlayedDesk:
    """Answers each note with the next of a list, the last one again and again; an exception is raised."""

    visit = VISIT
    save_problem: str | None = None

    def __init__(self, *answers: Reply | Exception, greeting: Reply | Exception = WELCOME) -> None:
        self._answers = list(answers) or [WELCOME]
        self._greeting = greeting
        self.said: list[str] = []
        self.closed = False

    def greet(self) -> Reply:
        return _answer(self._greeting)

    def say(self, text: str, source: str = "typed", confidence: float | None = None) -> Reply:  # noqa: ARG002
        self.said.append(text)
        return _answer(self._answers.pop(0) if len(self._answers) > 1 else self._answers[0])

    def timers(self) -> tuple[TimerItem, ...]:
        return (COOL_DOWN,)

    def write_note(self) -> tuple[Path, ...]:
        return (Path("invented-1.md"), Path("invented-1.txt"))

    def close(self) -> None:
        self.closed = True


class EchoDesk(PlayedDesk):
    """Answers with what was said, as heard and as not understood."""

    def say(self, text: str, source: str = "typed", confidence: float | None = None) -> Reply:  # noqa: ARG002
        self.said.append(text)
        return HUMMING.model_copy(
            update={
                "heard": (HeardItem(kind="note", said=text, shown=text, doubt="unsure"),),
                "not_understood": (text,) if text else (),
                "reply": text or "Nothing was said.",
                "readings": (ReadingItem(name=text, shown=text),),
                "question": text or None,
            }
        )


def as_desk(desk: PlayedDesk) -> Desk:
    """Return a played desk as the real one's type, without loading the real one."""
    return cast("Desk", desk)


def all_replies() -> Iterable[Reply]:
    """Yield every reply above."""
    return (WELCOME, HUMMING, GROUNDED, READY, REPAIR, ASKED_BACK, WHY, CLOSED)


def _answer(answer: Reply | Exception) -> Reply:
    if isinstance(answer, Exception):
        raise answer
    return answer

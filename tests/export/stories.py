"""Invented visits, event by event. Places, people and units in them do not exist."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from typing import Any

from assistant.session import events as e
from assistant.session.fold import fold
from assistant.session.state import VisitState
from knowledge import KnowledgeBase

START = datetime(2031, 7, 14, 18, 5, tzinfo=UTC)
PROGRAM = "0.1.0"
DEAD, LIVE, DISCHARGED = "proved dead", "live", "charge removed"
PROOFS_GOOD: tuple[tuple[str, float | None, str | None, str], ...] = (
    ("prove_start", None, None, "both start and run"),
    ("prove_volts", 238.0, "V", "238"),
    ("prove_amps_comp", 13.9, "A", "thirteen point nine"),
    ("prove_amps_fan", 0.9, "A", "point nine"),
    ("prove_cap_load", 44.1, "µF", "5.9 amps and 355 volts"),
    ("prove_cap_fan", 5.0, "µF", "0.7 amps and 371 volts"),
    ("prove_poles", 0.06, "V", "point oh six"),
    ("prove_cooling", 19.0, "°F", "76 return 57 supply"),
    ("prove_cut_out", None, None, "stops with the stat off"),
    ("prove_air", None, None, "yes"),
    ("prove_comfort", None, None, "yes, it always kept up"),
    ("prove_drain", None, None, "drain is running"),
    ("prove_charge", None, None, "subcooling 11 °F, target 10 °F"),
    ("secure_wiring", None, None, "yes"),
    ("secure_covers", None, None, "yes"),
    ("secure_disconnect", None, None, "in and labelled"),
    ("secure_parts", None, None, "yes"),
    ("secure_customer", None, None, "yes"),
)


class Story:
    """A log in the making: one note a minute, every event carrying the number of the note it belongs to."""

    def __init__(self, kb: KnowledgeBase, visit: str = "20310714-0001") -> None:
        self.kb = kb
        self.events: list[e.AnyEvent] = []
        self.now = START
        self.note = 0
        self.power = "unknown"
        self.epoch = 0
        self.add(e.VisitOpened, visit=visit, unit_kind="split_psc_240", knowledge="k0", program=PROGRAM)

    @property
    def state(self) -> VisitState:
        return fold(self.events, self.kb)

    def add(self, kind: type[e.Event], /, **fields: Any) -> None:
        made: Any = kind(seq=len(self.events) + 1, at=self.now, note=self.note, **fields)
        self.events.append(made)

    def says(self, text: str, *not_understood: str, minutes: float = 1, heard: tuple[str, ...] = ()) -> None:
        """``heard``: kinds of thing that were heard in it, for notes that cause nothing."""
        self.now += timedelta(minutes=minutes)
        self.note += 1
        self.add(
            e.NoteHeard,
            text=text,
            source="typed",
            not_understood=not_understood,
            heard=tuple({"kind": kind} for kind in heard),
        )

    def complains(self, complaint: str, said: str) -> None:
        self.says(said)
        self.add(e.ComplaintReported, complaint=complaint, said=said)

    def plate(self, said: str, item: str, value: float | None = None, text: str | None = None) -> None:
        self.says(said)
        self.add(e.PlateRead, item=item, value=value, text=text, said=said)

    def reads(self, check: str, value: float | None, said: str = "", /, **fields: Any) -> None:
        known = self.kb.checks[check]
        quantity = known.quantity or ""
        said = said or f"{value:g}" if value is not None else said or "OL"
        self.says(said)
        given = {
            "about": known.about,
            "quantity": quantity,
            "unit": self.kb.quantities[quantity].unit,
            "over_limit": value is None,
            "check": check,
            "power": self.power,
            "epoch": self.epoch,
            "proved": True,
            "phase": "finding",
        }
        self.add(e.ReadingTaken, value=value, said=said, **(given | fields))

    def sees(self, check: str, outcome: str, state: str, said: str, /, **fields: Any) -> None:
        self.says(said)
        given = {
            "about": self.kb.checks[check].about,
            "check": check,
            "outcomes": (outcome,),
            "power": self.power,
            "epoch": self.epoch,
            "proved": True,
            "phase": "finding",
        }
        self.add(e.FindingMade, state=state, said=said, **(given | fields))

    def step(self, step: str, said: str, value: float | None = None) -> None:
        self.says(said)
        self.add(e.StepConfirmed, step=step, value=value, said=said)

    def makes_dead(self) -> None:
        self.step("disconnect_open", "disconnect pulled")
        self.step("lock_tag", "lock and tag on")
        self.step("tester_before", "tester good on the truck")
        self.step("zero_leg_to_leg", "zero leg to leg", 0.0)
        self.step("zero_leg_1", "zero", 0.0)
        self.step("zero_leg_2", "zero", 0.0)
        self.step("tester_after", "tester still good")
        self.power = DEAD

    def discharges(self, volts: float = 0.4) -> None:
        self.step("discharge", "discharged through the resistor")
        self.step("dc_check", f"{volts:g} DC", volts)
        self.power = DISCHARGED

    def restores(self) -> None:
        self.step("tools_clear", "tools out")
        self.step("people_clear", "all clear")
        self.step("power_on", "power on")
        self.power, self.epoch = LIVE, self.epoch + 1

    def proves(self, proofs: Sequence[tuple[str, float | None, str | None, str]] = PROOFS_GOOD) -> None:
        for item, value, unit, words in proofs:
            self.says(words)
            self.add(e.ProofRecorded, item=item, verdict="good", value=value, unit=unit, words=words)

    def moves(self, phase: str) -> None:
        self.add(e.PhaseEntered, phase=phase)

    def closes(self, outcome: str) -> None:
        self.moves("closed")
        self.add(e.VisitClosed, outcome=outcome)

    def takes_back(self, note: int, because: str = "undo") -> None:
        self.add(e.NoteTakenBack, taken_back=note, because=because)


def _intake(story: Story) -> None:
    story.complains("not_cooling", "house is hot, AC not cooling")
    story.plate("12 Example Lane, unit 2, invented", "place", text="12 Example Lane, unit 2 (invented)")
    story.plate("model EX-36-A serial 0001", "model", text="EX-36-A, serial 0001")
    story.plate("it is 410A", "refrigerant", text="R-410A")
    story.plate("208/230 on the plate", "rated_voltage", 230.0)
    story.plate("cap is 45 over 5", "cap_herm_uf", 45.0)
    story.add(e.PlateRead, item="cap_fan_uf", value=5.0, said="cap is 45 over 5")
    story.plate("RLA 14.5", "rla", 14.5)
    story.plate("fan FLA 1.1", "fan_fla", 1.1)
    story.moves("finding")


def fan_capacitor(kb: KnowledgeBase) -> Story:
    """FAN section open: the fan hums, pressure climbs, the unit trips; capacitor replaced and proved."""
    story = Story(kb)
    _intake(story)
    story.says("on the roof, hot as hell up here", "hot as hell up here")
    story.add(e.HazardReported, hazard="roof")
    story.sees("look_fan", "humming", "humming", "fan just hums, not turning")
    story.sees("hear_compressor", "running", "running", "compressor is running", doubts=("unsure",))
    story.sees("look_condenser", "clean", "clean", "coil is clean")
    story.makes_dead()
    story.sees("look_capacitor", "fine", "good", "cap looks fine")
    story.discharges()
    story.reads("uf_fan", 1.2, "fan side reads 1.2")
    story.reads("uf_herm", 44.6, "herm 44.6")
    story.add(
        e.RepairProposed,
        repair="replace_capacitor",
        cause=("cap_fan_open",),
        probability=0.9634,
        evidence=(
            "capacitance of the FAN section: found 1.2 µF; a good unit gives 5 µF; with this fault 0 µF",
            "outdoor fan: found still but humming; a good unit gives turning; with this fault humming",
        ),
        consequences=("high-pressure switch opens after some minutes without air",),
    )
    story.moves("repair")
    story.says("new 45/5 cap is in, strapped", minutes=12)
    story.add(e.RepairDone, repair="replace_capacitor", said="new 45/5 cap is in, strapped", proposed=True)
    story.reads("uf_fan", 5.02, "new one: fan 5.02")
    story.moves("restart")
    story.restores()
    story.moves("proving")
    story.proves(PROOFS_GOOD[:9])
    story.says("note: customer keeps a grill against the unit | told him to move it")
    story.add(e.FreeNote, text="customer keeps a grill against the unit | told him to move it")
    story.moves("securing")
    story.proves(PROOFS_GOOD[9:])
    story.closes("repaired")
    return story


def no_fault(kb: KnowledgeBase) -> Story:
    """The thermostat was never calling long enough; everything reads well."""
    story = Story(kb, "20310714-0002")
    story.complains("nothing_runs_outside", "nothing is running outside")
    story.moves("finding")
    story.sees("ask_thermostat", "calling", "calling", "stat is calling")
    story.sees("look_fan", "turning", "turning", "fan is turning now")
    story.power = LIVE
    story.step("live_precautions", "gloves and glasses on")
    story.reads("v_contactor_line", 241.0, "two forty one")
    story.reads("a_compressor", 12.8, "12.8")
    seen_good = ("outdoor fan: turning at speed", "volts across the contactor line side: 241 V")
    story.add(e.VerdictReached, verdict="no fault found", because=seen_good)
    story.moves("proving")
    story.proves(PROOFS_GOOD[:3])
    story.says("can't do the air, no thermometer")
    story.add(e.ToolMissing, tool="thermometer")
    story.add(e.ProofRecorded, item="prove_cooling", verdict="not done", words="no thermometer")
    story.moves("securing")
    story.proves(PROOFS_GOOD[9:])
    story.closes("no fault found")
    return story


def cannot_tell(kb: KnowledgeBase) -> Story:
    """The gauges are missing and the visit ends without an answer."""
    story = Story(kb, "20310714-0003")
    story.complains("short_cycles", "starts and stops all the time")
    story.moves("finding")
    story.sees("look_fan", "turning", "turning", "fan turns")
    story.power = LIVE
    story.step("live_precautions", "ready")
    story.reads("v_contactor_line", 239.0, "239")
    story.says("no gauges on the truck")
    story.add(e.ToolMissing, tool="gauges")
    story.says("can't get at the drain pan, attic is locked")
    story.add(e.CheckSkipped, check="look_drain", because="can't get at the drain pan, attic is locked")
    story.add(e.VerdictReached, verdict="cannot tell", because=("contactor poles", "outdoor fan"))
    story.add(e.ReplyGiven, top=("hp_switch_failed", "drain_blocked", "none"))
    story.moves("securing")
    story.proves((PROOFS_GOOD[10], PROOFS_GOOD[13]))
    story.closes("cannot tell")
    return story


def stop_and_undo(kb: KnowledgeBase) -> Story:
    """A correction, an undo, a resumed session, a grounded compressor; broken off with the stop standing."""
    story = Story(kb, "20310714-0004")
    story.complains("trips_breaker", "keeps tripping the breaker")
    story.moves("finding")
    story.sees("look_breaker", "tripped", "tripped", "breaker tripped")
    story.makes_dead()
    story.discharges()
    story.reads("r_coil", 50.0, "fifty ohms on the coil", doubts=("misheard",))
    wrong = story.note
    story.says("no, fifteen")
    story.takes_back(wrong, "correction")
    coil = kb.checks["r_coil"]
    story.add(
        e.ReadingTaken,
        about=coil.about,
        quantity="resistance",
        value=15.0,
        unit="Ω",
        check="r_coil",
        said="no, fifteen",
        power=DISCHARGED,
        epoch=0,
        proved=True,
        phase="finding",
    )
    story.sees("look_wiring", "loose", "loose", "a wire is loose")
    story.says("take that back")
    story.takes_back(story.note - 1)
    story.now += timedelta(minutes=25)
    story.add(e.VisitResumed, knowledge="k0", program=PROGRAM)
    story.epoch += 1
    story.makes_dead()
    story.discharges()
    story.reads("r_comp_ground", 40_000.0, "40 k to ground")
    story.add(e.StopRaised, stop="comp_grounded", because="40 kΩ, at least 2 MΩ wanted")
    story.says("0.9 on the fan")
    amps = {"kind": "reading", "said": "0.9", "about": "fan", "quantity": "current", "value": 0.9, "unit": "A"}
    ohms = amps | {"about": "fan_main", "quantity": "resistance", "value": 900.0, "unit": "Ω"}
    story.add(e.Asked, kind="clarify", id="fan", options=(amps, ohms))
    return story


STORIES = {
    "fan capacitor": fan_capacitor,
    "no fault": no_fault,
    "cannot tell": cannot_tell,
    "stop and undo": stop_and_undo,
}

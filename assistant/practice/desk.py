"""The desk of an exercise: the apprentice asks the unit, reports what is done, and the program keeps count.

It is a desk like any other, so that every front end works with it. Readings come from the unit; all else is said to
the engine as on a real visit. What the program itself would do next stays hidden until it is asked for.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Literal

from assistant.desk import Desk, with_words
from assistant.dialogue.compose import compose
from assistant.dialogue.reply import Reply
from assistant.dialogue.sentences import Said, sentence
from assistant.engine import Engine, Turn
from assistant.language.models import Context, Heard, Kind
from assistant.language.naming import names_in
from assistant.language.understand import understand
from assistant.reasoning.choice import Standing, minutes_for
from assistant.reasoning.tables import Tables
from assistant.session import events as e
from assistant.session.log import VisitLog
from knowledge.models.check import Check
from knowledge.practice import practice_of

from .asked import checks_asked
from .clock import ExerciseClock
from .exercise import Exercise
from .opening import opening_items, plate_words, unit_words
from .playing import Player
from .score import Score, debrief, given_by_physics, shortest
from .unsafe import Move, reads_dead, unsafe_check, unsafe_events

_REPORTS = frozenset({Kind.SAFETY, Kind.POWER, Kind.REPAIR, Kind.HAZARD, Kind.TOOL, Kind.NOTE, Kind.PHOTO})
_THOUGHTS = frozenset({"next", "why", "suspects"})
"""Requests whose answer gives the program's thoughts away."""
_THOUGHTLESS: dict[str, object] = {
    "next": None, "repair": None, "suspects": (), "safety_steps": (), "limits": (), "cautions": (),
}  # fmt: skip
"""A reply without what the program itself would do, and without the cautions that go with that."""
_HIDDEN = frozenset({"intake", "finding", "repair"})
"""Phases in which the next thing is the apprentice's own to find."""


class PracticeDesk(Desk):
    """One exercise."""

    def __init__(
        self, engine: Engine, log: VisitLog, first: Turn, notes_folder: Path, clock: ExerciseClock,
        given: Exercise, tables: Callable[[], Tables],
    ) -> None:  # fmt: skip
        """``tables``: made when the exercise is over, for the program's own way through it."""
        super().__init__(engine, log, first, notes_folder, clock)
        self._time = clock
        self._given = given
        self._tables = tables
        self._practice = practice_of(engine.kb.root)
        self._player = Player(engine.kb, given.unit, engine.units)
        self._setup: str | None = None
        self._is_over = False
        self.score = Score()
        complaint = engine.kb.complaints[given.complaint].name
        plate = plate_words(engine.kb, given, engine.units)
        unit = unit_words(engine.kb, given.built)
        begins = sentence(engine.kb, "practice_begins", seed=given.seed, unit=unit, complaint=complaint, plate=plate)
        items = opening_items(engine.kb, given)
        self._greeting = self._shown(engine.take(self._visit, "practice", items), [begins])

    def say(
        self,
        text: str,
        source: Literal["typed", "spoken"] = "typed",
        confidence: float | None = None,
        *,
        confirmed: bool = False,
    ) -> Reply:
        """Take one note of the apprentice: a wish to the unit, a report, or a word to the program."""
        if self._is_over:
            return self._settled(self._engine.handle(self._visit, text, source, confidence, confirmed=confirmed))
        plain = " ".join(names_in(text, self.kb).words)
        words = self._practice.words
        if plain in words.reveal:
            return self._over("practice_revealed")
        if plain in words.hint:
            return self._hint("what next")
        if plain in words.plate:
            told = sentence(self.kb, "practice_plate", plate=plate_words(self.kb, self._given, self._engine.units))
            return self._told([told])
        if plain in words.asked:
            return self._do_asked(text)
        heard = understand(text, self.kb, self._context()).heard
        if any(item.kind is Kind.REQUEST and item.about in _THOUGHTS for item in heard):
            return self._hint(text)
        if self._reports(text, heard):
            by_words = self._visit.state.asked is not None and self._visit.state.asked.kind == "check"
            turn = self._engine.take(self._visit, text, heard) if by_words else None
            return self._report(turn or self._engine.handle(self._visit, text, source, confidence, confirmed=confirmed))
        return self._ask_unit(text)

    # -- asking the unit ------------------------------------------------------------------------------------------

    def _context(self) -> Context:
        """Return what may be answered here: a check is answered by the unit, never by what the apprentice says."""
        context = self.expecting()
        asked = context.asked
        return replace(context, spoken=False, asked=None if asked is not None and asked.kind == "check" else asked)

    def _reports(self, text: str, heard: Sequence[Heard]) -> bool:
        """True where the note tells what was done, answers a question of the program or asks it something."""
        if any(item.kind in _REPORTS and item.usable for item in heard):
            return True
        checks = checks_asked(text, self.kb, self._practice)
        if any(item.kind is Kind.REQUEST for item in heard):
            return len(checks) != 1 or not any(word in text.casefold() for word in checks[0].name.split())
        return not checks and bool(heard)

    def _ask_unit(self, text: str) -> Reply:
        state = self._visit.state
        asked = state.asked
        if asked is not None and asked.kind == "step" and self._means_step(asked.id, text):
            return self._do_asked(text)
        checks = checks_asked(text, self.kb, self._practice)
        if not checks:
            return self._told([sentence(self.kb, "practice_no_check")])
        if len(checks) > 1:
            return self._told([sentence(self.kb, "practice_which", names=", or ".join(one.name for one in checks))])
        return self._do(checks, text)

    def _means_step(self, step_id: str, text: str) -> bool:
        step = self.kb.steps[step_id]
        named = set(names_in(text, self.kb).subjects)
        return step.reading is not None and bool(named & {step.about, *step.also_about})

    def _do_asked(self, text: str) -> Reply:
        """Do what the program asked last: a reading of making safe, a check, a proof."""
        asked, kb = self._visit.state.asked, self.kb
        if asked is not None and asked.kind == "built":  # how it is built was told at the start where it is unusual
            return self._report(self._engine.handle(self._visit, "skip"))
        if asked is None or asked.kind not in {"step", "check", "close_out"}:
            return self._told([sentence(kb, "practice_nothing_asked")])
        if asked.kind == "check":
            return self._do((kb.checks[asked.id],), text, anew=True)
        if asked.kind == "step":
            return self._measure_step(asked.id, text)
        proof = kb.close_out[asked.id]
        names = (proof.check,) if proof.check else proof.reads or tuple(proof.good_when)
        if proof.quantity == "temperature_difference":
            names = ("g_split",)
        if not names or proof.id == "prove_cut_out":
            answer = (
                "no" if proof.id == "prove_cut_out" and "contactor_welded" in self._given.unit.row.faults else "yes"
            )
            return self._report(self._engine.handle(self._visit, answer))
        return self._do(tuple(kb.checks[name] for name in names if name), text, anew=True)

    def _measure_step(self, step_id: str, text: str) -> Reply:
        step = self.kb.steps[step_id]
        if step.reading is None or step.about is None:
            return self._report(self._engine.handle(self._visit, "done"))
        unit = self.kb.quantities[step.reading].unit
        item = Heard(Kind.READING, text, 0, len(text), about=step.about, quantity=step.reading, value=0.0, unit=unit)
        told = sentence(self.kb, "practice_measure", value=f"0 {unit}", name=step.name)
        return self._report(self._engine.take(self._visit, text, (item,)), [told])

    def _do(self, checks: tuple[Check, ...], text: str, *, anew: bool = False) -> Reply:
        """Do checks one after the other, as far as they are safe and mean anything, and report what was found.

        ``anew``: the program wants them, and so a reading that it has already is taken once more.
        """
        state, told, items = self._visit.state, list[Said](), list[Heard]()
        for check in checks:
            if reads_dead(state, check, self.kb):
                told.append(sentence(self.kb, "practice_off", name=check.name))
                continue
            move = unsafe_check(state, check, self.kb)
            if move is not None:
                return self._told([*told, self._counted(move)])
            found = self._player.found_again(check) if anew else self._player.found(check)
            told.append(self._player.told(check, found))
            items.append(self._player.item(check, found, text))
            self._pass(minutes_for(check, Standing(check.needs, self._setup), self.kb.reasoning.costs))
            self._setup = check.setup
            self.score.checks += 1
        if not items:
            return self._told(told)
        return self._report(self._engine.take(self._visit, text, items), told, minutes=0.0)

    # -- reports --------------------------------------------------------------------------------------------------

    def _report(self, turn: Turn, told: list[Said] | None = None, minutes: float | None = None) -> Reply:
        """Let what was reported happen to the unit, count what is to be counted, and show the answer."""
        before, told = self._visit.state, list(told or ())
        told += [self._counted(move) for move in unsafe_events(before, turn.events, self.kb)]
        done = 0
        for event in turn.events:
            if isinstance(event, e.StepConfirmed):
                done += 1
            elif isinstance(event, e.RepairDone):
                self._repaired(event.repair)
                told.append(sentence(self.kb, "practice_repaired"))
            elif isinstance(event, e.TimerStarted):
                self._pass(event.minutes)
                self._player.changed()
        spent = done * self._practice.step_min or self._practice.talk_min
        self._pass(spent if minutes is None else minutes)
        reply = self._shown(turn, told)
        if self._visit.state.phase == "closed":
            return self._over("practice_fixed" if self._given.unit.healthy else "practice_not_fixed")
        return reply

    def _repaired(self, repair: str) -> None:
        if not self._given.unit.repair(repair):
            self.score.needless.append(repair)
        self._pass(self.kb.repairs[repair].minutes)
        self._player.changed()

    def _pass(self, minutes: float) -> None:
        self._time.pass_minutes(minutes)
        self.score.minutes += minutes

    def _counted(self, move: Move) -> Said:
        self.score.unsafe.append(move.what.screen)
        count = len(self.score.unsafe)
        if not move.missing:
            return sentence(self.kb, "practice_unsafe_done", signal="danger", count=count, what=move.what.screen)
        missing = ", ".join(move.missing)
        return sentence(
            self.kb, "practice_unsafe", signal="danger", count=count, what=move.what.screen, missing=missing
        )  # fmt: skip

    # -- what is shown --------------------------------------------------------------------------------------------

    def _hint(self, text: str) -> Reply:
        """Answer with all that the program thinks; it is counted."""
        self.score.hints += 1
        turn = self._engine.handle(self._visit, text)
        hint = sentence(self.kb, "practice_hint", count=self.score.hints)
        return with_words(self._settled(turn), [hint])

    def _shown(self, turn: Turn, told: list[Said]) -> Reply:
        """Save the turn; show what the unit says, and of the program's own thoughts only what is not the exercise."""
        reply = self._settled(turn)
        if reply.phase not in _HIDDEN:
            return with_words(reply, told)
        said = [*told, *turn.said]
        heard = () if told else reply.heard
        hidden = reply.model_copy(update={**_THOUGHTLESS, "heard": heard})
        question = Said(reply.question, reply.question) if reply.question else None
        screen, spoken = compose(self.kb, hidden, said, question=question)
        self._last = hidden.model_copy(update={"reply": screen, "spoken": spoken})
        return self._last

    def _told(self, said: list[Said]) -> Reply:
        """Answer without a note to the engine: nothing happened to the unit."""
        self._pass(self._practice.talk_min)
        screen, spoken = compose(self.kb, self._bare(), said)
        self._last = self._bare().model_copy(update={"reply": screen, "spoken": spoken})
        return self._last

    def _bare(self) -> Reply:
        gone = {"heard": (), "not_understood": (), "cautions": (), "question": None}
        return self._last.model_copy(update=gone | (_THOUGHTLESS if self._last.phase in _HIDDEN else {}))

    def _over(self, outcome: str) -> Reply:
        """End the exercise: what it was, how it went, and the program's own way through it."""
        self._is_over = True
        tables = self._tables()
        best = shortest(tables, self._given)
        ways = () if best.fixed else given_by_physics(tables, self._given)
        return self._told(debrief(self.kb, self._given, self.score, outcome, best, ways))

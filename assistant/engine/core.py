"""The engine: one note in, events and one reply out."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Literal

from assistant.dialogue.prose import told_in
from assistant.dialogue.quantities import System
from assistant.dialogue.reply import Reply
from assistant.dialogue.sentences import Said, sentence
from assistant.language.models import Heard, Kind, Understood
from assistant.language.understand import understand
from assistant.reasoning.diagnosis import Diagnosis
from assistant.session import events as e
from assistant.session.fold import Visit
from assistant.session.state import VisitState
from assistant.stock import Stock
from knowledge import KnowledgeBase

from .building import take_named
from .context import language_context
from .draft import Draft
from .fitted_part import take_fitted
from .heard_data import as_data
from .heard_units import units_of_note
from .history import diagnosis_of
from .interpret import take_note
from .planning import plan_next
from .remembering import Recall, remember
from .respond import build_reply
from .stocking import tell_proposed
from .stopping import raise_stops
from .views import Views

Clock = Callable[[], datetime]


@dataclass(frozen=True, slots=True)
class Turn:
    """What one call made: the visit with its new events, and the reply to show once they are on disk."""

    visit: Visit
    events: tuple[e.AnyEvent, ...]
    reply: Reply
    action: str | None = None
    """``write_note`` where the job note is wanted."""
    said: tuple[Said, ...] = ()
    """Danger, remarks and answers, without what the diagnosis makes of it."""


class Engine:
    """Turns notes into turns. Holds knowledge, narrowed to the units it meets, and tables, no visit."""

    def __init__(
        self,
        kb: KnowledgeBase,
        clock: Clock,
        program: str,
        cache_dir: Path | None = None,
        units: System = "us",
        recall: Recall | None = None,
        stock: Stock | None = None,
    ) -> None:
        """``recall``: finds the last visit to the same unit; ``stock``: the truck; None where there is none."""
        self._recall = recall
        self._stock = stock
        self.kb = told_in(kb, units)
        self.units = units
        self._clock = clock
        self._program = program
        self._views = Views(kb, cache_dir)

    def open(self, visit_id: str, unit_kind: str) -> Turn:
        """Begin a new visit."""
        draft = Draft(self.kb, Visit(self.kb), self._clock(), 0, self.units)
        draft.emit(
            e.VisitOpened,
            visit=visit_id,
            unit_kind=unit_kind,
            knowledge=self.kb.version,
            program=self._program,
        )
        draft.remarks.append(sentence(self.kb, "welcome", visit=visit_id))
        draft.kb = self.view(draft.state, self.units)
        return self._finish(draft)

    def resume(self, visit: Visit, unfinished: Sequence[e.AnyEvent] = ()) -> Turn:
        """Go on with a visit read from its log: the power counts as unknown from here.

        ``unfinished``: events of a turn that was saved only in part; the stops they should have raised are raised now.
        """
        draft = Draft(self.view(visit.state, self.units), visit, self._clock(), visit.state.note, self.units)
        draft.emit(e.VisitResumed, knowledge=self.kb.version, program=self._program)
        draft.remark("welcome_back", signal="warning", visit=visit.state.visit)
        for event in unfinished:
            raise_stops(draft, event)
        return self._finish(draft)

    def handle(
        self,
        visit: Visit,
        text: str,
        source: Literal["typed", "spoken"] = "typed",
        confidence: float | None = None,
        *,
        confirmed: bool = False,
    ) -> Turn:
        """Take one note of the technician; ``confirmed``: a spoken one that was read back and got a clear yes."""
        doubtable = source == "spoken" and not confirmed
        kb = self.view(visit.state, self.units)
        context = language_context(
            visit.state, visit.events, kb, spoken=doubtable, confidence=confidence, units=self.units
        )
        return self._taken(visit, understand(text, kb, context), source, confidence, confirmed=confirmed)

    def take(self, visit: Visit, text: str, items: Sequence[Heard]) -> Turn:
        """Take a note whose meaning is known already, as it is where practice plays the unit."""
        return self._taken(visit, Understood(text, tuple(items), ()), "typed", None)

    def _taken(
        self,
        visit: Visit,
        understood: Understood,
        source: Literal["typed", "spoken"],
        confidence: float | None,
        *,
        confirmed: bool = False,
    ) -> Turn:
        units = units_of_note(self.kb, understood.heard, self.units)
        kb = self.view(visit.state, units)
        # the yes to what was read back is the clear yes of a safety step; of several, each still gets its own
        steps = sum(item.kind is Kind.SAFETY for item in understood.heard)
        spoken = source == "spoken" and not (confirmed and steps <= 1)
        note = visit.state.note + 1
        draft = Draft(kb, visit, self._clock(), note, units, spoken, understood.text, stock=self._stock)
        self._log_note(draft, understood, source, confidence, confirmed=confirmed)
        if understood.problem is not None:
            draft.remark("note_problem", signal="notice", problem=understood.problem)
        else:
            draft.not_understood.extend(understood.not_understood)
            take_named(draft, understood.heard)
            draft.kb = self.view(draft.state)
        take_note(draft, understood.heard)
        take_fitted(draft, visit.state)
        remember(draft, self._recall)
        draft.kb = self.view(draft.state, units)
        return self._finish(draft)

    def view(self, state: VisitState, units: System | None = None) -> KnowledgeBase:
        """Return the knowledge narrowed to the unit of a visit, told in some units (the technician's)."""
        return self._views.of(state, units or self.units)

    def _log_note(
        self,
        draft: Draft,
        understood: Understood,
        source: Literal["typed", "spoken"],
        confidence: float | None,
        *,
        confirmed: bool,
    ) -> None:
        draft.emit(
            e.NoteHeard,
            text=understood.text,
            source=source,
            confidence=confidence,
            confirmed=confirmed,
            heard=tuple(as_data(item) for item in understood.heard),
            not_understood=understood.not_understood,
        )

    def _finish(self, draft: Draft) -> Turn:
        """Plan, log what is asked and answered, and build the reply."""
        diagnosis = self._diagnosis(draft)
        plan = plan_next(draft, diagnosis)
        tell_proposed(draft)
        reply = build_reply(draft, plan, diagnosis)
        draft.emit(
            e.ReplyGiven,
            next=reply.next.id if reply.next else None,
            repair=reply.repair.id if reply.repair else None,
            top=tuple(suspect.id for suspect in reply.suspects[:3]),
            stops=tuple(stop.id for stop in reply.stops),
            cautions=tuple(caution.id for caution in reply.cautions),
        )
        return Turn(draft.visit, tuple(draft.events), reply, draft.action, tuple(draft.said))

    def _diagnosis(self, draft: Draft) -> Diagnosis | None:
        if draft.state.phase == "intake":
            return None  # nothing to reason about, and the first prompt comes at once
        return diagnosis_of(draft.state, draft.kb, self._views.tables(draft.state))

"""One open visit: engine, log and note files together. Front ends talk to this and to nothing deeper."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Literal

from assistant.dialogue.reply import Reply
from assistant.dialogue.sentences import Said, sentence
from assistant.engine import Engine, Turn
from assistant.engine.context import language_context
from assistant.export.note import build_note
from assistant.export.writing import write_note
from assistant.language.models import Context
from assistant.paths import SaveError
from assistant.session import events as e
from assistant.session.fold import Visit
from assistant.session.log import LogWriteError, VisitLog
from assistant.session.state import VisitState
from assistant.stock import StockError, TruckStock
from knowledge import KnowledgeBase

NOTE_FORMATS = ("md", "txt", "json")


def local_now() -> datetime:
    """Return the time now with this machine's offset: notes are read where they are written."""
    return datetime.now().astimezone()


class Desk:
    """A visit being worked on. Every event is on disk before its reply is returned."""

    def __init__(
        self,
        engine: Engine,
        log: VisitLog,
        first: Turn,
        notes_folder: Path,
        clock: Callable[[], datetime] = local_now,
        problems: tuple[str, ...] = (),
        stock: TruckStock | None = None,
    ) -> None:
        """``first``: the turn that opened or resumed the visit; ``problems``: sentences about a damaged log."""
        self._engine = engine
        self._log = log
        self._notes_folder = notes_folder
        self._clock = clock
        self._visit: Visit = first.visit
        self._stock = stock
        self._unsaved: tuple[e.AnyEvent, ...] = ()
        """Events of notes that could not be saved yet; they go to disk before anything newer."""
        self.save_problem: str | None = None
        """A sentence where something said is not on disk: why, and how many notes; None where all is saved."""
        self._last = first.reply
        self._greeting = self._settled(first, tuple(problems))

    @property
    def visit(self) -> str:
        """Id of the visit."""
        return self._visit.state.visit

    @property
    def kb(self) -> KnowledgeBase:
        """The knowledge that the visit is worked with, narrowed to its unit."""
        return self._engine.view(self._visit.state)

    @property
    def taught(self) -> KnowledgeBase:
        """All knowledge, whatever the unit: the recogniser learns its words before anything is said of the unit."""
        return self._engine.kb

    @property
    def last_reply(self) -> Reply:
        """The newest reply: the visit as it stands."""
        return self._last

    def expecting(self) -> Context:
        """Return what the conversation expects to hear next: the pending question, the plate, the last note."""
        return language_context(self._visit.state, self._visit.events, self.kb, spoken=True, units=self._engine.units)

    def greet(self) -> Reply:
        """Return the first words of a new or resumed visit."""
        return self._greeting

    def say(
        self,
        text: str,
        source: Literal["typed", "spoken"] = "typed",
        confidence: float | None = None,
        *,
        confirmed: bool = False,
    ) -> Reply:
        """Take one note; its events are saved before the reply returns.

        ``confirmed``: spoken, read back word by word, and answered with a clear yes.
        Where they cannot be saved the reply says so, and they are kept and saved with the next note.
        """
        turn = self._engine.handle(self._visit, text, source, confidence, confirmed=confirmed)
        return self._settled(turn)

    def write_note(self) -> tuple[Path, ...]:
        """Write the job note in every format; raises SaveError where that fails."""
        note = build_note(
            self._visit.state, self._visit.events, self.kb, made_at=self._clock(), units=self._engine.units
        )
        return write_note(note, self._notes_folder, NOTE_FORMATS)

    def close(self) -> None:
        """Release the log, after a last try to save what is not saved; the visit stays open and can be resumed.

        ``save_problem`` tells afterwards whether anything was lost.
        """
        self._save()
        self._log.close()

    def _settled(self, turn: Turn, problems: tuple[str, ...] = ()) -> Reply:
        """Save the turn, do what it asks for, and return its reply with whatever went wrong said in it."""
        before, self._visit = self._visit, turn.visit
        said = [Said(problem, problem, "warning") for problem in problems]
        self._unsaved += turn.events
        said += self._save()
        said += self._recount_truck(before.state, turn.visit.state)
        if turn.action == "write_note":
            said.append(self._written())
        self._last = with_words(turn.reply, said)
        return self._last

    def _recount_truck(self, before: VisitState, after: VisitState) -> list[Said]:
        """Count down on the truck what was fitted in this turn, and up again what was taken back."""
        change = Counter(_taken(before))
        change.subtract(_taken(after))
        change = Counter({part: count for part, count in change.items() if count})
        if self._stock is None or not change:
            return []
        try:
            self._stock.change(change)
        except (StockError, SaveError) as error:
            return [Said(str(error), "The stock file has a problem.", "notice")]
        back = [shown if count == 1 else f"{count} × {shown}" for (_, shown), count in change.items() if count > 0]
        return [sentence(self.kb, "stock_put_back", listed="; ".join(back))] if back else []

    def _save(self) -> list[Said]:
        """Bring everything that was said to disk, or say what keeps it from there."""
        self.save_problem = None
        try:
            self._log.append(self._unsaved)
        except LogWriteError as error:
            count = len({event.note for event in self._unsaved})
            words = sentence(self.kb, "not_saved_yet", signal="warning", because=error, count=count)
            self.save_problem = words.screen
            return [words]
        self._unsaved = ()
        return []

    def _written(self) -> Said:
        try:
            paths = self.write_note()
        except SaveError as error:
            return sentence(self.kb, "cannot_save", signal="warning", because=error)
        return sentence(self.kb, "note_written", paths=", ".join(str(path) for path in paths))


def with_words(reply: Reply, said: list[Said]) -> Reply:
    """Return the reply with more sentences in front."""
    if not said:
        return reply
    screen = [f"{one.signal.upper()}: {one.screen}" if one.signal else one.screen for one in said]
    spoken = [one.spoken for one in said if one.spoken]
    return reply.model_copy(
        update={"reply": "\n".join([*screen, reply.reply]), "spoken": " ".join([*spoken, reply.spoken])}
    )


def _taken(state: VisitState) -> Counter[tuple[str, str]]:
    """Return what came off the truck in a visit: part and marking -> how many."""
    taken: Counter[tuple[str, str]] = Counter()
    for fitted in state.fitted:
        taken.update({(fitted.part, shown): count for shown, count in fitted.taken.items()})
    return taken

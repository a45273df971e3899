"""Opens a desk: a new visit, a chosen one, or the one that was broken off."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path

from assistant import __version__
from assistant.desk import Desk, local_now
from assistant.dialogue.quantities import System
from assistant.engine import Engine
from assistant.session.earlier import Earlier, earlier_visit
from assistant.session.fold import Visit
from assistant.session.store import VisitStore
from assistant.stock import TruckStock
from knowledge import KnowledgeBase

UNIT_KIND = "split_psc_240"
BROKEN_OFF_WITHIN = timedelta(hours=12)
"""A visit left unfinished this recently is gone on with at the next start: one working day."""

Clock = Callable[[], datetime]


class Visits:
    """The visits of this user, opened one at a time or side by side in several programs."""

    def __init__(
        self,
        kb: KnowledgeBase,
        visits: Path,
        notes: Path,
        *,
        cache: Path | None = None,
        clock: Clock = local_now,
        units: System = "us",
        stock: Path | None = None,
    ) -> None:
        self.kb = kb
        self.units = units
        self.store = VisitStore(visits, clock)
        self._stock = TruckStock(stock, kb) if stock else None
        self._notes = notes
        self._clock = clock
        self._engine = Engine(kb, clock, __version__, cache, units, self._recall, self._stock)

    def new(self) -> Desk:
        """Begin a visit. Raises LogWriteError where nothing can be saved."""
        log = self.store.create()
        return Desk(
            self._engine, log, self._engine.open(log.visit, UNIT_KIND), self._notes, self._clock, stock=self._stock
        )

    def resumed(self, visit_id: str) -> Desk:
        """Go on with a visit; damage of its log is said in the greeting. Raises LogError."""
        log = self.store.open(visit_id)
        first = self._engine.resume(Visit(self.kb, log.content.events), log.content.unfinished)
        problems = (*log.content.problems, *([log.warning] if log.warning else []))
        return Desk(self._engine, log, first, self._notes, self._clock, problems, self._stock)

    def _recall(self, visit: str, item: str, words: str) -> Earlier | None:
        return earlier_visit(self.store, self.kb, visit, item, words)

    def broken_off(self) -> str | None:
        """Return the id of the newest visit left unfinished within the working day, if any.

        A log with a torn end, as a kill leaves it, counts; one of which nothing can be read has no notes.
        """
        for found in self.store.visits():
            recent = found.last is not None and self._clock() - found.last <= BROKEN_OFF_WITHIN
            if recent and not found.closed and found.notes > 0:
                return found.id
        return None


def open_new(kb: KnowledgeBase, home: Path, *, clock: Clock = local_now, cache: Path | None = None) -> Desk:
    """Begin a visit with all its files below one folder."""
    return Visits(kb, home / "visits", home / "notes", cache=cache, clock=clock).new()

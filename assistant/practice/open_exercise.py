"""Opens an exercise: a unit, a log of its own kept apart from the real visits, and the desk to work at."""

from __future__ import annotations

from pathlib import Path

from assistant import __version__
from assistant.desk import local_now
from assistant.dialogue.quantities import System
from assistant.engine import Engine
from assistant.open_visit import UNIT_KIND, Clock
from assistant.reasoning.tables import compile_tables
from assistant.session.store import VisitStore
from knowledge import KnowledgeBase
from knowledge.narrowing import configured
from knowledge.variants import Configuration

from .clock import ExerciseClock
from .desk import PracticeDesk
from .exercise import exercise
from .opening import drawn_seed


def open_exercise(
    kb: KnowledgeBase, folder: Path, *, fault: str | None = None, seed: int | None = None,
    cache: Path | None = None, units: System = "us", now: Clock = local_now,
) -> PracticeDesk:  # fmt: skip
    """Return the desk of a new exercise with all its files below ``folder``.

    Raises UnknownFaultError, LogWriteError.
    """
    usual = configured(kb, Configuration(UNIT_KIND))
    given = exercise(usual, UNIT_KIND, drawn_seed() if seed is None else seed, fault)
    clock = ExerciseClock(now())
    log = VisitStore(folder / "visits", clock).create()
    engine = Engine(kb, clock, __version__, cache, units)
    first = engine.open(log.visit, UNIT_KIND)
    return PracticeDesk(
        engine, log, first, folder / "notes", clock, given, lambda: compile_tables(usual, UNIT_KIND, cache)
    )  # fmt: skip

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

from .built import configuration
from .clock import ExerciseClock
from .desk import PracticeDesk
from .exercise import Wish, exercise
from .opening import drawn_seed


def open_exercise(
    kb: KnowledgeBase, folder: Path, wish: Wish, *, seed: int | None = None, cache: Path | None = None,
    units: System = "us", now: Clock = local_now,
) -> PracticeDesk:  # fmt: skip
    """Return the desk of a new exercise with all its files below ``folder``.

    Raises UnknownFaultError, LogWriteError.
    """
    built = configuration(kb, UNIT_KIND, wish)
    usual = configured(kb, built)
    given = exercise(usual, built, drawn_seed() if seed is None else seed, wish)
    clock = ExerciseClock(now())
    log = VisitStore(folder / "visits", clock).create()
    engine = Engine(kb, clock, __version__, cache, units)
    first = engine.open(log.visit, built.kind)
    return PracticeDesk(
        engine, log, first, folder / "notes", clock, given, lambda: compile_tables(usual, built.kind, cache)
    )  # fmt: skip

"""Demo sessions: whole visits of an invented scenario, as files that can be replayed."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from importlib.resources import files
from pathlib import Path

from pydantic import AwareDatetime, ConfigDict
from pydantic import BaseModel as Model

from assistant.dialogue.reply import Reply
from assistant.open_visit import Visits
from knowledge import KnowledgeBase
from knowledge.reader import read_model


class DemoNote(Model):
    """One note of the technician, with the minutes that pass before it."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    say: str
    after_min: float = 1.0
    restart: bool = False
    """True where the program is started again before this note (battery empty)."""


class EarlierVisit(Model):
    """What was said on an earlier day."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    starts: AwareDatetime
    notes: tuple[DemoNote, ...]


class DemoVisit(Model):
    """A whole visit. All places, units and readings are invented."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    title: str
    invented: str
    """A sentence that says so."""
    starts: AwareDatetime
    notes: tuple[DemoNote, ...]
    earlier: EarlierVisit | None = None
    """A visit to the same unit on another day, played before in silence."""
    stock: str = ""
    """What is on the truck, as its file says it; empty where none is kept."""


@dataclass(frozen=True, slots=True)
class Exchange:
    """One note and its answer."""

    minutes: float
    note: str
    reply: Reply


@dataclass
class ReplayClock:
    """A clock that stands where the demo puts it."""

    now: datetime

    def __call__(self) -> datetime:
        return self.now


def demo_folder() -> Path:
    """Return the folder of the demo sessions that travel with the package."""
    return Path(str(files("demo_sessions")))


def find_demo(name: str) -> Path:
    """Return the visit file for a path or the name of a shipped demo; raise FileNotFoundError with what there is."""
    path = Path(name)
    for candidate in (path, path / "visit.yaml", demo_folder() / name / "visit.yaml"):
        if candidate.is_file():
            return candidate
    known = ", ".join(sorted(entry.parent.name for entry in demo_folder().glob("*/visit.yaml")))
    raise FileNotFoundError(f"There is no demo session {name!r}. Shipped ones: {known}.")


def read_demo(path: Path) -> DemoVisit:
    """Read one demo visit; raises KnowledgeErrors with file and line for a bad file."""
    return read_model(path, DemoVisit)


def replay(demo: DemoVisit, kb: KnowledgeBase, home: Path, cache: Path | None) -> Iterator[Exchange | tuple[Path, ...]]:
    """Play a visit through the real engine, log and note writer; yields exchanges, last the note files."""
    clock = ReplayClock(demo.starts)
    stock = home / "stock.yaml"
    if demo.stock:
        home.mkdir(parents=True, exist_ok=True)
        stock.write_text(demo.stock, encoding="utf-8")
    visits = Visits(
        kb, home / "visits", home / "notes", cache=cache, clock=clock, stock=stock if demo.stock else None
    )  # fmt: skip
    if demo.earlier is not None:
        _play_earlier(visits, clock, demo.earlier)
        clock.now = demo.starts
    desk = visits.new()
    yield Exchange(0, "", desk.greet())
    for note in demo.notes:
        clock.now += timedelta(minutes=note.after_min)
        if note.restart:
            desk.close()
            desk = visits.resumed(desk.visit)
            yield Exchange((clock.now - demo.starts).total_seconds() / 60, "(program started again)", desk.greet())
        reply = desk.say(note.say)
        yield Exchange((clock.now - demo.starts).total_seconds() / 60, note.say, reply)
    paths = desk.write_note()
    desk.close()
    yield paths


def _play_earlier(visits: Visits, clock: ReplayClock, earlier: EarlierVisit) -> None:
    clock.now = earlier.starts
    desk = visits.new()
    for note in earlier.notes:
        clock.now += timedelta(minutes=note.after_min)
        desk.say(note.say)
    desk.close()


def replay_note(demo: DemoVisit, kb: KnowledgeBase, cache: Path | None = None) -> str:
    """Return the Markdown job note a demo visit ends with."""
    with tempfile.TemporaryDirectory() as folder:
        *_, last = replay(demo, kb, Path(folder), cache)
        if isinstance(last, Exchange):
            raise TypeError("a replay ends with its note files")  # cannot happen; keeps the types honest
        return next(path for path in last if path.suffix == ".md").read_text(encoding="utf-8")

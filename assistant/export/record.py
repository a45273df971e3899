"""The log of a visit as the note's builders read it: office time, what counts, what came before what."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta, timezone
from functools import cached_property
from typing import Literal, TypeVar

from assistant.dialogue.quantities import System, shown, shown_unit
from assistant.session import events as e
from assistant.session.fold import fold
from assistant.session.power import missing_steps
from assistant.session.state import VisitState
from knowledge import KnowledgeBase

from .wording import amount

Answer = e.ReadingTaken | e.FindingMade
E = TypeVar("E", bound=e.Event)


@dataclass(frozen=True)
class Record:
    """State, log and knowledge of one visit, with the questions the builders ask of them."""

    state: VisitState
    events: Sequence[e.AnyEvent]
    kb: KnowledgeBase
    offset: timedelta
    """Offset of the office from UTC; every time of the note is shown in it."""
    units: System = "us"
    """Units that values are shown in; the numbers kept beside them stay canonical."""

    def amount(
        self, quantity: str | None, value: float | None, high: float | None = None, *, over_limit: bool = False
    ) -> str:
        """Return a canonical value or range with its unit, as the technician reads it."""
        if quantity is None or quantity not in self.kb.quantities or value is None:
            return amount(value, "", high, over_limit=over_limit)
        here = shown_unit(self.kb, quantity, self.units)
        if here.symbol == self.kb.quantities[quantity].unit:
            return amount(value, here.symbol, high, over_limit=over_limit)
        if over_limit:
            return amount(None, "", over_limit=True)
        words = shown(self.kb, quantity, value, self.units)
        if high is None or high == value:
            return words
        return f"{words.removesuffix(here.symbol).strip()} to {shown(self.kb, quantity, high, self.units)}"

    def local(self, at: datetime) -> datetime:
        return at.astimezone(timezone(self.offset))

    @cached_property
    def voided(self) -> Mapping[int, Literal["undo", "correction"]]:
        """Number of a note that was taken back -> why."""
        reasons = {event.taken_back: event.because for event in self.all_of(e.NoteTakenBack)}
        return {note: reasons.get(note, "undo") for note in self.state.taken_back}

    def stands(self, event: e.Event) -> bool:
        return event.note not in self.voided

    def all_of(self, kind: type[E]) -> Iterator[E]:
        """Yield the events of a kind in order, those taken back included."""
        return (event for event in self.events if isinstance(event, kind))

    def standing(self, kind: type[E]) -> tuple[E, ...]:
        """Return the events of a kind that count, in order."""
        return tuple(event for event in self.all_of(kind) if self.stands(event))

    @cached_property
    def repairs(self) -> tuple[e.RepairDone, ...]:
        return self.standing(e.RepairDone)

    @cached_property
    def unproved(self) -> Mapping[int, tuple[str, ...]]:
        """Sequence number of a repair -> names of the safety steps that were missing when it was reported."""
        missing = {done.seq: self._missing_steps(done) for done in self.repairs}
        return {seq: names for seq, names in missing.items() if names}

    def _missing_steps(self, done: e.RepairDone) -> tuple[str, ...]:
        repair = self.kb.repairs.get(done.repair)
        if repair is None or repair.refer:
            return ()
        before = [event for event in self.events if event.seq < done.seq]
        return tuple(step.name for step in missing_steps(fold(before, self.kb), repair.needs, self.kb))

    @cached_property
    def answers(self) -> Mapping[str, tuple[Answer, ...]]:
        """Check id -> its standing readings and findings, oldest first."""
        table: dict[str, tuple[Answer, ...]] = {}
        for event in self.events:
            if isinstance(event, e.ReadingTaken | e.FindingMade) and event.check and self.stands(event):
                table[event.check] = (*table.get(event.check, ()), event)
        return table

    @cached_property
    def readings(self) -> Mapping[str, float | None]:
        """Check id -> the value that counts last, in canonical units; None = over limit."""
        latest = {check: answers[-1] for check, answers in self.answers.items()}
        return {
            check: None if last.over_limit else last.value
            for check, last in latest.items()
            if isinstance(last, e.ReadingTaken)
        }

    @cached_property
    def plate(self) -> Mapping[str, float]:
        """Numeric plate values in canonical units."""
        return {item: read.value for item, read in self.state.plate.items() if read.value is not None}

    @cached_property
    def plate_words(self) -> Mapping[str, str]:
        """Plate items that are text: the refrigerant."""
        return {item: read.text for item, read in self.state.plate.items() if read.text}


def office_offset(made_at: datetime) -> timedelta:
    """Return the UTC offset of the note's own time, which is the office's; ValueError without a zone."""
    offset = made_at.utcoffset()
    if offset is None:
        raise ValueError("made_at needs a time zone: the note shows all times in it")
    return offset


def zone_name(offset: timedelta) -> str:
    """Return ``UTC`` or ``UTC-05:00``."""
    minutes = round(offset.total_seconds() / 60)
    if minutes == 0:
        return "UTC"
    hours, rest = divmod(abs(minutes), 60)
    return f"UTC{'+' if minutes > 0 else '-'}{hours:02d}:{rest:02d}"

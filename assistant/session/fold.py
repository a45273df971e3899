"""From events to the state of the visit.

The state has two halves. The *record* (readings, findings, repairs, phase ...) is the fold of the events
that stand: a note taken back leaves no trace in it. The *safety* half (power, proofs, stops) is the fold of
all events, also of those taken back later, because taking words back does not undo what happened to the
unit: it never restores a proof, never clears a stop, and where the note had moved the power state nobody
knows it any more.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from copy import copy
from dataclasses import replace
from itertools import islice
from typing import overload

from knowledge import KnowledgeBase

from . import events as e
from .record import counts, recorded, void_notes
from .safeguards import NOT_UNDONE, safeguarded
from .state import VisitState

KEPT = 32
"""Notes back for which the state before is kept, so that taking one back refolds only what came after it."""


def fold(events: Iterable[e.AnyEvent], kb: KnowledgeBase) -> VisitState:
    """Return the state after all events."""
    return Visit(kb, events).state


def apply(
    state: VisitState, event: e.AnyEvent, kb: KnowledgeBase, past: Sequence[e.AnyEvent] | None = None
) -> VisitState:
    """Return the state after one more event.

    ``past``: all events before it. Only ``NoteTakenBack`` needs them; ValueError where that one comes
    without.
    """
    if isinstance(event, e.NoteTakenBack):
        if past is None:
            raise ValueError("taking back a note needs the events before it: give past, or use Visit or fold")
        return fold((*past, event), kb)
    return _numbered(recorded(safeguarded(state, event, kb), event), event)


class Events(Sequence[e.AnyEvent]):
    """The first ``size`` events of a list that may grow behind them."""

    __slots__ = ("_log", "_size")

    def __init__(self, log: list[e.AnyEvent], size: int) -> None:
        self._log = log
        self._size = size

    def __len__(self) -> int:
        return self._size

    @overload
    def __getitem__(self, index: int) -> e.AnyEvent: ...
    @overload
    def __getitem__(self, index: slice) -> list[e.AnyEvent]: ...
    def __getitem__(self, index: int | slice) -> e.AnyEvent | list[e.AnyEvent]:
        if isinstance(index, slice):
            return [self._log[at] for at in range(*index.indices(self._size))]
        return self._log[range(self._size)[index]]

    def __iter__(self) -> Iterator[e.AnyEvent]:
        return islice(self._log, self._size)


class Visit:
    """The events of a visit and the state they lead to. Extending gives a new one, the old stays valid."""

    __slots__ = ("_folding", "events", "kb", "state")

    def __init__(self, kb: KnowledgeBase, events: Iterable[e.AnyEvent] = (), *, folding: Folding | None = None) -> None:
        self.kb = kb
        self._folding = folding or Folding(kb, events)
        self.state = self._folding.state
        self.events = Events(self._folding.log, self._folding.size)
        """All events, oldest first."""

    def extended(self, new: Iterable[e.AnyEvent]) -> Visit:
        """Return the visit with more events at its end.

        The cost does not grow with the visit, except where a note more than ``KEPT`` notes back is taken
        back.
        """
        folding = self._folding.branch()
        for event in new:
            folding.append(event)
        return Visit(self.kb, folding=folding)


class Folding:
    """The work behind ``Visit``: a log that grows, and the states kept for taking notes back."""

    def __init__(self, kb: KnowledgeBase, events: Iterable[e.AnyEvent] = ()) -> None:
        self.kb = kb
        self.state = VisitState()
        self.log = list(events)
        self.size = 0
        self.undone = tuple(event for event in self.log if isinstance(event, e.NoteTakenBack))
        self.before: dict[int, tuple[int, VisitState]] = {}
        """Note -> index of its first event and the state before that, for the last notes."""
        self._fold_all()

    def branch(self) -> Folding:
        """Return a copy that can grow without changing this one."""
        other = copy(self)
        other.before = self.before.copy()
        if len(self.log) != self.size:  # the list is shared by its newest end only; a second branch gets its own
            other.log = self.log[: self.size]
        return other

    def append(self, event: e.AnyEvent) -> None:
        self._remember(event.note)
        if isinstance(event, e.NoteTakenBack):
            self._take_back(event)
        else:
            self.state = apply(self.state, event, self.kb)
        self.log.append(event)
        self.size += 1

    def _remember(self, note: int) -> None:
        if note > self.state.note:
            self.before[note] = (self.size, self.state)
            if len(self.before) > KEPT:
                del self.before[next(iter(self.before))]

    def _take_back(self, event: e.NoteTakenBack) -> None:
        before = void_notes(self.undone)
        self.undone = (*self.undone, event)
        void = void_notes(self.undone)
        of_note = [past for past in self._since(event.taken_back) if past.note == event.taken_back]
        state = _numbered(safeguarded(self.state, event, self.kb, of_note), event)
        changed = before ^ void
        if changed:
            oldest = min(changed, key=lambda note: self.before.get(note, (0,))[0])
            state = _joined(self._refolded(oldest, void), state, void)
        self.state = state

    def _since(self, note: int) -> Iterator[e.AnyEvent]:
        """All events from the first of a note on; from the very first where that is not known."""
        return islice(self.log, self.before.get(note, (0,))[0], self.size)

    def _refolded(self, note: int, void: frozenset[int]) -> VisitState:
        """Fold the record from a note on, and correct the states kept for the notes after it."""
        start, record = self.before.get(note, (0, VisitState()))
        kept_at = {index: kept for kept, (index, _) in self.before.items() if index >= start}
        for index, event in enumerate(self._since(note), start):
            if index in kept_at:
                self._correct(kept_at[index], record)
            if counts(event, void):
                record = recorded(record, event)
        if self.size in kept_at:  # the note that takes back begins with this very event
            self._correct(kept_at[self.size], record)
        return record

    def _correct(self, note: int, record: VisitState) -> None:
        index, kept = self.before[note]
        self.before[note] = (index, _joined(record, kept, kept.taken_back))

    def _fold_all(self) -> None:
        """Fold both halves in one pass, knowing from the start which notes do not count in the end."""
        void = void_notes(self.undone)
        not_undone: defaultdict[int, list[e.AnyEvent]] = defaultdict(list)
        for event in self.log:
            self._remember(event.note)
            self.size += 1
            if isinstance(event, NOT_UNDONE):
                not_undone[event.note].append(event)
            of_note = not_undone.get(event.taken_back, ()) if isinstance(event, e.NoteTakenBack) else ()
            state = safeguarded(self.state, event, self.kb, of_note)
            if counts(event, void):
                state = recorded(state, event)
            self.state = _numbered(state, event)
        self.state = replace(self.state, taken_back=void)


def _joined(record: VisitState, safety: VisitState, void: frozenset[int]) -> VisitState:
    """Return the record half of one state with the safety half and the numbers of another."""
    return replace(
        record,
        note=safety.note,
        seq=safety.seq,
        power=safety.power,
        power_because=safety.power_because,
        epoch=safety.epoch,
        steps_done=safety.steps_done,
        restore_checked=safety.restore_checked,
        stops=safety.stops,
        taken_back=void,
    )


def _numbered(state: VisitState, event: e.AnyEvent) -> VisitState:
    if event.seq <= state.seq and event.note <= state.note:
        return state
    return replace(state, seq=max(state.seq, event.seq), note=max(state.note, event.note))

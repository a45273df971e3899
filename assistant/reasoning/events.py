"""The chain of events from a root fault to what is found, as sentences chosen from a fixed list."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial

import numpy as np

from knowledge.base import KnowledgeBase

from .circuit import Bools, Wiring
from .snapshot import Motion, Snapshot

Seen = Callable[[Snapshot, Snapshot], Bools]
"""(active, settled) -> (B,) where the event happens."""


@dataclass(frozen=True)
class EventList:
    """Everything that can happen, in the order of time."""

    texts: tuple[str, ...]
    seen: tuple[Seen, ...]


def event_list(kb: KnowledgeBase, wiring: Wiring) -> EventList:
    """Return the events of a unit: fuses, relays, motors at first; slow consequences; relays and motors after."""
    found: dict[str, Seen] = {}
    stages = (
        _protection(kb, wiring),
        _consequences(wiring, at_once=True),
        _at_first(kb, wiring),
        _consequences(wiring, at_once=False),
        _afterwards(kb, wiring),
    )
    for stage in stages:
        for text, seen in stage:
            found.setdefault(text, seen)
    return EventList(tuple(found), tuple(found.values()))


def events_of(events: EventList, active: Snapshot, settled: Snapshot) -> Bools:
    """Return (B, events): which of them happen."""
    return np.stack([seen(active, settled) for seen in events.seen], axis=1)


def _protection(kb: KnowledgeBase, wiring: Wiring) -> Iterator[tuple[str, Seen]]:
    say = kb.reasoning.sentences
    for i, element in enumerate(wiring.elements):
        if "opens_a" in element.values:
            text = say["breaker_trips"] if element.values.get("gang") else say["fuse_blows"].format(name=element.name)
            yield text, partial(_opened, i)


def _consequences(wiring: Wiring, *, at_once: bool) -> Iterator[tuple[str, Seen]]:
    listed = wiring.unit.consequences
    for c in sorted(range(len(listed)), key=lambda c: listed[c].after_min):
        if (listed[c].after_min <= 0) == at_once:
            yield listed[c].say, partial(_happened, c)


def _at_first(kb: KnowledgeBase, wiring: Wiring) -> Iterator[tuple[str, Seen]]:
    say, names = kb.reasoning.sentences, kb.reasoning.names
    for k, i in enumerate(wiring.coils):
        name = names[wiring.elements[i].id]
        yield say["chatters"].format(name=name), partial(_chatters, k)
        yield say["stays_out"].format(name=name), partial(_stays_out, k)
    for m, motor in enumerate(wiring.motors):
        yield say["motor_locked"].format(name=names[motor.id]), partial(_moves, m, (Motion.LOCKED, Motion.HUMMING))
        yield say["motor_dead"].format(name=names[motor.id]), partial(_moves, m, (Motion.SILENT,))


def _afterwards(kb: KnowledgeBase, wiring: Wiring) -> Iterator[tuple[str, Seen]]:
    say, names = kb.reasoning.sentences, kb.reasoning.names
    for k, i in enumerate(wiring.coils):
        yield say["drops_out"].format(name=names[wiring.elements[i].id]), partial(_drops_out, k)
    for m, motor in enumerate(wiring.motors):
        yield say["motor_stops"].format(name=names[motor.id]), partial(_stops, m)


def _opened(i: int, active: Snapshot, _settled: Snapshot) -> Bools:
    return active.state.opened[:, i]


def _happened(c: int, _active: Snapshot, settled: Snapshot) -> Bools:
    return settled.happened[:, c]


def _chatters(k: int, active: Snapshot, _settled: Snapshot) -> Bools:
    return active.chatter[:, k]


def _stays_out(k: int, active: Snapshot, _settled: Snapshot) -> Bools:
    return ~active.state.closed[:, k] & ~active.chatter[:, k]


def _moves(m: int, motions: tuple[Motion, ...], active: Snapshot, _settled: Snapshot) -> Bools:
    return np.isin(active.motion[:, m], motions)


def _drops_out(k: int, active: Snapshot, settled: Snapshot) -> Bools:
    return active.state.closed[:, k] & ~settled.state.closed[:, k]


def _stops(m: int, active: Snapshot, settled: Snapshot) -> Bools:
    stopped: Bools = (active.motion[:, m] == Motion.RUNNING) & (settled.motion[:, m] != Motion.RUNNING)
    return stopped

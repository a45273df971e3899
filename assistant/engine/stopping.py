"""Hard stops: raised and cleared by what was just logged."""

from __future__ import annotations

from assistant.reasoning.safety import cleared_stops, raised_stops
from assistant.session import events as e

from .draft import Draft


def stops_after(draft: Draft) -> None:
    """Raise and clear hard stops for the event logged last."""
    event = draft.events[-1]
    raise_stops(draft, event)
    for stop, because in cleared_stops(draft.kb, draft.state, event):
        draft.emit(e.StopCleared, stop=stop.id, because=because)
        draft.remark("stop_cleared", name=stop.name, because=because)


def raise_stops(draft: Draft, event: e.AnyEvent) -> None:
    """Raise the stops that an event calls for and that do not stand yet."""
    for stop, because in raised_stops(draft.kb, draft.state, event):
        if stop.id not in {standing.stop for standing in draft.state.stops}:
            draft.emit(e.StopRaised, stop=stop.id, because=because)

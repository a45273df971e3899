"""What a list of visits shows of each: read fast, from the few lines that matter, and never failing."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from . import events as e
from .log_content import read
from .log_errors import LogReadError
from .log_lines import Line
from .record import counts, recorded, void_notes
from .state import VisitState

_SHOWN = (e.VisitOpened, e.ComplaintReported, e.PlateRead, e.PhaseEntered, e.NoteTakenBack, e.VisitClosed)
_TYPES = frozenset(str(kind.model_fields["type"].default).encode() for kind in _SHOWN)
_HEAD = re.compile(rb'\{"v":(\d+),"seq":\d+,"at":"[^"]*","note":\d+,"type":"(\w+)"')
_VERSION = str(e.SCHEMA_VERSION).encode()


@dataclass(frozen=True, slots=True)
class VisitSummary:
    """One visit in a list; what is not known is None."""

    id: str
    path: Path
    opened: datetime | None = None
    place: str | None = None
    model: str | None = None
    words: Mapping[str, str] = field(default_factory=dict)
    """Everything on the plate that is text, by plate item."""
    complaint: str | None = None
    """Id of the first complaint that stands."""
    said: str | None = None
    """The words it was reported in."""
    phase: str | None = None
    notes: int = 0
    """Number of the last note."""
    last: datetime | None = None
    """Time of the last event."""
    closed: bool = False
    outcome: str | None = None
    problem: str | None = None
    """What is wrong with the log, as a sentence."""


def summary_of(path: Path) -> VisitSummary:
    """Return the summary of one log; where it cannot be read, that is its ``problem``."""
    try:
        content = read(path, _wanted)
    except LogReadError as err:
        return VisitSummary(path.stem, path, problem=str(err))
    void = void_notes(tuple(event for event in content.events if isinstance(event, e.NoteTakenBack)))
    state = VisitState()
    for event in content.events:
        if counts(event, void):
            state = recorded(state, event)
    first = state.complaints[0] if state.complaints else None
    last = content.events[-1]
    return VisitSummary(
        id=path.stem,
        path=path,
        opened=state.opened,
        place=_words(state, "place"),
        model=_words(state, "model"),
        words={item: read.text for item, read in state.plate.items() if read.text},
        complaint=first.complaint if first else None,
        said=first.said if first else None,
        phase=state.phase,
        notes=last.note,
        last=last.at,
        closed=state.closed is not None,
        outcome=state.closed,
        problem=" ".join(content.problems) or None,
    )


def _wanted(line: Line) -> bool:
    """Let through what a summary shows, and lines with another head than ours: the reader decides."""
    head = _HEAD.match(line.body)
    return head is None or head[1] != _VERSION or head[2] in _TYPES


def _words(state: VisitState, item: str) -> str | None:
    plate = state.plate.get(item)
    return plate.text if plate is not None else None

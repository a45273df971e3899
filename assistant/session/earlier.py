"""The last visit to the same unit, found in the logs by what its plate or its place says."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from knowledge import KnowledgeBase

from . import events as e
from .fold import fold
from .log_errors import LogError
from .state import VisitState
from .store import VisitStore


@dataclass(frozen=True, slots=True)
class Earlier:
    """What an earlier visit left behind."""

    visit: str
    opened: datetime
    readings: dict[str, float | None]
    """Check -> last value since the last repair of that visit, canonical unit; None = over limit."""
    repairs: tuple[str, ...]
    proved: dict[str, float]
    """Close-out item that no single check answers (the split) -> its last value, canonical unit."""


def earlier_visit(store: VisitStore, kb: KnowledgeBase, now: str, item: str, text: str) -> Earlier | None:
    """Return the newest visit but ``now`` whose plate item says the same words; None where there is none.

    A log that cannot be read is passed over: the list of visits tells about it.
    """
    wanted = _plain(text)
    if not wanted:
        return None
    for summary in store.visits():
        if summary.id == now or summary.problem or _plain(summary.words.get(item, "")) != wanted:
            continue
        try:
            state = fold(store.read(summary.id).events, kb)
        except LogError:
            continue
        if state.opened is not None:
            repairs = tuple(done.repair for done in state.repairs)
            return Earlier(summary.id, state.opened, _as_left(state), repairs, _proved(state, kb))
    return None


def _as_left(state: VisitState) -> dict[str, float | None]:
    """Return the readings of the unit as it was left: what was read before a repair says nothing of it any more."""
    last = {check: answers[-1] for check, answers in state.takes.items()}
    return {check: found.value for check, found in last.items() if isinstance(found, e.ReadingTaken)}


def _proved(state: VisitState, kb: KnowledgeBase) -> dict[str, float]:
    """Return what was proved by a number that several readings gave together."""
    own = {item: proof for item, proof in state.proofs.items() if item in kb.close_out and not kb.close_out[item].check}
    return {item: proof.value for item, proof in own.items() if proof.value is not None}


def _plain(text: str) -> str:
    """Return letters and digits alone, so that "Unit 4-B" and "unit 4b" are one."""
    return "".join(letter for letter in text.casefold() if letter.isalnum())

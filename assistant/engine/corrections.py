"""Taking back and correcting: the words stay in the log, their effect goes."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.language.models import Heard, Kind
from assistant.session import events as e

from .draft import Draft
from .heard_data import from_data

_SILENT = frozenset({Kind.REQUEST, Kind.CORRECTION, Kind.ANSWER})


def take_back_last(draft: Draft) -> None:
    """Undo the last note that had an effect; say what was taken back."""
    last = last_effective_note(draft)
    if last is None:
        draft.remark("nothing_to_take_back")
        return
    before = draft.state.power
    draft.emit(e.NoteTakenBack, taken_back=last.note, because="undo")
    draft.remark("taken_back", words=last.text.strip())
    if draft.state.power is not before:
        draft.remark("power_unknown_again", signal="warning")


def kept_after_correction(draft: Draft, new: Sequence[Heard]) -> tuple[Heard, ...]:
    """Take back the last effective note and return its items that the correction leaves standing."""
    last = last_effective_note(draft)
    if last is None:
        return ()
    before = draft.state.power
    draft.emit(e.NoteTakenBack, taken_back=last.note, because="correction")
    draft.remark("corrected", words=last.text.strip())
    if draft.state.power is not before:
        draft.remark("power_unknown_again", signal="warning")
    old = tuple(from_data(item) for item in last.heard)
    return tuple(item for item in old if not any(_replaces(fresh, item) for fresh in new))


def last_effective_note(draft: Draft) -> e.NoteHeard | None:
    """Return the last standing note, before this one, that said more than a request."""
    for event in reversed(draft.visit.events):
        if not isinstance(event, e.NoteHeard) or event.note == draft.note or event.note in draft.state.taken_back:
            continue
        if any(Kind(item["kind"]) not in _SILENT for item in event.heard) or _has_effect(draft, event.note):
            return event
    return None


def _has_effect(draft: Draft, note: int) -> bool:
    silent = (e.NoteHeard, e.ReplyGiven, e.Asked, e.RepairProposed, e.NoteTakenBack)
    return any(event.note == note and not isinstance(event, silent) for event in reversed(draft.visit.events))


def _replaces(fresh: Heard, old: Heard) -> bool:
    """A corrected value replaces the item about the same thing; a corrected subject the one with the same value."""
    if fresh.kind is Kind.CORRECTION or old.kind is Kind.CORRECTION:
        return old.kind is Kind.CORRECTION
    if fresh.kind is not old.kind:
        return old.kind in _SILENT
    same_thing = fresh.about == old.about and fresh.quantity == old.quantity
    same_value = fresh.value == old.value and fresh.state == old.state and fresh.value is not None
    return same_thing or same_value

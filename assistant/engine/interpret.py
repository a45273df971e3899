"""Everything heard in a note becomes events, in an order that does the technician justice."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from assistant.language.models import Heard, Kind
from assistant.language.photos import caption_of
from assistant.session import events as e
from knowledge.models.visit import HazardKind

from .answers import take_answer
from .building import take_built
from .calculating import take_up_again, waiting_calculation
from .corrections import kept_after_correction
from .draft import Draft
from .heard_data import as_data, from_data
from .matching import subject_name
from .observing import take_complaint, take_finding, take_plate, take_reading
from .phase_moves import move
from .repairs_talk import take_repair
from .requests import take_request
from .safety_talk import take_power, take_safety
from .turned_by_hand import TURNED_BY, ask_what_turned_it, goes_with_it, is_by_hand_or_power, still_to_be_told

_BEGINS = frozenset({Kind.READING, Kind.FINDING, Kind.COMPLAINT, Kind.SAFETY, Kind.REPAIR})
"""Kinds that take the visit from intake to finding the cause."""


def take_note(draft: Draft, items: Sequence[Heard]) -> None:
    """Apply every item of a note; the first one that must be asked back becomes the question."""
    standing = list(items)
    waiting = waiting_calculation(draft)
    pending = draft.state.asked
    pending_id = pending.id if pending is not None else None
    _keep_or_drop(draft, pending, items)
    if any(item.kind is Kind.CORRECTION for item in items):
        fresh = [item for item in items if item.kind is not Kind.CORRECTION]
        if not fresh:
            draft.remark("correct_what")
            return
        standing = [*kept_after_correction(draft, fresh), *fresh]
    for item in _in_order(draft, _restoring(draft, standing)):
        if is_by_hand_or_power(draft, item) and pending_id != TURNED_BY:
            ask_what_turned_it(draft, item)
        elif goes_with_it(draft, item):
            continue
        elif item.usable:
            take_one(draft, item)
        elif draft.unclear is None:
            _ask_back(draft, item)
        else:
            draft.not_understood.append(item.said)
    if not any(item.kind in {Kind.REQUEST, Kind.ANSWER} for item in items):
        take_up_again(draft, waiting)
    if draft.state.phase == "intake" and (_begins(standing) or _in_own_words(draft, items)):
        move(draft, "complaint_or_finding", quiet=True)


def _restoring(draft: Draft, items: list[Heard]) -> list[Heard]:
    """Read "lock off, power on" as the one step of restoring that was asked: no lock was taken off too early."""
    asked = draft.state.asked
    if asked is None or asked.kind != "step" or asked.id != "power_on":
        return items
    unlocked = [i for i in items if i.kind is Kind.SAFETY and i.about == "lock_tag" and i.negated]
    on = [i for i in items if i.kind is Kind.POWER and i.about == "power_on" and not i.negated]
    if not unlocked or not on:
        return items
    return [replace(on[0], kind=Kind.SAFETY) if i is on[0] else i for i in items if i not in unlocked]


def _keep_or_drop(draft: Draft, pending: e.Asked | None, items: Sequence[Heard]) -> None:
    """A question asked back is never dropped in silence: it stays beside a request, else it is left out in words."""
    if pending is None or pending.kind != "clarify" or pending.id == "clear_yes" or not pending.options:
        return
    options = tuple(from_data(option) for option in pending.options)
    plain = {(o.kind, o.about, o.quantity, o.value, o.state, o.over_limit) for o in options}
    chosen = any((i.kind, i.about, i.quantity, i.value, i.state, i.over_limit) in plain for i in items)
    if chosen or any(item.kind in {Kind.ANSWER, Kind.CORRECTION} for item in items):
        return
    if pending.id == TURNED_BY:  # a question of live or dead is not dropped for other news
        draft.unclear = still_to_be_told(draft, pending, items)
        return
    if all(item.kind is Kind.REQUEST and item.about != "take_back" for item in items) and (
        items or draft.not_understood
    ):
        draft.unclear = replace(options[0], options=options)
        return
    draft.remark("question_left", signal="notice", said=options[0].said)


def _begins(items: Sequence[Heard]) -> bool:
    return any(
        (item.kind in _BEGINS and item.usable) or (item.kind is Kind.REQUEST and item.about == "next") for item in items
    )


def _in_own_words(draft: Draft, items: Sequence[Heard]) -> bool:
    """A complaint the vocabulary does not know is kept as said, and the search begins all the same."""
    if items or len(draft.text.split()) < 3 or not any(draft.not_understood):
        return False
    draft.emit(e.FreeNote, text=draft.text.strip())
    draft.remark("complaint_in_own_words")
    return True


def take_one(draft: Draft, item: Heard) -> None:
    """Apply one clear item."""
    _TAKE[item.kind](draft, item)


def _in_order(draft: Draft, items: Sequence[Heard]) -> list[Heard]:
    """Plate first, so that readings of the same note are judged by it; isolation before its proof; requests last."""

    def rank(item: Heard) -> tuple[int, int]:
        if item.kind in {Kind.PLATE, Kind.BUILT}:
            return (0, 0)
        step = draft.kb.steps.get(item.about or "") if item.kind is Kind.SAFETY else None
        if step is not None and step.group == "isolate":
            return (1, step.order)
        return (3, 0) if item.kind is Kind.REQUEST else (2, 0)

    return sorted(items, key=rank)  # stable: the rest stays in the order said


def _ask_back(draft: Draft, item: Heard) -> None:
    draft.unclear = item
    draft.emit(
        e.Asked,
        kind="clarify",
        id=item.about or item.kind,
        options=tuple(as_data(option) for option in item.options),
    )
    draft.read_back(
        item,
        name=subject_name(draft.kb, item.about),
        quantity=item.quantity,
        value=item.value,
        shown=f"? {item.said}",
    )


def _take_tool(draft: Draft, item: Heard) -> None:
    tool = draft.kb.tools[item.about or ""]
    draft.emit(e.ToolMissing, tool=tool.id, found=item.negated)
    draft.read_back(
        item,
        about=tool.id,
        name=tool.name,
        value="at hand" if item.negated else "missing",
        shown=f"{tool.name} at hand" if item.negated else f"no {tool.name}",
    )


_HAZARD_SHOWN = {
    HazardKind.PLACE: "place: {}",
    HazardKind.REFER: "not for here: {}",
    HazardKind.NEVER: "advised against: {}",
}


def _take_hazard(draft: Draft, item: Heard) -> None:
    """Log it; its cautions come with the reply, and again in words where it is told once more."""
    hazard = draft.kb.hazards[item.about or ""]
    told_before = hazard.id in draft.state.hazards
    draft.emit(e.HazardReported, hazard=hazard.id)
    for tool in hazard.lacks:
        if tool not in draft.state.tools_missing:
            draft.emit(e.ToolMissing, tool=tool)
    draft.read_back(
        item,
        about=hazard.id,
        name=hazard.name,
        shown=_HAZARD_SHOWN[hazard.kind].format(hazard.name),
    )
    if hazard.halts:
        draft.halted = True
        draft.remark("halted")
    if told_before and hazard.kind is not HazardKind.PLACE:
        for caution in draft.kb.cautions_of_hazard(hazard.id):
            draft.remark("caution_again", signal=caution.signal.value, text=caution.text, spoken=caution.spoken)


def _take_free_note(draft: Draft, item: Heard) -> None:
    text = item.text or item.said
    draft.emit(e.FreeNote, text=text)
    draft.read_back(item, name="note", value=text, shown=f"noted: {text}")


def _take_photo(draft: Draft, item: Heard) -> None:
    path, caption = item.text or "", caption_of(item)
    draft.emit(e.PhotoNamed, path=path, caption=caption)
    draft.read_back(item, name="photo", value=path, shown=f"photo: {path}" + (f" ({caption})" if caption else ""))


def _take_plate_item(draft: Draft, item: Heard) -> None:
    take_plate(draft, item)


_TAKE: dict[Kind, Callable[[Draft, Heard], None]] = {
    Kind.READING: take_reading,
    Kind.FINDING: take_finding,
    Kind.PLATE: _take_plate_item,
    Kind.BUILT: take_built,
    Kind.COMPLAINT: take_complaint,
    Kind.SAFETY: take_safety,
    Kind.POWER: take_power,
    Kind.REPAIR: take_repair,
    Kind.ANSWER: take_answer,
    Kind.REQUEST: take_request,
    Kind.TOOL: _take_tool,
    Kind.HAZARD: _take_hazard,
    Kind.NOTE: _take_free_note,
    Kind.PHOTO: _take_photo,
}

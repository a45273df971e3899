"""Which part was fitted, from the truck or not, and whether a capacitor may stand for the old one."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace

from assistant.reasoning.limits import Can, choose_capacitor
from assistant.session import events as e
from assistant.session.state import VisitState
from assistant.stock import CAPACITOR, Shelf

from .context import plate_values
from .draft import Draft
from .stocking import cans_on, is_such, marked_can, part_of, shelves_of


def take_fitted(draft: Draft, before: VisitState) -> None:
    """Log which part was fitted, and from where, for each repair just reported; a wrong capacitor is warned of.

    ``before``: the visit before this note, whose print is that of the old part.
    """
    for event in tuple(draft.events):
        part = part_of(draft, event.repair) if isinstance(event, e.RepairDone) else None
        if part is None or not isinstance(event, e.RepairDone):
            continue
        old = marked_can(draft.kb, plate_values(before)) if part == CAPACITOR else None
        told = _told_can(draft, old) if part == CAPACITOR else None
        problem = _refused(draft, old, told)
        shelves = shelves_of(draft)
        taken, instead = _taken(draft, part, shelves, told, old) if shelves is not None else ({}, "")
        if told is not None or taken:
            marking = told.marking if told is not None else ", ".join(_times(taken))
            draft.emit(
                e.PartFitted, repair=event.repair, part=part, marking=marking, taken=taken, instead=instead,
                problem=problem,
            )  # fmt: skip
        if shelves is not None:
            _tell_left(draft, part, shelves, taken)


def _taken(
    draft: Draft, part: str, shelves: Sequence[Shelf], told: Can | None, old: Can | None
) -> tuple[dict[str, int], str]:
    """Return how many of which were taken, none where that is not clear, and the sentence where it is a substitute."""
    there = [shelf for shelf in shelves if shelf.part == part and shelf.count > 0]
    if part != CAPACITOR:
        named = _named_by_number(there, draft.text)
        return ({named.shown: 1} if named is not None else {}), ""
    if told is not None:
        same = [one for one in there if one.can is not None and is_such(one.can, told)]
        return ({same[0].shown: 1} if same else {}), ""
    if old is None or any(map(str.isdigit, "".join(draft.not_understood))):
        return {}, ""
    fits = choose_capacitor(draft.kb, old, cans_on(there)).fits
    simplest = [fitting for fitting in fits if fitting.cans == min(one.cans for one in fits)]
    if len({fitting.sentence for fitting in simplest}) != 1:
        return {}, ""
    cans = {id(can): can for section in simplest[0].parts for can in section}.values()
    shown = {shelf.can.marking: shelf.shown for shelf in there if shelf.can}
    like_for_like = len(cans) == 1 and all(can.sections_uf == old.sections_uf for can in cans)
    return dict(Counter(shown[can.marking] for can in cans)), "" if like_for_like else simplest[0].sentence


def _named_by_number(there: Sequence[Shelf], text: str) -> Shelf | None:
    """Return the only one there is, else the one whose marking holds a number of the note: the 30 amp one."""
    if len(there) == 1:
        return there[0]
    said = set(_NUMBER.findall(text))
    named = [shelf for shelf in there if said & set(_NUMBER.findall(shelf.marking))]
    return named[0] if len(named) == 1 else None


_NUMBER = re.compile(r"\d+(?:\.\d+)?")


def _told_can(draft: Draft, old: Can | None) -> Can | None:
    """Return the capacitor that this note says was fitted: its print, told beside the repair."""
    marked = draft.kb.asking.marked
    told = {
        event.item: event.value
        for event in draft.events
        if isinstance(event, e.PlateRead) and event.value is not None and event.item in {*marked.sections, marked.volts}
    }
    sections = tuple(told[item] for item in marked.sections if item in told)
    if not sections:
        return None
    volts = told.get(marked.volts, old.voltage_v if old is not None else None)
    return Can(sections, volts) if volts is not None else None


def _refused(draft: Draft, old: Can | None, told: Can | None) -> str:
    """Warn where what was fitted may not stand for the old one; return why, else nothing."""
    if old is None or told is None:
        return ""
    of_one_section = len(told.sections_uf) < len(old.sections_uf)
    wanted = replace(old, sections_uf=(_nearest(old, told.sections_uf[0]),)) if of_one_section else old
    choice = choose_capacitor(draft.kb, wanted, [told])
    if choice.fits:
        return ""
    why = choice.refused[0][1]
    draft.remark("fitted_other", signal="warning", fitted=told.marking, marked=old.marking, why=why)
    return f"{told.marking} where {old.marking} is marked: {why}"


def _nearest(old: Can, value: float) -> float:
    return min(old.sections_uf, key=lambda section: abs(section - value))


def _tell_left(draft: Draft, part: str, shelves: Sequence[Shelf], taken: Mapping[str, int]) -> None:
    name = draft.kb.subjects[part].name
    if not taken:
        draft.remark("stock_not_counted", name=name)
        return
    left = [
        f"{one.shown}, {one.count - taken[one.shown]} left"
        for one in shelves
        if one.part == part and one.shown in taken
    ]
    draft.remark("stock_counted", listed="; ".join(left))


def _times(taken: Mapping[str, int]) -> list[str]:
    return [shown if count == 1 else f"{count} × {shown}" for shown, count in taken.items()]

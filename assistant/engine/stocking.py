"""The truck: what is on it, of which part, and which capacitor of those fits."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from assistant.dialogue.sentences import Said, sentence
from assistant.language.models import Heard
from assistant.reasoning.limits import Can, choose_capacitor
from assistant.session import events as e
from assistant.stock import CAPACITOR, Shelf, StockError
from knowledge import KnowledgeBase
from knowledge.models.repair import Repair

from .context import plate_values
from .draft import Draft
from .matching import subject_chain


def tell_proposed(draft: Draft) -> None:
    """Say what of a part just proposed is on the truck; for a capacitor which one fits."""
    for event in draft.events:
        part = part_of(draft, event.repair) if isinstance(event, e.RepairProposed) else None
        if part is not None:
            shelves = shelves_of(draft)
            if shelves is not None:
                draft.remarks.append(_on_hand(draft, part, shelves))


def tell_part(draft: Draft, repair: Repair) -> None:
    """Say what is on the truck of the part that a repair fits, where a stock is kept."""
    shelves = shelves_of(draft) if part_of(draft, repair.id) is not None else None
    if shelves is not None and repair.part is not None:
        draft.answer.append(_on_hand(draft, repair.part, shelves))


def tell_stock(draft: Draft, item: Heard) -> None:
    """Answer what is on the truck: all of it, or of the part that was named."""
    shelves = shelves_of(draft)
    if shelves is None:
        if draft.stock is None:
            draft.tell("no_stock_kept")
        return
    there = [shelf for shelf in shelves if shelf.count > 0]
    if item.subject is None:
        listed = "; ".join(f"{draft.kb.subjects[one.part].name}: {_counted(one)}" for one in there)
        draft.tell("stock_listed", listed=listed or "nothing")
        return
    parts = {repair.part for repair in draft.kb.repairs.values() if repair.part}
    part = next((one for one in subject_chain(draft.kb, item.subject) if one in parts), None)
    if part is None:
        draft.tell("stock_has_no_such", name=draft.kb.subjects[item.subject].name)
    else:
        draft.answer.append(_on_hand(draft, part, shelves))


def tell_cans(draft: Draft, cans: Sequence[Can]) -> None:
    """Say how many of these capacitors are on the truck, where a stock is kept."""
    for can in cans if draft.stock is not None else ():
        shelves = shelves_of(draft) or ()
        same = [one for one in shelves if one.can is not None and is_such(one.can, can) and one.count > 0]
        if same:
            draft.tell("stock_of", name="capacitor", listed="; ".join(map(_counted, same)))
        else:
            sections = "/".join(f"{value:g}" for value in can.sections_uf)
            draft.tell("stock_none_of", name=f"{sections} µF capacitor")


def part_of(draft: Draft, repair_id: str) -> str | None:
    """Return the part that a repair fits; None where it fits none, or is done by others."""
    repair = draft.kb.repairs[repair_id]
    return None if repair.refer else repair.part


def shelves_of(draft: Draft) -> tuple[Shelf, ...] | None:
    """Return the shelves; None where no stock is kept or its file cannot be used, which is then said."""
    if draft.stock is None:
        return None
    try:
        return draft.stock.shelves()
    except StockError as error:
        draft.remarks.append(Said(str(error), "The stock file has a problem.", "notice"))
        return None


def _on_hand(draft: Draft, part: str, shelves: Sequence[Shelf]) -> Said:
    there = [shelf for shelf in shelves if shelf.part == part and shelf.count > 0]
    name = draft.kb.subjects[part].name
    if not there:
        return sentence(draft.kb, "stock_none_of", name=name)
    listed = "; ".join(map(_counted, there))
    marked = marked_can(draft.kb, plate_values(draft.state)) if part == CAPACITOR else None
    if marked is not None:
        fits = choose_capacitor(draft.kb, marked, cans_on(there)).sentence
        return sentence(draft.kb, "stock_fits", name=name, listed=listed, fits=fits)
    return sentence(draft.kb, "stock_unmarked" if part == CAPACITOR else "stock_of", name=name, listed=listed)


def _counted(shelf: Shelf) -> str:
    return f"{shelf.shown} ({shelf.count})"


def marked_can(kb: KnowledgeBase, plate: Mapping[str, float]) -> Can | None:
    """Return the capacitor as printed, as far as it was read; None without its volts or without any section."""
    marked = kb.asking.marked
    sections = tuple(plate[item] for item in marked.sections if item in plate)
    return Can(sections, plate[marked.volts]) if sections and marked.volts in plate else None


def is_such(there: Can, wanted: Can) -> bool:
    """Return True for the same print."""
    return sorted(there.sections_uf) == sorted(wanted.sections_uf) and there.voltage_v == wanted.voltage_v


def cans_on(shelves: Sequence[Shelf]) -> list[Can]:
    """Return every can that can be taken out, two of a kind as two."""
    return [replace(shelf.can) for shelf in shelves if shelf.can for _ in range(min(shelf.count, 2))]

"""Whether a capacitor at hand may take the place of the marked one: told, never taken for what is in the unit."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.dialogue.sentences import Said
from assistant.language.models import Heard
from assistant.reasoning.limits import Can, choose_capacitor, pedigree

from .context import plate_values
from .draft import Draft
from .stocking import marked_can, tell_cans


def tell_replacement(draft: Draft, item: Heard) -> None:
    """Answer for the parts in ``item.text``; without the print of the failed one, ask for it."""
    kb, plate, marked = draft.kb, plate_values(draft.state), draft.kb.asking.marked
    offered, _, instead = (item.text or "").partition(" for ")
    printed = marked_can(kb, plate)
    parts = offered.split("+")
    usual = plate.get(marked.volts, next((_volts(one) for one in (instead, *parts) if _volts(one)), None))
    if instead and printed is None and all(_volts(one) is None for one in (instead, *parts)):
        usual = kb.limits[_CAN].defaults[marked.volts]  # no volts named: the microfarads alone decide
    failed = _can(instead, printed, usual) if instead else printed
    cans = [_can(one, failed, failed.voltage_v) for one in parts] if failed is not None else []
    known = [can for can in cans if can is not None]
    if failed is None or len(known) < len(parts):
        if not _tell_volts(draft, parts, _volts(instead) or plate.get(marked.volts)):
            draft.tell("replacement_needs_print")
        return
    tell_cans(draft, known)
    choice = choose_capacitor(kb, failed, known)
    draft.answer.append(Said(choice.sentence, choice.sentence))
    if any(" " not in one for one in parts):
        draft.tell("replacement_volts", volts=draft.amount("voltage", failed.voltage_v))


_REPLACEMENT = "capacitor_replacement"
_CAN = "discharge_time"
"""The limit that knows the usual print of a capacitor."""


def _tell_volts(draft: Draft, parts: Sequence[str], marked_v: float | None) -> bool:
    """Answer by the voltage ratings alone: a lower one is refused at once. False where one of them is unknown."""
    ratings_v = [rating for rating in map(_volts, parts) if rating is not None]
    if marked_v is None or len(ratings_v) < len(parts):
        return False
    limit = draft.kb.limits[_REPLACEMENT]
    draft.tell(
        "replacement_by_volts",
        offered=draft.amount("voltage", min(ratings_v)),
        marked=draft.amount("voltage", marked_v),
        verdict=limit.says["lower_volts" if min(ratings_v) < marked_v else "volts_fit"],
        source=pedigree(draft.kb, limit.sources),
    )
    return True


def _volts(text: str) -> float | None:
    """The volts of a can as printed, where they were said."""
    volts = text.partition(" ")[2]
    return float(volts) if volts else None


def _can(text: str, like: Can | None, usual_v: float | None) -> Can | None:
    """Return a can as printed, ``40/5 440``; what is not said is as on the other one. None where that is not known."""
    sections, _, volts = text.partition(" ")
    voltage = float(volts) if volts else usual_v
    values = tuple(float(one) for one in sections.split("/")) if sections else like.sections_uf if like else ()
    return Can(values, voltage) if values and voltage else None

"""What is looked up rather than worked out: a refrigerant, what is usual of a calculation, a value in another unit."""

from __future__ import annotations

from collections.abc import Mapping

from assistant.dialogue.quantities import System, in_unit_words, shown
from assistant.dialogue.sentences import Said
from assistant.language.models import Heard
from assistant.physics.atmosphere import gauge_psi
from assistant.physics.refrigerant import Curve, saturation_psia, saturation_temperature_f
from assistant.reasoning.calculations import cautions_of, find_refrigerant, saturation_table, usual_limit
from assistant.reasoning.limits import pedigree
from knowledge.models.refrigerant import Kind, Refrigerant

from .context import plate_values
from .draft import Draft
from .observing import tell_limit

_ELEVATION = "elevation"


def tell_refrigerants(draft: Draft) -> None:
    """Say which refrigerants there are tables for, with their safety groups, and which are known without one."""
    kb = draft.kb
    backed = ", ".join(f"{kb.refrigerants[name].name} ({kb.refrigerants[name].safety})" for name in kb.saturation)
    others = ", ".join(one.name for one in kb.refrigerants.values() if one.id not in kb.saturation)
    draft.tell("refrigerants_known", backed=backed, others=others)


def tell_refrigerant(draft: Draft, item: Heard) -> None:
    """Say of one refrigerant its composition, safety group, glide, hottest discharge line, and the cautions."""
    kb, found = draft.kb, find_refrigerant(draft.kb, item.text or "")
    if found is None:
        draft.tell("refrigerant_unknown", name=item.text or "")
        tell_refrigerants(draft)
        return
    parts = ", ".join(f"{name} {share:g} %" for name, share in found.mass_pct.items())
    draft.tell(
        "refrigerant_is",
        name=found.name,
        parts=parts,
        kind=kb.sentences[f"kind_{found.kind}"].screen,
        safety=found.safety,
        meaning=kb.sentences[f"safety_{found.safety.lower()}"].screen,
        source=pedigree(kb, found.sources),
    )
    _tell_glide(draft, found)
    if found.discharge_max_f is not None:
        draft.tell("refrigerant_discharge", most=draft.amount("temperature", found.discharge_max_f))
    for text in (found.note, found.no_table and kb.sentences["refrigerant_no_table"].screen):
        if text:
            draft.answer.append(Said(text, text))
    for caution in cautions_of(kb, ("refrigerant",), found):
        draft.answer.append(Said(caution.text, caution.spoken, caution.signal.value))


def _tell_glide(draft: Draft, found: Refrigerant) -> None:
    """Say from where to where it boils at one pressure of usual work."""
    table = saturation_table(draft.kb, found)
    if table is None or found.kind in {Kind.PURE, Kind.AZEOTROPE}:
        return
    dew_f = draft.kb.asking.facts_at_f
    psia = saturation_psia(table, Curve.DEW, dew_f)
    draft.tell(
        "refrigerant_glide",
        pressure=draft.amount("pressure", gauge_psi(psia, plate_values(draft.state).get(_ELEVATION, 0.0))),
        first=draft.amount("temperature", saturation_temperature_f(table, Curve.BUBBLE, psia)),
        last=draft.amount("temperature", dew_f),
    )


def tell_usual(draft: Draft, calculation: str, known: Mapping[str, float | str]) -> None:
    """Say the limit that a calculation is held against, as far as plate and visit tell it (``known``)."""
    limit = usual_limit(draft.kb, calculation, known)
    if limit is None:
        draft.tell("no_limit_known")
        return
    tell_limit(draft, limit)


def tell_converted(draft: Draft, item: Heard) -> None:
    """Say a value in the unit asked for, or in both systems where none was named."""
    kb, quantity, value = draft.kb, item.quantity or "", item.value or 0.0
    said = in_unit_words(kb, quantity, value, item.said_unit or "")
    si = kb.quantities[quantity].si
    system: System = "us" if item.said_unit == si else "si"
    other = in_unit_words(kb, quantity, value, item.text) if item.text else shown(kb, quantity, value, system)
    draft.tell("converted", said=said, other=other)

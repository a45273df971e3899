"""Readings: a number, "nothing" or "over limit" with its place, quantity and unit, and everything doubtful about it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from .models import Doubt, Heard, Kind
from .pairing import Predicate
from .plausibility import plausible
from .predicates import canonical_unit
from .ranges import Variant, doubted_by_ear, other_readings, other_section, other_units
from .reading_units import Setting, as_asked, can_be_rated, places_for, units_of
from .roles import Role
from .vocabulary import UnitMeaning
from .work import Work, in_order


def reading_of(work: Work, predicate: Predicate, setting: Setting, start: int, end: int) -> Heard | None:
    """Return the reading, with options where it must be asked back; None where nothing says what it measures."""
    if predicate.zero or (predicate.mark.number is None and predicate.mark.has(Role.ZERO)):
        found = _zero(work, predicate, setting)
    elif predicate.mark.number is None:
        found = _over_limit(work, setting)
    else:
        found = _number(work, predicate, setting)
    if found is None or not found[0]:
        return None
    variants, doubts = found
    return _item(work, variants, doubts | setting.doubts, predicate, (start, end))


Found = tuple[list[Variant], set[Doubt]]


def _number(work: Work, predicate: Predicate, setting: Setting) -> Found | None:
    number = predicate.mark.number
    if number is None or not number.values or _is_pronoun(work, predicate, setting):
        return None
    if setting.printed and setting.mention is None and setting.topic is None and not number.units:
        quantities = work.kb.quantities
        return [
            Variant(subject, work.vocabulary.usual_unit(quantities[quantity]), number.values[0])
            for subject, quantity in setting.printed
        ], {Doubt.ASSUMED}
    units, assumed_unit = units_of(work, predicate, setting, number.values)
    if not units:
        return None
    doubts = {Doubt.ASSUMED} if assumed_unit else set()
    if number.about:
        doubts.add(Doubt.APPROXIMATE)
    variants: list[Variant] = []
    assumed_place = False
    for unit in units:
        places = places_for(work, setting, unit.quantity.id, unit.canonical(number.values[0]))
        assumed_place = assumed_place or places.assumed
        for about in places.ids:
            variants.extend(_values(work, about, unit, predicate))
    if assumed_place:
        doubts.add(Doubt.ASSUMED)
    return _distinct(variants), doubts


def _is_pronoun(work: Work, predicate: Predicate, setting: Setting) -> bool:
    """True for the "one" of "the inside one": no reading, where nothing says that it was measured."""
    mark, number = predicate.mark, predicate.mark.number
    words = [token.raw.lower() for token in work.tokens[mark.first : mark.last]]
    if words != list(work.kb.particles.one) or number is None or number.units or predicate.named:
        return False
    measured = any(other.has(Role.MEASURED) for other in work.marks if other.last <= mark.first)
    return setting.mention is not None and not measured


def _values(work: Work, about: str, unit: UnitMeaning, predicate: Predicate) -> list[Variant]:
    """Return a variant for every value the words can mean that is plausible here; one where none is."""
    number = predicate.mark.number
    if number is None:
        return []
    values = [unit.canonical(value) for value in number.values]
    if len(values) > 1:
        span = plausible(work.kb, about, unit.quantity.id, work.context.asked)
        values = [value for value in values if span.holds(value)] or values[:1]
        values = [value for value in values if can_be_rated(work, about, unit.quantity.id, value)] or values
        if not number.in_words:
            values = values[:1]  # a written comma parts thousands wherever that can be read here
    high = unit.canonical(number.high) if number.high is not None else None
    return [Variant(about, unit, value, high) for value in values]


def _zero(work: Work, predicate: Predicate, setting: Setting) -> Found | None:
    """A word for no reading: 0, but on an ohm range it may as well mean open."""
    unit, assumed = _zero_unit(work, predicate, setting)
    if unit is None or any(one.offset for one in unit.quantity.units):
        return None  # "nothing outside" is no temperature: on such a scale zero is a value like others
    doubts = {Doubt.ASSUMED} if assumed or predicate.mark.number is not None else set()
    number = predicate.mark.number
    expected = unit.canonical(number.values[0]) if number is not None and number.values else 0.0
    places = places_for(work, setting, unit.quantity.id, expected)  # "no 24 at the contactor" is said of the 24 V part
    if places.assumed:
        doubts.add(Doubt.ASSUMED)
    variants = [Variant(about, unit, 0.0) for about in places.ids]
    if unit.quantity.over_limit:
        variants += [Variant(about, unit, None, over_limit=True) for about in places.ids]
    return variants, doubts


def _zero_unit(work: Work, predicate: Predicate, setting: Setting) -> tuple[UnitMeaning | None, bool]:
    number = predicate.mark.number
    if predicate.named:
        return as_asked(work, predicate.named, setting, predicate)[0], False
    if number is not None and number.units:
        return as_asked(work, number.units, setting, predicate)[0], False
    said = number.values if number is not None and number.values else (0.0,)
    units, assumed = units_of(work, replace(predicate, named=()), setting, said)
    return (units[0] if units else None), assumed


def _over_limit(work: Work, setting: Setting) -> Found | None:
    """Over limit exists on the quantities whose meter can show it."""
    quantity = next(quantity for quantity in work.kb.quantities.values() if quantity.over_limit)
    asked = work.context.asked
    bare = setting.mention is None and setting.topic is None
    if bare and asked is not None and asked.quantity not in {None, quantity.id}:
        return None  # a meter that was not on ohms shows OL for another reason
    places = places_for(work, setting, quantity.id, None)
    doubts = {Doubt.ASSUMED} if places.assumed or setting.mention is None else set()
    unit = canonical_unit(quantity)
    return [Variant(about, unit, None, over_limit=True) for about in places.ids], doubts


def _item(
    work: Work, variants: list[Variant], doubts: set[Doubt], predicate: Predicate, span: tuple[int, int]
) -> Heard:
    """Return the reading for one variant, or one that must be asked back for several or an implausible one."""
    number = predicate.mark.number
    unit_said = number is not None and bool(number.units)
    if len(variants) == 1:
        only = variants[0]
        if only.value is not None and not unit_said and not predicate.named:
            variants = other_units(work, only)
        if len(variants) == 1 and not _implausible(work, only):
            variants = other_section(work, only)
        if len(variants) == 1 and number is not None and number.misheard is not None and work.context.spoken:
            variants, misheard = doubted_by_ear(work, only, number)
            doubts = doubts | {Doubt.MISHEARD} if misheard else doubts
    options: tuple[Variant, ...] = ()
    if len(variants) > 1:
        doubts = doubts | {Doubt.AMBIGUOUS}
        options = tuple(variants)
    elif _implausible(work, variants[0]):
        doubts = doubts | {Doubt.OUT_OF_RANGE}
        options = other_readings(work, variants[0], unit_said=unit_said)
    said_unit = number.said_unit if number is not None else None
    heard = _heard(work, variants[0], doubts, span, said_unit)
    return replace(heard, options=tuple(_heard(work, option, doubts, span, None) for option in options))


def _heard(
    work: Work, variant: Variant, doubts: Iterable[Doubt], span: tuple[int, int], said_unit: str | None
) -> Heard:
    start, end = span
    kept = in_order(doubts)
    return Heard(
        Kind.READING,
        work.said(start, end),
        start,
        end,
        about=variant.about,
        quantity=variant.quantity,
        value=variant.value,
        high=variant.high,
        unit=variant.unit.quantity.unit,
        said_unit=said_unit or variant.unit.unit.symbol,
        over_limit=variant.over_limit,
        doubts=kept,
    )


def _implausible(work: Work, variant: Variant) -> bool:
    span = plausible(work.kb, variant.about, variant.quantity, work.context.asked)
    ends = [end for end in (variant.value, variant.high) if end is not None]
    return any(not span.holds(end) for end in ends)


def _distinct(variants: Sequence[Variant]) -> list[Variant]:
    seen: dict[tuple[str, str, float | None], Variant] = {}
    for variant in variants:
        seen.setdefault((variant.about, variant.quantity, variant.value), variant)
    return list(seen.values())

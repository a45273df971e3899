"""What a value is counted in and where it was read: as said, as named, as asked, as before, as usual."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from .models import Asked, Doubt
from .pairing import Mention, Predicate
from .places import Places, means_asked, named_with, places_anywhere, places_of
from .plausibility import plausible, usual
from .roles import Role
from .tokens import words_of
from .vocabulary import UnitMeaning
from .work import Work

_VOLTAGE = "voltage"


@dataclass(slots=True)
class Setting:
    """What the words around a value say about it."""

    mention: Mention | None
    alternatives: tuple[str, ...] = ()
    """Parts that the mention names together with something said before."""
    prefer_alternatives: bool = False
    topic: Mention | None = None
    """Subject said earlier in the note, for a value without one."""
    carried: str | None = None
    """Quantity of the reading before it in the note."""
    printed: tuple[tuple[str, str], ...] = ()
    """Subject and quantity of the print read out before it: rated 45, reads 38."""
    tied: bool = False
    """True where a preposition ties the value to the mention: 24 at the unit."""
    doubts: set[Doubt] = field(default_factory=set)


def units_of(
    work: Work, predicate: Predicate, setting: Setting, values: Sequence[float]
) -> tuple[tuple[UnitMeaning, ...], bool]:
    """Return what the number is counted in: as said, as named, as asked, as before, as usual; and whether assumed."""
    number = predicate.mark.number
    asked = work.context.asked
    if number is not None and number.units:
        return _read_at_all(work, as_asked(work, number.units, setting, predicate)), False
    if predicate.named:
        return predicate.named, False
    value = values[0]
    quantities = _as_answer(work, setting, asked, value)
    if setting.mention is not None:
        own = [q for subject in setting.mention.ids for q in work.kb.subjects[subject].quantities]
        own += [q for subject in setting.alternatives for q in work.kb.subjects[subject].quantities]
        if (
            setting.carried
            and not _reads_two(work, own, setting.carried)
            and _is_point(work, setting, setting.carried, value)
        ):
            quantities.append(setting.carried)
        quantities += [q for q in own if _is_point(work, setting, q, value)] + own
        if not quantities and setting.tied:
            quantities += _usual_there(work, setting.mention, values)
    elif setting.topic is not None and not quantities:
        quantities += [q for subject in setting.topic.ids for q in work.kb.subjects[subject].quantities]
    elif work.context.watched is not None and not quantities:
        quantities += work.kb.subjects[work.context.watched].quantities
    if not quantities:
        return (), False
    if setting.tied and (volts := _volts_there(work, setting, quantities, value)):
        return volts, True
    asked_for = asked.quantity if asked is not None else None
    quantities = [q for q in quantities if q == asked_for or _readable_now(work, q)] or quantities
    fitting = [q for q in quantities if any(_holds(work, setting, q, one) for one in values)] or quantities
    return (work.vocabulary.usual_unit(work.kb.quantities[fitting[0]]),), True


def _read_at_all(work: Work, units: tuple[UnitMeaning, ...]) -> tuple[UnitMeaning, ...]:
    """Leave out what nothing is read in: inches of static are no length, and no part is read in percent."""
    read = {quantity for subject in work.kb.subjects.values() for quantity in subject.quantities}
    return tuple(unit for unit in units if unit.quantity.id in read)


def _as_answer(work: Work, setting: Setting, asked: Asked | None, value: float) -> list[str]:
    """Return the quantity that is asked for, where the value may answer that."""
    if asked is None or not asked.quantity:
        return []
    if setting.mention is None:
        return [asked.quantity]
    answers = _may_answer(work, setting, asked, asked.quantity, value) and not _goes_on(work, setting, asked)
    return [asked.quantity] if answers else []


def _goes_on(work: Work, setting: Setting, asked: Asked) -> bool:
    """True for the fan of "compressor 14 amps fan 1": it goes on in amps, though volts were asked for elsewhere."""
    ids = setting.mention.ids if setting.mention is not None else ()
    own = {quantity for subject in ids for quantity in work.kb.subjects[subject].quantities}
    chain = {wider for subject in ids for wider in work.vocabulary.chain(subject)}
    return setting.carried in own and setting.carried != asked.quantity and asked.about not in chain


def _volts_there(work: Work, setting: Setting, quantities: Sequence[str], value: float) -> tuple[UnitMeaning, ...]:
    """Return volts for the "240" of "240 at the motor": no motor draws so many amps, and a meter reads it somewhere."""
    ids = setting.mention.ids if setting.mention is not None else ()
    if not quantities or any(can_be_rated(work, one, quantities[0], value) for one in ids):
        return ()
    read = {check.about for check in work.kb.checks.values() if check.quantity == _VOLTAGE}
    windows = (usual(work.kb, about, _VOLTAGE, work.context.plate) for about in read)
    if not any(window is not None and window.holds(value) for window in windows):
        return ()
    return (work.vocabulary.usual_unit(work.kb.quantities[_VOLTAGE]),)


def _readable_now(work: Work, quantity: str) -> bool:
    """False for amps of a unit that is held dead, for ohms of one that runs."""
    needed, powered = work.kb.quantities[quantity].powered, work.context.powered
    return needed is None or powered is None or needed is powered


def _reads_two(work: Work, own: Sequence[str], carried: str) -> bool:
    """True where a part read for something else first also shows the temperatures read before.

    "Suction line 52, suction 118": a gauge has a pressure and a temperature scale, and is read for the pressure.
    """
    scaled = any(unit.offset for unit in work.kb.quantities[carried].units)
    return scaled and carried in own[1:] and own[0] != carried


def _may_answer(work: Work, setting: Setting, asked: Asked, quantity: str, value: float) -> bool:
    """True where the name can mean a point of the quantity that is asked for.

    The name of a part that is measured itself means that part: "herm 38" is its capacitance, not the amps of its lead.
    """
    if setting.mention is None or not _is_point(work, setting, quantity, value):
        return False
    is_point, subjects = work.vocabulary.is_point, work.kb.subjects
    ids = setting.mention.ids
    own = any(is_point(one, q) for one in ids if subjects[one].part_of for q in subjects[one].quantities)
    return not own or any(is_point(one, quantity) for one in ids) or means_asked(work, setting.mention, asked)


def _usual_there(work: Work, mention: Mention, values: Sequence[float]) -> list[str]:
    """Return quantities of points named after this place where such a value is what a sound unit reads."""
    found = []
    for subject in named_with(work, mention):
        for quantity in work.kb.subjects[subject].quantities[:1]:
            window = usual(work.kb, subject, quantity, work.context.plate)
            if window is not None and any(window.holds(value) for value in values):
                found.append(quantity)
    return list(dict.fromkeys(found))


def as_asked(
    work: Work, units: tuple[UnitMeaning, ...], setting: Setting, predicate: Predicate
) -> tuple[UnitMeaning, ...]:
    """Read "volts" as DC volts where those were asked for, "degrees" as a difference where the subject is one.

    Words that name one kind alone are never read as the other: "0 volts DC" proves no leg dead, "0 VAC" no capacitor.
    """
    if _is_firm(work, units, predicate):
        return units
    units = _of_subject(work, units, setting)
    asked = work.context.asked
    if asked is None or asked.quantity is None or any(unit.quantity.id == asked.quantity for unit in units):
        return units
    named = setting.mention.ids if setting.mention is not None else (asked.about or "",)
    family = {wider for subject in named if subject for wider in work.vocabulary.chain(subject)}
    if asked.about not in family:
        return units
    wanted = work.kb.quantities[asked.quantity]
    same = [UnitMeaning(wanted, u) for unit in units for u in wanted.units if u.symbol == unit.unit.symbol]
    return tuple(same) or units


def _is_firm(work: Work, units: tuple[UnitMeaning, ...], predicate: Predicate) -> bool:
    """True where the words of the unit say which kind of it was read: vdc, volts ac."""
    marks = (predicate.mark, *((predicate.hint,) if predicate.hint is not None else ()))
    said = [f" {' '.join(work.words(mark))} " for mark in marks]
    firm = {f" {' '.join(words_of(words))} " for unit in units for words in unit.unit.firm}
    return any(words in text for words in firm for text in said)


def _of_subject(work: Work, units: tuple[UnitMeaning, ...], setting: Setting) -> tuple[UnitMeaning, ...]:
    """Return the unit in the one quantity that everything named has, where that quantity has such a unit.

    A split of 10 °C is 18 °F: the same word counts a temperature and a difference, and only the subject tells.
    """
    named = setting.mention or setting.topic
    own = {work.kb.subjects[subject].quantities for subject in named.ids} if named is not None else set()
    only = next(iter(own)) if len(own) == 1 else ()
    if len(only) != 1:
        return units
    if fitting := tuple(unit for unit in units if unit.quantity.id in only):
        return fitting
    wanted = work.kb.quantities[only[0]]
    same = [UnitMeaning(wanted, u) for unit in units for u in wanted.units if u.symbol == unit.unit.symbol]
    return tuple(same) or units


def _mentioned(work: Work, setting: Setting, quantity: str, value: float | None) -> Places:
    if setting.mention is None:
        return Places((), assumed=False)
    return places_of(
        work, setting.mention, quantity, value, setting.alternatives, preferred=setting.prefer_alternatives
    )


def _is_point(work: Work, setting: Setting, quantity: str, value: float) -> bool:
    return bool(_mentioned(work, setting, quantity, value).ids)


def _holds(work: Work, setting: Setting, quantity: str, value: float) -> bool:
    unit = work.vocabulary.usual_unit(work.kb.quantities[quantity])
    places = places_for(work, setting, quantity, unit.canonical(value))
    return any(plausible(work.kb, about, quantity, work.context.asked).holds(value) for about in places.ids)


def places_for(work: Work, setting: Setting, quantity: str, value: float | None) -> Places:
    """Return the subjects the value may be about."""
    asked = work.context.asked
    read_for = _read_for_proof(work, quantity) if setting.mention is None else None
    if read_for is not None:
        return Places((read_for,), assumed=True)
    if setting.mention is not None:
        found = _mentioned(work, setting, quantity, value)
        if not found.ids and setting.mention.marks and all(m.has(Role.BEFORE_SUBJECT) for m in setting.mention.marks):
            return Places((), assumed=False)  # "across" names the two legs for volts alone
        return found if found.ids else Places(setting.mention.ids[:1], assumed=False)
    if asked is not None and asked.about and asked.quantity == quantity:
        named = work.kb.subjects.get(asked.about)
        if named is not None:
            return Places((asked.about,), assumed=True)
    watched = work.context.watched
    if setting.topic is None and watched is not None and work.vocabulary.is_point(watched, quantity):
        return Places((watched,), assumed=True)
    if setting.topic is not None:
        found = places_of(work, setting.topic, quantity, value, ())
        if found.ids:
            return Places(found.ids, assumed=True)
    return places_anywhere(work, quantity, value)


def _read_for_proof(work: Work, quantity: str) -> str | None:
    """Return the point of this quantity among those that the pending proof is made of."""
    asked = work.context.asked
    if asked is None or asked.kind != "close_out" or asked.id not in work.kb.close_out:
        return None
    checks = (work.kb.checks[check] for check in work.kb.close_out[asked.id].reads)
    return next((check.about for check in checks if check.quantity == quantity), None)


def can_be_rated(work: Work, about: str, quantity: str, value: float) -> bool:
    """False where no part of this kind is made so large: 146 amps running, of "fourteen six"."""
    items = [i for i in work.kb.plate_items.values() if i.subject == about and i.quantity == quantity and i.plausible]
    return all(item.plausible is None or value <= item.plausible[1] for item in items)

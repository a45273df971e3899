"""Print of a part told as a plain statement: fan motor is 1/4 hp, 208/230 volt 1.4 amps; fuses, 30 amp time delay.

Volts that stand on a part are no reading: they must not wake a unit that is held dead.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from .clauses import Sentence
from .models import Heard, Kind
from .phrases import Mark
from .roles import Role
from .runs import find_runs
from .vocabulary import UnitMeaning
from .work import Work

_SUPPLY = "rated_voltage"


def printed_part(work: Work) -> None:
    """Add the print of every sentence that can be nothing else; its volts rate the part and fill nothing."""
    for sentence in work.sentences:
        marks = [mark for mark in sentence.marks if not work.is_spent(mark)]
        if not marks or any(clause.question for clause in sentence.clauses):
            continue
        _take_kind(work, sentence, marks)
        _take_motor(work, marks)


def _take_kind(work: Work, sentence: Sentence, marks: Sequence[Mark]) -> None:
    """Take the "30 amp time delay" of fuses: the time delay is theirs, no board of the control circuit."""
    for part, kinds in work.kb.particles.kinds_of_part.items():
        behind = next((mark.last for mark in marks if part in _wide(work, mark)), None)
        if behind is None and any(part == _part_of_repair(work, item) for item in work.context.last):
            behind = marks[0].first
        if behind is None:
            continue
        for first, last in find_runs(work, kinds, behind, sentence.marks[-1].last):
            rated = next((mark for mark in marks if mark.number is not None and mark.last == first), None)
            if rated is not None and _add_print(work, rated, part):
                named = (mark for mark in marks if part in _wide(work, mark) and mark.last <= rated.first)
                if not any(mark.has(Role.ACT) for mark in marks):
                    work.spend(*named)
                work.spent.update(range(first, last))
                return


def _take_motor(work: Work, marks: Sequence[Mark]) -> None:
    """Take volts and amps told of one motor beside what is never measured: its horsepower, a pair like 208/230."""
    named = {one for mark in marks for one in mark.ids(Role.SUBJECT) if not mark.small}
    if len(named) != 1 or any(mark.has(Role.MEASURED) or mark.has(Role.ACT) for mark in marks):
        return  # what was fitted is rated by its repair
    (part,) = named
    volts = [mark for mark in marks if _counted_in(mark, work.kb.plate_items[_SUPPLY].quantity)]
    pairs = [mark for mark in volts if mark.number is not None and _is_rated_pair(work, mark)]
    if not (pairs or any(_is_only_printed(work, mark, part) for mark in marks)):
        return
    for mark in marks:
        if mark.number is not None:
            _add_print(work, mark, part)
    work.spend(*volts, *(mark for mark in marks if mark.has(Role.SUBJECT) and not mark.small))


def _is_rated_pair(work: Work, mark: Mark) -> bool:
    """True for 208/230: of a part, two voltages at once are print."""
    number = mark.number
    return number is not None and any(
        (low, high) in work.kb.plate_items[_SUPPLY].printed_pairs for low in number.values for high in number.partner
    )


def _is_only_printed(work: Work, mark: Mark, part: str) -> bool:
    """True for horsepower and rpm of a motor: print of this part in a unit in which nothing of it is measured."""
    units = {unit.unit.symbol for unit in mark.number.units} if mark.number is not None else set()
    items = (item for item in work.kb.plate_items.values() if item.subject == part)
    return any(item.unnamed_from.get(symbol) == 0 for item in items for symbol in units)


def _add_print(work: Work, mark: Mark, part: str) -> bool:
    """Add a number as the one plate item of the part that takes its quantity; False where there is none."""
    number = mark.number
    if number is None or number.partner or number.high is not None or len(number.values) != 1:
        return False
    fits = [
        (item, unit)
        for item in work.kb.plate_items.values()
        for unit in number.units
        if item.subject == part and item.quantity == unit.quantity.id and not item.unnamed_from
    ]
    if len(fits) != 1:
        return False
    item, unit = fits[0]
    work.items.append(_print(work, mark, item.id, unit, number.values[0]))
    work.spend(mark)
    return True


def _print(work: Work, mark: Mark, item: str, unit: UnitMeaning, value: float) -> Heard:
    start, end = work.extent([mark])
    return Heard(
        Kind.PLATE, work.said(start, end), start, end, about=item, quantity=unit.quantity.id,
        value=unit.canonical(value), unit=unit.quantity.unit, said_unit=unit.unit.symbol,
    )  # fmt: skip


def _counted_in(mark: Mark, quantity: str | None) -> bool:
    return mark.number is not None and any(unit.quantity.id == quantity for unit in mark.number.units)


def _wide(work: Work, mark: Mark) -> Iterable[str]:
    """Return what a name may mean, the wholes of it and of what it stands for included: both fuses, fuses."""
    each = {part for one in mark.ids(Role.SUBJECT) for part in (one, *work.kb.subjects[one].stands_for)}
    return {wider for part in each for wider in work.vocabulary.chain(part)}


def _part_of_repair(work: Work, item: Heard) -> str | None:
    repair = work.kb.repairs.get(item.about or "") if item.kind is Kind.REPAIR else None
    return repair.part if repair is not None else None

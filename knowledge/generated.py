"""Rare faults of every part and conductor of a unit that no fault is written for: nothing is left out by oversight."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator

from .models.fault import Change, Fault, FaultMode
from .models.generated import Generated, Group, Made, Sort
from .models.unit import Element


def generated_faults(
    elements: Iterable[Element], written: Iterable[Fault], say: Generated, checks: Collection[str]
) -> Iterator[Fault]:
    """Yield what may happen to each element and is not written; ``checks``: those that the unit can be asked."""
    taken = alone(written)
    groups = {name: group for group in say.groups for name in group.elements}
    for element in elements:
        group = groups.get(element.id)
        for mode in possible(element, say):
            made = group.faults.get(mode) if group else None
            if group is not None and made is not None and (element.id, mode) not in taken:
                yield _fault(element, mode, group, made, say, checks)


def possible(element: Element, say: Generated) -> tuple[FaultMode, ...]:
    """Return the ways in which an element of this kind fails."""
    kind: Sort = "insulating" if element.values.get("insulates") else element.kind
    return say.kinds[kind]


def alone(faults: Iterable[Fault]) -> set[tuple[str, str]]:
    """Return (element, mode) of the faults that change one element only."""
    return {(fault.sets[0].element, fault.sets[0].mode) for fault in faults if len(fault.sets) == 1}


def left_out(say: Generated) -> set[tuple[str, str]]:
    """Return (element, mode) of what is not made on purpose."""
    return {(name, mode) for entry in say.not_made for name in entry.elements for mode in entry.modes}


def _fault(
    element: Element, mode: FaultMode, group: Group, made: Made, say: Generated, checks: Collection[str]
) -> Fault:
    words = say.modes[mode]
    return Fault(
        id=f"{mode}_{element.id}",
        name=(made.name or words.name).format(element=element.name),
        part=group.part,
        sets=(Change(element=element.id, mode=mode, value=words.value if made.value is None else made.value),),
        shows={check: shown for check, shown in made.shows.items() if check in checks},
        prior=made.prior or words.prior,
        prior_source=say.source,
        repair=made.repair,
        why=made.why or words.why,
        rare=True,
    )

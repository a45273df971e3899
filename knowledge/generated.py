"""A rare fault for every conductor and part of a unit that no written fault opens: nothing is left out by oversight."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator

from .models.fault import Change, Fault
from .models.reasoning import GeneratedFaults
from .models.unit import Element


def open_faults(
    elements: Iterable[Element], written: Iterable[Fault], say: GeneratedFaults, checks: Collection[str]
) -> Iterator[Fault]:
    """Yield an open of every element that has a repair for it (``mend``) and that no written fault opens."""
    opened = {change.element for fault in written for change in fault.sets if change.mode == "open"}
    for element in elements:
        if element.mend is None or element.id in opened:
            continue
        yield Fault(
            id=f"open_{element.id}",
            name=say.name.format(element=element.name),
            part=say.part,
            sets=(Change(element=element.id, mode="open"),),
            shows={check: shown for check, shown in say.shows.items() if check in checks},
            prior=say.prior,
            prior_source=say.prior_source,
            repair=element.mend,
            why=say.why,
            rare=True,
        )

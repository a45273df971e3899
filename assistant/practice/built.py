"""How the unit of an exercise is built: as asked for, and as the named faults need it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from knowledge import KnowledgeBase
from knowledge.variants import KIND, Configuration

from .exercise import UnknownFaultError, Wish


def configuration(kb: KnowledgeBase, kind: str, wish: Wish) -> Configuration:
    """Return the configuration with the choices wished for, in which the faults can be; else one of that kind.

    ``kb``: the whole knowledge. Raises UnknownFaultError where a choice is not known, or two do not go together.
    """
    told: dict[str, str] = {}
    for condition in [*_wished(kb, wish.built), *_needed(kb, wish.faults)]:
        option, _, choice = condition.partition(".")
        if told.setdefault(option, choice) != choice:
            raise UnknownFaultError(f"No unit is both {told[option]} and {choice}: leave one of them out.")
    unit = kb.units[told.pop(KIND, kind)]
    missing = set(told) - {option.id for option in unit.options}
    if missing:
        raise UnknownFaultError(f"A unit of the kind {unit.id} has no choice for: {', '.join(sorted(missing))}.")
    return Configuration.of(unit, told)


def _wished(kb: KnowledgeBase, wished: Sequence[str]) -> Iterator[str]:
    options = [option for unit in kb.units.values() for option in unit.options]
    known = {choice.id: f"{option.id}.{choice.id}" for option in options for choice in option.choices}
    known |= {unit: f"{KIND}.{unit}" for unit in kb.units}
    for word in wished:
        if word not in known:
            raise UnknownFaultError(f"There is no unit {word!r}; there are {', '.join(sorted(known))}.")
        yield known[word]


def _needed(kb: KnowledgeBase, faults: Sequence[str]) -> Iterator[str]:
    """Yield a condition for each option that a named fault is only there with."""
    for name in faults:
        entry = kb.faults.get(name)
        first = {condition.partition(".")[0]: condition for condition in reversed(entry.only_with)} if entry else {}
        yield from first.values()

"""How a unit of one kind is built: what is known of its options, and the wiring that follows from it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from .models.entry import Fitted
from .models.unit import Choice, Consequence, Element, ElementChange, Option, UnitKind

KIND = "kind"
"""What a condition on the kind of unit begins with: ``kind.split_psc_240``."""


@dataclass(frozen=True, slots=True)
class Configuration:
    """What is known of one unit: its kind, and a choice for each option that was told. Hashable."""

    kind: str
    known: tuple[tuple[str, str], ...] = ()

    @classmethod
    def of(cls, unit: UnitKind, told: Mapping[str, str]) -> Configuration:
        """Return the configuration of what was told; what this kind has no option for is left out."""
        offered = {option.id: {choice.id for choice in option.choices} for option in unit.options}
        fits = {option: choice for option, choice in told.items() if choice in offered.get(option, ())}
        return cls(unit.id, tuple(sorted(fits.items())))

    def knowing(self, option: str, choice: str) -> Configuration:
        """Return the configuration with one option more, or another choice for it."""
        return Configuration(self.kind, tuple(sorted({**dict(self.known), option: choice}.items())))

    def open_options(self, unit: UnitKind) -> tuple[Option, ...]:
        """Return the options that nothing was told about."""
        told = dict(self.known)
        return tuple(option for option in unit.options if option.id not in told)

    def completed(self, unit: UnitKind) -> dict[str, Choice]:
        """Return the choice for every option of the unit: as told, else the commonest."""
        told = dict(self.known)
        return {option.id: _choice(option, told.get(option.id)) for option in unit.options}

    def as_usual(self, unit: UnitKind) -> Configuration:
        """Return the configuration with the commonest choice for every option that nothing was told about."""
        made = ((option, choice.id) for option, choice in self.completed(unit).items())
        return Configuration(self.kind, tuple(sorted(made)))

    def allows(self, entry: Fitted, unit: UnitKind) -> bool:
        """Return True where the unit may have a use for the entry, as far as is known."""
        told = dict(self.known)
        offered = {option.id: {choice.id for choice in option.choices} for option in unit.options}
        offered[KIND] = {self.kind}
        wanted: dict[str, set[str]] = {}
        for option, choice in map(_parted, entry.only_with):
            wanted.setdefault(option, set()).add(choice)
        for option, choices in wanted.items():
            left = {told[option]} if option in told else offered.get(option, set())
            if not left & choices:
                return False
        certain = {*told.items(), (KIND, self.kind)}
        return not any(condition in certain for condition in map(_parted, entry.not_with))


def usual(option: Option) -> Choice:
    """Return the commonest choice of an option."""
    return max(option.choices, key=lambda choice: choice.share)


def resolved(unit: UnitKind, choices: Iterable[Choice]) -> UnitKind:
    """Return the unit built with these choices: elements, nodes and slow consequences that are there.

    Insulation goes with what it keeps apart."""
    listed = tuple(choices)
    changes = [change for choice in listed for change in choice.changes]
    gone = {name for choice in listed for name in choice.without}
    whole = (*unit.elements, *(element for choice in listed for element in choice.elements))
    elements = tuple(_changed(element, changes) for element in whole if element.id not in gone)
    ends = {end for element in elements if not element.values.get("insulates") for end in _ends(element)}
    elements = tuple(element for element in elements if set(_ends(element)) <= ends)
    names = {element.id for element in elements}
    nodes = {**unit.nodes, **{name: node for choice in listed for name, node in choice.nodes.items()}}
    slow = (*unit.consequences, *(effect for choice in listed for effect in choice.consequences))
    return unit.model_copy(
        update={
            "elements": elements,
            "nodes": {name: node for name, node in nodes.items() if name in ends},
            "consequences": tuple(effect for effect in slow if _happens(effect, names)),
            "bases": {**unit.bases, **{item: value for choice in listed for item, value in choice.bases.items()}},
        }
    )


def _ends(element: Element) -> tuple[str, ...]:
    return tuple(end for end in (element.a, element.b, element.c, element.d) if end is not None)


def _happens(effect: Consequence, names: set[str]) -> bool:
    return effect.opens in names


def _changed(element: Element, changes: Iterable[ElementChange]) -> Element:
    for change in changes:
        if change.element == element.id:
            given = {end: new for end in ("a", "b", "name") if (new := getattr(change, end)) is not None}
            element = element.model_copy(update={**given, "values": {**element.values, **change.values}})
    return element


def _choice(option: Option, told: str | None) -> Choice:
    return next((choice for choice in option.choices if choice.id == told), usual(option))


def _parted(condition: str) -> tuple[str, str]:
    option, _, choice = condition.partition(".")
    return option, choice

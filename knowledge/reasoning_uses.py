"""What the constants of the reasoning and the gauge signatures name."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from .models.check import Sense
from .models.reasoning import CoilFact, ElementsFact, FlagFact, HeatFact, LoadFact, MotorFact, RotationFact
from .reader import Loc
from .unit_parts import holders
from .use import Use, each, many, outcomes

if TYPE_CHECKING:
    from .base import KnowledgeBase


def reasoning_uses(kb: KnowledgeBase) -> Iterator[Use]:
    settings = kb.reasoning
    single = ("reasoning", "")
    yield Use(*single, ("source",), "source", settings.source)
    yield from outcomes(*single, "deciding", settings.deciding.no_fault_needs)
    yield from _fact_rules(kb)
    for place, scale in enumerate(settings.plate_scales):
        spot: Loc = ("plate_scales", place)
        yield Use(*single, (*spot, "plate"), "plate item", scale.plate)
        yield from each(*single, "check", (((*spot, "checks", n), c) for n, c in enumerate(scale.checks)))


def _fact_rules(kb: KnowledgeBase) -> Iterator[Use]:
    for fact, rule in kb.reasoning.facts.items():
        for target, field, value in _parts(rule):
            for unit in holders(kb, target, value):
                yield Use("reasoning", "", ("facts", fact, field), f"{target} of {unit}", value)
        for check in kb.checks.values():
            if isinstance(check.measure, Sense) and check.measure.fact == fact:
                for field, outcome in _told(rule):
                    yield Use("reasoning", "", ("facts", fact, field), f"outcome of {check.id}", outcome)


Rule = MotorFact | RotationFact | CoilFact | LoadFact | ElementsFact | HeatFact | FlagFact


def _parts(rule: Rule) -> Iterator[tuple[str, str, str]]:
    match rule:
        case MotorFact() | RotationFact():
            yield "motor", "motor", rule.motor
        case CoilFact():
            yield "coil", "coil", rule.coil
        case LoadFact():
            yield "element", "load", rule.load
        case HeatFact():
            for element in rule.opened:
                yield "element", "opened", element
        case ElementsFact():
            for element in rule.elements:
                yield "element", "elements", element
        case FlagFact():
            return


def _told(rule: Rule) -> Iterator[tuple[str, str]]:
    fields = {
        "motor": ("running", "slow", "humming", "silent"),
        "rotation": ("forwards", "backwards"),
        "coil": ("pulled_in", "out", "chattering"),
        "load": ("on", "off"),
        "elements": ("closed", "open"),
        "heat": ("hot", "cool"),
        "flag": ("default",),
    }[rule.kind]
    for field in fields:
        yield field, getattr(rule, field)


def generated_uses(kb: KnowledgeBase) -> Iterator[Use]:
    """What the groups of faults that are made of elements name."""
    listed, single = kb.generated, ("generated", "")
    yield Use(*single, ("source",), "source", listed.source)
    for place, group in enumerate(listed.groups):
        spot: Loc = ("groups", place)
        yield Use(*single, (*spot, "part"), "subject", group.part)
        yield from _elements(kb, (*spot, "elements"), group.elements)
        for mode, made in group.faults.items():
            here = (*spot, "faults", mode)
            yield Use(*single, (*here, "repair"), "repair", made.repair)
            yield from each(*single, "check", (((*here, "shows", check), check) for check in made.shows))
            for check, shares in made.shows.items():
                for outcome in shares:
                    yield Use(*single, (*here, "shows", check, outcome), f"outcome of {check}", outcome)
    for place, entry in enumerate(listed.not_made):
        yield from _elements(kb, ("not_made", place, "elements"), entry.elements)


def _elements(kb: KnowledgeBase, at: Loc, names: tuple[str, ...]) -> Iterator[Use]:
    for nth, name in enumerate(names):
        for unit in holders(kb, "element", name):
            yield Use("generated", "", (*at, nth), f"element of {unit}", name)


def signature_uses(kb: KnowledgeBase) -> Iterator[Use]:
    listed = kb.signatures
    single = ("signatures", "")
    yield Use(*single, ("source",), "source", listed.source)
    yield from each(*single, "source", many("sources", listed.sources))
    for name, basis in listed.rests_on.items():
        yield Use(*single, ("rests_on", name, "source"), "source", basis.source)
    yield Use(*single, ("device_check",), "check", listed.device_check)
    for outcome in listed.device_outcomes:
        yield Use(*single, ("device_outcomes", outcome), f"outcome of {listed.device_check}", outcome)
    for name, gates in listed.gates.items():
        for place, gate in enumerate(gates):
            spot: Loc = ("gates", name, place)
            yield Use(*single, (*spot, "check"), "check", gate.check)
            for nth, outcome in enumerate(gate.outcomes):
                yield Use(*single, (*spot, "outcomes", nth), f"outcome of {gate.check}", outcome)
    yield from each(*single, "check", many("amps_checks", listed.amps_checks))
    for refrigerant in listed.target.discharge_extra_f:
        yield Use(*single, ("target", "discharge_extra_f", refrigerant), "refrigerant", refrigerant)

"""The knowledge narrowed to one unit: parts, checks, faults, repairs and words that it does not have are shut out.

What was narrowed away is still found by its id, so that an earlier note can always be told; it is only never listed.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import replace
from hashlib import sha256
from types import MappingProxyType
from typing import Any, TypeVar

from .base import KnowledgeBase
from .generated import generated_faults
from .models.check import Amps, Check, Microfarad, Ohms, Residual, Sense, Volts
from .models.entry import Fitted
from .models.fault import Complaint, Fault
from .models.reasoning import ElementsFact, FactRule, HeatFact
from .models.repair import Repair
from .models.unit import UnitKind
from .models.vocabulary import Subject
from .points import TestPoints, WithPoints
from .variants import Configuration, resolved

V = TypeVar("V")
F = TypeVar("F", bound=Fitted)


class Narrowed(Mapping[str, V]):
    """Lists what is left, and finds everything by id: ``in`` asks whether there is such an entry at all."""

    __slots__ = ("_left", "_whole")

    def __init__(self, left: Mapping[str, V], whole: Mapping[str, V]) -> None:
        self._left, self._whole = left, whole

    def __getitem__(self, key: str) -> V:
        found = self._left.get(key)
        return self._whole[key] if found is None else found

    def __iter__(self) -> Iterator[str]:
        return iter(self._left)

    def __len__(self) -> int:
        return len(self._left)

    def __contains__(self, key: object) -> bool:
        return key in self._whole


def configured(kb: KnowledgeBase, known: Configuration) -> KnowledgeBase:
    """Return the knowledge as it holds for one unit; what was not told is taken as it is most often built.

    Raises KeyError with the known kinds where the kind is not one. ``version`` tells the wiring apart as well.
    """
    if known.kind not in kb.units:
        raise KeyError(f"unit kind {known.kind!r} is not known; known: {', '.join(sorted(kb.units))}")
    whole = kb.units[known.kind]
    unit = resolved(whole, known.completed(whole).values())
    worded, usual = _Worded(known, whole), known.as_usual(whole)
    most = max((c.line_volts_most or 0.0 for c in known.completed(whole).values()), default=0.0)
    checks = {
        c.id: _ranged(_worn(worded.of(c), unit), most)
        for c in kb.checks.values()
        if known.allows(c, whole) and _can(c, unit)
    }
    checks = {name: check for name, check in checks.items() if _fed(check, checks)}
    elements = {element.id for element in unit.elements}
    faults = {
        fault.id: _reduced(worded.of(fault), elements, checks)
        for fault in kb.faults.values()
        if known.allows(fault, whole) and _is_in(fault, elements)
    }
    points = TestPoints.of(unit, kb.reasoning.points)
    made = generated_faults(unit.elements, faults.values(), kb.generated, checks)
    faults |= {fault.id: fault for fault in made if fault.repair in kb.repairs}
    needed = {fault.repair for fault in faults.values()}
    lost = {fault.repair for fault in kb.faults.values()} - needed
    repairs = {
        repair.id: _provable(worded.of(repair), checks)
        for repair in kb.repairs.values()
        if repair.id not in lost and known.allows(repair, whole)
    }
    return replace(
        kb,
        checks=Narrowed(WithPoints(checks, points, Check), kb.checks),
        faults=Narrowed({name: fault for name, fault in faults.items() if fault.repair in repairs}, kb.faults),
        repairs=Narrowed(repairs, kb.repairs),
        subjects=Narrowed(WithPoints(_subjects(kb, known, whole, checks, worded), points, Subject), kb.subjects),
        steps=Narrowed({s.id: worded.of(s) for s in kb.steps.values() if usual.allows(s, whole)}, kb.steps),
        close_out=Narrowed({p.id: worded.of(p) for p in kb.close_out.values() if usual.allows(p, whole)}, kb.close_out),
        complaints=Narrowed({c.id: _hinted(c, checks) for c in kb.complaints.values()}, kb.complaints),
        units=MappingProxyType({**kb.units, known.kind: unit}),
        reasoning=_reasoning(kb, unit, checks, elements),
        version=f"{kb.version}-{_mark(unit, checks, faults)}",
        configuration=known,
    )


def _mark(unit: UnitKind, checks: Iterable[str], faults: Iterable[str]) -> str:
    """Return what tells narrowed knowledge apart where it predicts otherwise: wiring, checks and faults."""
    digest = sha256(unit.model_dump_json(exclude={"options", "phrases"}).encode())
    digest.update(" ".join([*checks, "/", *faults]).encode())
    return digest.hexdigest()[:12]


class _Worded:
    def __init__(self, known: Configuration, unit: UnitKind) -> None:
        made = {f"{option}.{choice}" for option, choice in known.known}
        self._holds = {*made, f"kind.{unit.id}"}

    def of(self, entry: F) -> F:
        """Return the entry as it is called on this unit."""
        said: dict[str, Any] = {}
        for condition, wording in entry.wordings.items():
            if condition in self._holds:
                said |= {name: value for name in type(wording).model_fields if (value := getattr(wording, name))}
        return entry.model_copy(update=said) if said else entry


def _can(check: Check, unit: UnitKind) -> bool:
    """Return True where everything that the check measures is there."""
    measure = check.measure
    names = {element.id for element in unit.elements}
    if isinstance(measure, Volts | Ohms):
        return set(measure.between) <= set(unit.nodes)
    if isinstance(measure, Amps):
        return measure.through in names
    if isinstance(measure, Microfarad):
        return measure.of in names
    return True


def _worn(check: Check, unit: UnitKind) -> Check:
    """Return the check without leads that this unit does not have."""
    if not isinstance(check.measure, Ohms):
        return check
    names = {element.id for element in unit.elements}
    leads = tuple(lead for lead in check.measure.leads_off if lead in names)
    return check.model_copy(update={"measure": check.measure.model_copy(update={"leads_off": leads})})


def _ranged(check: Check, most: float) -> Check:
    """Return the check with the plausible range of a higher supply, where it is one of line voltage."""
    if not most or check.plausible is None or not isinstance(check.measure, Volts):
        return check
    low, high = check.plausible
    return check.model_copy(update={"plausible": (low, most)}) if high >= LINE_VOLTS_FROM else check


LINE_VOLTS_FROM = 200.0
"""A plausible range that reaches up to this many volts is one of line voltage, not of the control circuit."""


def _fed(check: Check, checks: Mapping[str, Check]) -> bool:
    measure = check.measure
    return not isinstance(measure, Residual) or all(name in checks for name in measure.inputs)


def _is_in(fault: Fault, elements: Collection[str]) -> bool:
    return not fault.sets or any(change.element in elements for change in fault.sets)


def _reduced(fault: Fault, elements: Collection[str], checks: Mapping[str, Check]) -> Fault:
    """Return the fault with what it does to the parts that are there: a one-pole contactor has one pole to weld."""
    sets = tuple(change for change in fault.sets if change.element in elements)
    shows = {check: shown for check, shown in fault.shows.items() if check in checks}
    if sets == fault.sets and len(shows) == len(fault.shows):
        return fault
    return fault.model_copy(update={"sets": sets, "shows": shows})


def _provable(repair: Repair, checks: Mapping[str, Check]) -> Repair:
    confirm = tuple(check for check in repair.confirm if check in checks)
    given = {
        check: tuple(one for one in before if one in checks)
        for check, before in repair.given.items()
        if check in checks
    }
    if confirm == repair.confirm and given == repair.given:
        return repair
    return repair.model_copy(update={"confirm": confirm, "given": given})


def _subjects(
    kb: KnowledgeBase, known: Configuration, unit: UnitKind, checks: Mapping[str, Check], worded: _Worded
) -> dict[str, Subject]:
    """Return the subjects that can be spoken of; one for some units only goes where no check is about it."""
    about = {name for check in checks.values() for name in (check.about, *check.also_about)}
    asked_all = {name for check in kb.checks.values() for name in (check.about, *check.also_about)}

    def stays(subject: Subject) -> bool:
        if not known.allows(subject, unit):
            return False
        if subject.only_with and subject.id not in about:
            return True  # nothing was told against it: who names it has one
        return subject.id in about or subject.id not in asked_all or not _fitted(kb, subject)

    left = {subject.id: worded.of(subject) for subject in kb.subjects.values() if stays(subject)}
    found: dict[str, Subject] = {}
    for name, subject in left.items():
        lists = {
            field: tuple(one for one in getattr(subject, field) if one in left)
            for field in ("one_of", "stands_for", "two_values", "whole_of")
        }
        changed = {field: kept for field, kept in lists.items() if kept != getattr(subject, field)}
        if changed and not all(changed.values()):
            continue  # a name for several of which none is left
        found[name] = subject.model_copy(update=changed) if changed else subject
    return found


def _fitted(kb: KnowledgeBase, subject: Subject) -> bool:
    """Return True for a part that only some units have: by itself, or as all its checks are for some units only."""
    if subject.only_with or subject.not_with:
        return True
    return all(
        check.only_with or check.not_with or not isinstance(check.measure, Sense)
        for check in kb.checks.values()
        if subject.id in (check.about, *check.also_about)
    )


def _hinted(complaint: Complaint, checks: Mapping[str, Check]) -> Complaint:
    hints = {check: outcomes for check, outcomes in complaint.hints.items() if check in checks}
    return complaint if len(hints) == len(complaint.hints) else complaint.model_copy(update={"hints": hints})


def _reasoning(kb: KnowledgeBase, unit: UnitKind, checks: Mapping[str, Check], elements: Collection[str]) -> Any:
    """Return the constants with the plate values that this unit's elements stand for."""
    scales = tuple(
        scale.model_copy(
            update={
                "base": unit.bases.get(scale.plate, scale.base),
                "checks": tuple(check for check in scale.checks if check in checks),
            }
        )
        for scale in kb.reasoning.plate_scales
        if unit.bases.get(scale.plate, scale.base) > 0
    )
    facts = {name: _fact(rule, elements) for name, rule in kb.reasoning.facts.items()}
    return kb.reasoning.model_copy(update={"plate_scales": scales, "facts": facts})


def _fact(rule: FactRule, elements: Collection[str]) -> FactRule:
    if isinstance(rule, HeatFact):
        return rule.model_copy(update={"opened": tuple(name for name in rule.opened if name in elements)})
    if isinstance(rule, ElementsFact):
        return rule.model_copy(update={"elements": tuple(name for name in rule.elements if name in elements)})
    return rule

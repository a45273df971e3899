"""Cross-references between knowledge files: every id used must be defined somewhere."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from difflib import get_close_matches
from pathlib import Path
from typing import TYPE_CHECKING

from .errors import YamlFileError
from .models.check import Sense
from .models.entry import PowerNeed
from .models.unit import UnitKind
from .models.visit import Phase
from .reader import Loc, line_in_entry
from .unit_parts import conditions, every_consequence, every_part
from .use import Use
from .uses import uses

if TYPE_CHECKING:
    from .base import KnowledgeBase

SECTIONS = {
    "source": "sources",
    "quantity": "quantities",
    "subject": "subjects",
    "state": "states",
    "intent": "intents",
    "complaint": "complaints",
    "check": "checks",
    "fault": "faults",
    "repair": "repairs",
    "step": "steps",
    "caution": "cautions",
    "stop": "stops",
    "limit": "limits",
    "table": "tables",
    "refrigerant": "refrigerants",
    "saturation": "saturation",
    "calculation": "calculations",
    "calculation_input": "calculation_inputs",
    "calculation_words": "calculation_words",
    "input_words": "input_words",
    "unit": "unit",
    "plate_item": "plate_items",
    "tool": "tools",
    "hazard": "hazards",
    "wait": "waits",
    "close_out": "close_out",
    "sentence": "sentences",
}
"""Kind of entry -> name of its list in the file. The lists of the knowledge base are named alike."""

MOTOR_FACTS = ("runs", "locked")
"""What the circuit says about every motor: ``fan.runs``."""


def unresolved(kb: KnowledgeBase) -> list[YamlFileError]:
    """Return one problem per id that is used but not defined, and per part that is part of itself.

    Each problem is ``path:line: field: message``.
    """
    known = definitions(kb)
    problems: dict[tuple[Path, int, str], YamlFileError] = {}
    for use in uses(kb):
        if use.value not in known.get(use.target, ()):
            problem = _problem(kb, use, known.get(use.target, ()))
            problems.setdefault((problem.path, problem.line or 0, problem.message), problem)
    for subject in _circular(kb):
        path, line = place_of(kb, "subject", subject, ("part_of",))
        circle = YamlFileError(f"part_of: {subject!r} is a part of itself", path, line)
        problems[path, line, circle.message] = circle
    return [problems[key] for key in sorted(problems)]


def definitions(kb: KnowledgeBase) -> dict[str, Collection[str]]:
    """Return what is defined, by kind of thing as in ``Use.target``."""
    known: dict[str, Collection[str]] = {kind.replace("_", " "): entries(kb, kind) for kind in SECTIONS}
    known["power need"] = tuple(PowerNeed)
    known["phase"] = tuple(Phase)
    known["set-up with a cost"] = kb.reasoning.costs.setup
    known["gate"] = kb.signatures.gates
    known["signature"] = kb.signatures.shifts
    known["computed fact"] = kb.reasoning.facts
    known["fact that a check or consequence asks for"] = set(_asked_facts(kb))
    for check in kb.checks.values():
        known[f"outcome of {check.id}"] = [answer.outcome for answer in check.answers]
    for repair in kb.repairs.values():
        known[f"confirming check of {repair.id}"] = list(repair.confirm)
    made = {f"{fact}.{value}" for fault in kb.faults.values() for fact, value in fault.facts.items()}
    for unit in kb.units.values():
        known.update(_unit_parts(unit, made))
    known["choice or kind of unit"] = conditions(kb)
    return known


def entries(kb: KnowledgeBase, kind: str) -> dict[str, object]:
    """Return the entries of one kind by id."""
    name = "units" if kind == "unit" else SECTIONS[kind]
    found: dict[str, object] = getattr(kb, name)
    return found


def place_of(kb: KnowledgeBase, kind: str, entry_id: str, loc: Loc = ()) -> tuple[Path, int]:
    """Return file and line of a field of an entry; kinds of a single entry (``reasoning``) have no id."""
    if entry_id:
        path = kb.files[f"{kind}:{entry_id}"]
        return path, line_in_entry(path, SECTIONS[kind], entry_id, loc)
    path = kb.files[kind]
    return path, line_in_entry(path, kind, "", loc)


def _unit_parts(unit: UnitKind, made: set[str]) -> Iterator[tuple[str, Collection[str]]]:
    motors = every_part(unit, "motor")
    for target in ("node", "element", "coil"):
        yield f"{target} of {unit.id}", every_part(unit, target)
    yield f"situation of {unit.id}", {situation.id for situation in unit.situations}
    yield f"motor of {unit.id}", motors
    moving = {f"{motor}.{word}" for motor in motors for word in MOTOR_FACTS}
    yield f"fact made by a fault or motor of {unit.id}", made | moving


def _asked_facts(kb: KnowledgeBase) -> Iterator[str]:
    for check in kb.checks.values():
        if isinstance(check.measure, Sense) and check.measure.fact:
            for answer in check.answers:
                yield f"{check.measure.fact}.{answer.outcome}"
    for unit in kb.units.values():
        for effect in every_consequence(unit):
            for word in effect.when:
                yield word.removeprefix("not ")


def _circular(kb: KnowledgeBase) -> Iterator[str]:
    for subject in kb.subjects.values():
        seen: set[str] = set()
        wider = subject.part_of
        while wider is not None and wider in kb.subjects and wider not in seen:
            if wider == subject.id:
                yield subject.id
                break
            seen.add(wider)
            wider = kb.subjects[wider].part_of


def _problem(kb: KnowledgeBase, use: Use, known: Collection[str]) -> YamlFileError:
    path, line = place_of(kb, use.kind, use.id, use.loc)
    field = ".".join(str(part) for part in (use.id, *use.loc) if part != "")
    near = get_close_matches(use.value, known, n=1)
    hint = f"; did you mean {near[0]!r}?" if near else ""
    return YamlFileError(f"{field}: no {use.target} {use.value!r}{hint}", path, line)

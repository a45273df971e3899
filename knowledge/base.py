"""The knowledge as one read-only object, indexed by id, with every reference resolved."""

from __future__ import annotations

import gc
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from hashlib import sha256
from pathlib import Path
from types import MappingProxyType
from typing import Any, TypeVar

from .errors import KnowledgeErrors, YamlFileError
from .models.calculation import (
    Asking,
    Calculation,
    CalculationFile,
    CalculationInput,
    CalculationWords,
    InputWords,
)
from .models.check import Check, CheckFile
from .models.electrical_tables import ElectricalTables, ElectricalTablesFile
from .models.entry import Entry, Fitted
from .models.fault import Complaint, ComplaintFile, Fault, FaultFile
from .models.generated import Generated, GeneratedFile
from .models.heat_stress import HeatStress, HeatStressFile
from .models.limit import Limit, LimitFile
from .models.quantity import Quantity, QuantityFile
from .models.reasoning import ReasoningFile, ReasoningSettings
from .models.refrigerant import Refrigerant, RefrigerantFile, Saturation, SaturationFile
from .models.repair import Repair, RepairFile
from .models.reply import ReplyFile, Sentence
from .models.safety import (
    Caution,
    CautionFile,
    PowerRules,
    PowerRulesFile,
    SafetyStep,
    SafetyStepFile,
    Stop,
    StopFile,
)
from .models.signature import SignatureFile, Signatures
from .models.source import Source, SourceFile
from .models.spoken import Spoken, SpokenFile
from .models.table import LookupTable, TableFile
from .models.unit import UnitFile, UnitKind
from .models.visit import CloseOutFile, CloseOutItem, Hazard, PhaseText, PlateItem, Tool, VisitFile, Wait
from .models.vocabulary import (
    Intent,
    IntentFile,
    NumberFile,
    NumberWords,
    ParticleFile,
    Particles,
    Respelling,
    RespellingFile,
    State,
    StateFile,
    Subject,
    SubjectFile,
)
from .points import TestPoints, WithPoints
from .reader import line_of, read_model
from .variants import Configuration

DATA = Path(__file__).parent / "data"

E = TypeVar("E", bound=Entry)
Index = Mapping[str, E]


@dataclass(frozen=True)
class KnowledgeBase:
    """Everything the trade knows that the assistant uses; look things up by id."""

    sources: Index[Source]
    quantities: Index[Quantity]
    subjects: Index[Subject]
    states: Index[State]
    intents: Index[Intent]
    particles: Particles
    number_words: NumberWords
    respellings: tuple[Respelling, ...]
    complaints: Index[Complaint]
    checks: Index[Check]
    faults: Index[Fault]
    repairs: Index[Repair]
    steps: Index[SafetyStep]
    cautions: Index[Caution]
    stops: Index[Stop]
    power_rules: PowerRules
    limits: Index[Limit]
    tables: Index[LookupTable]
    refrigerants: Index[Refrigerant]
    saturation: Index[Saturation]
    """Saturation tables by refrigerant id; a refrigerant that cannot be backed has none."""
    calculations: Index[Calculation]
    calculation_inputs: Index[CalculationInput]
    calculation_words: Index[CalculationWords]
    input_words: Index[InputWords]
    asking: Asking
    units: Index[UnitKind]
    phases: tuple[PhaseText, ...]
    plate_items: Index[PlateItem]
    tools: Index[Tool]
    hazards: Index[Hazard]
    waits: Index[Wait]
    close_out: Index[CloseOutItem]
    sentences: Index[Sentence]
    spoken: Spoken
    """What the recogniser is taught about notes and sounds."""
    reasoning: ReasoningSettings
    generated: Generated
    """Faults that are made of the parts and conductors of a unit."""
    electrical_tables: ElectricalTables
    heat_stress: HeatStress
    signatures: Signatures
    root: Path
    """Folder that all of it was read from."""
    version: str
    """First 12 hex digits of the hash over all files: two runs with the same version know the same."""
    files: Mapping[str, Path]
    """``kind:id`` -> the file that defines it, for messages; a single entry (``particles``) has no id."""
    configuration: Configuration | None = None
    """The unit that it was narrowed to, see ``narrowing.configured``; None = all that is known of any."""

    @cached_property
    def checks_about(self) -> Mapping[tuple[str, str | None], tuple[Check, ...]]:
        """Checks by (subject, quantity); quantity None for look, listen and ask checks."""
        table: dict[tuple[str, str | None], list[Check]] = {}
        for check in self.checks.values():
            for subject in (check.about, *check.also_about):
                table.setdefault((subject, check.quantity), []).append(check)
        return {key: tuple(found) for key, found in table.items()}

    def cautions_of_hazard(self, hazard: str) -> tuple[Caution, ...]:
        """Return the cautions that a hazard brings by itself, in the order of the data."""
        return tuple(caution for caution in self.cautions.values() if f"hazard:{hazard}" in caution.when)

    def is_usual(self, entry: Fitted) -> bool:
        """Return True for what the unit has, as told or as is usual; where no unit is told, for the first kind."""
        if not entry.only_with and not entry.not_with:
            return True
        known = self.configuration or Configuration(next(iter(self.units)))
        unit = self.units[known.kind]
        return known.as_usual(unit).allows(entry, unit)

    @cached_property
    def points(self) -> TestPoints:
        """The test points of the unit it was narrowed to, else of all."""
        if self.configuration is None:
            return TestPoints.of_any(self.units.values(), self.reasoning.points)
        return TestPoints.of(self.units[self.configuration.kind], self.reasoning.points)

    @cached_property
    def sensed_about(self) -> Mapping[str, tuple[Check, ...]]:
        """Look, listen and ask checks (those with named answers) by subject."""
        table: dict[str, list[Check]] = {}
        for check in self.checks.values():
            if check.answers:
                for subject in (check.about, *check.also_about):
                    table.setdefault(subject, []).append(check)
        return {subject: tuple(found) for subject, found in table.items()}


class _Folder:
    """Collects entries of one kind from many files and refuses an id that is used twice."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self.problems: list[YamlFileError] = []
        self.files: dict[str, Path] = {}
        self._models: dict[Path, Any] = {}

    def entries(self, pattern: str, model: type[Any], field: str, kind: str) -> Index[Any]:
        found: dict[str, Any] = {}
        for path in self.paths(pattern):
            value = self._read(path, model, field)
            for place, entry in enumerate(value if isinstance(value, tuple) else (value,) if value else ()):
                if entry.id in found:
                    first = self.files[f"{kind}:{entry.id}"]
                    line = line_of(path.read_text(encoding="utf-8-sig"), (field, place, "id"))
                    twice = YamlFileError(f"id: {entry.id!r} is already used in {first}", path, line)
                    self.problems.append(twice)
                    continue
                found[entry.id] = entry
                self.files[f"{kind}:{entry.id}"] = path
        return MappingProxyType(found)

    def one(self, name: str, model: type[Any], field: str) -> Any:
        self.files[field] = self.root / name
        return self._read(self.root / name, model, field)

    def paths(self, pattern: str) -> list[Path]:
        return sorted(self.root.glob(pattern))

    def _read(self, path: Path, model: type[Any], field: str) -> Any:
        """Return one field of a file; None where the file is wrong, which is noted once."""
        if path not in self._models:
            self._models[path] = None
            try:
                self._models[path] = read_model(path, model)
            except YamlFileError as err:
                self.problems.append(err)
            except KnowledgeErrors as err:
                self.problems.extend(err.problems)
        return getattr(self._models[path], field, None)


_MANY: Mapping[str, tuple[str, type[Any], str, str]] = {
    "sources": ("sources.yaml", SourceFile, "sources", "source"),
    "quantities": ("quantities.yaml", QuantityFile, "quantities", "quantity"),
    "subjects": ("phrases/subjects*.yaml", SubjectFile, "subjects", "subject"),
    "states": ("phrases/states*.yaml", StateFile, "states", "state"),
    "intents": ("phrases/intents*.yaml", IntentFile, "intents", "intent"),
    "complaints": ("phrases/complaints*.yaml", ComplaintFile, "complaints", "complaint"),
    "checks": ("checks/*.yaml", CheckFile, "checks", "check"),
    "faults": ("faults/*.yaml", FaultFile, "faults", "fault"),
    "repairs": ("repairs/*.yaml", RepairFile, "repairs", "repair"),
    "steps": ("safety/steps.yaml", SafetyStepFile, "steps", "step"),
    "cautions": ("safety/cautions.yaml", CautionFile, "cautions", "caution"),
    "stops": ("safety/stops.yaml", StopFile, "stops", "stop"),
    "limits": ("limits/*.yaml", LimitFile, "limits", "limit"),
    "tables": ("tables/*.yaml", TableFile, "tables", "table"),
    "refrigerants": ("refrigerants/refrigerants.yaml", RefrigerantFile, "refrigerants", "refrigerant"),
    "saturation": ("refrigerants/saturation.yaml", SaturationFile, "saturation", "saturation"),
    "calculations": ("calculations/*.yaml", CalculationFile, "calculations", "calculation"),
    "calculation_inputs": ("calculations/*.yaml", CalculationFile, "calculation_inputs", "calculation_input"),
    "calculation_words": ("calculations/*.yaml", CalculationFile, "calculation_words", "calculation_words"),
    "input_words": ("calculations/*.yaml", CalculationFile, "input_words", "input_words"),
    "units": ("units/*.yaml", UnitFile, "unit", "unit"),
    "close_out": ("visit/close_out.yaml", CloseOutFile, "close_out", "close_out"),
    "sentences": ("replies/en*.yaml", ReplyFile, "sentences", "sentence"),
    "plate_items": ("visit/visit.yaml", VisitFile, "plate_items", "plate_item"),
    "tools": ("visit/visit.yaml", VisitFile, "tools", "tool"),
    "hazards": ("visit/visit.yaml", VisitFile, "hazards", "hazard"),
    "waits": ("visit/visit.yaml", VisitFile, "waits", "wait"),
}
"""Field -> (files, their model, field of the model, kind of entry); an id may be used once in a kind."""
_ONE: Mapping[str, tuple[str, type[Any]]] = {
    "particles": ("phrases/particles.yaml", ParticleFile),
    "number_words": ("phrases/numbers.yaml", NumberFile),
    "respellings": ("phrases/respellings.yaml", RespellingFile),
    "power_rules": ("safety/power.yaml", PowerRulesFile),
    "asking": ("calculations/asking.yaml", CalculationFile),
    "spoken": ("speech/spoken.yaml", SpokenFile),
    "phases": ("visit/visit.yaml", VisitFile),
    "reasoning": ("reasoning/settings.yaml", ReasoningFile),
    "generated": ("reasoning/generated.yaml", GeneratedFile),
    "electrical_tables": ("electrical_tables.yaml", ElectricalTablesFile),
    "heat_stress": ("heat_stress.yaml", HeatStressFile),
    "signatures": ("reasoning/signatures.yaml", SignatureFile),
}
"""Field -> (file, its model); the model has a field of the same name."""


def read_knowledge(root: Path = DATA) -> KnowledgeBase:
    """Read every file below ``root`` and return the whole.

    Raises KnowledgeErrors with all problems of all files at once, each ``path:line: field: message``.
    A cross-reference that leads nowhere fails here too (``references``); the rest is for ``knowledge.lint``.
    """
    folder = _Folder(root)
    all_paths = folder.paths("**/*.yaml")
    if not all_paths:
        raise YamlFileError("no knowledge files here; if the folder is the package's own, reinstall", root)

    known: dict[str, Any] = {field: folder.entries(*where) for field, where in _MANY.items()}
    known |= {field: folder.one(name, model, field) for field, (name, model) in _ONE.items()}
    if folder.problems:
        raise KnowledgeErrors(folder.problems)
    kb = KnowledgeBase(
        **known,
        root=root,
        version=_version(all_paths),
        files=MappingProxyType(folder.files),
    )
    from .references import unresolved  # imported late: it needs this module's KnowledgeBase

    problems = unresolved(kb)
    if problems:
        raise KnowledgeErrors(problems)
    return replace(
        kb,
        subjects=WithPoints(kb.subjects, kb.points, Subject),
        checks=WithPoints(kb.checks, kb.points, Check),
    )


@lru_cache(maxsize=1)
def load() -> KnowledgeBase:
    """Return the knowledge shipped with the package, read once per process."""
    collecting = gc.isenabled()
    gc.disable()  # all that is made here stays: looking through it for garbage costs a fifth of the time
    try:
        return read_knowledge()
    finally:
        if collecting:
            gc.enable()


def _version(paths: Iterable[Path]) -> str:
    digest = sha256()
    for path in paths:
        digest.update(path.name.encode())
        digest.update(path.read_bytes())
    return digest.hexdigest()[:12]

"""One calculation from start to end."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from math import ceil, floor, isfinite
from types import MappingProxyType
from typing import Any

from assistant.physics.errors import NoValidTest, OutsideValidity, PhysicsError
from assistant.physics.grid import Grid
from assistant.physics.uncertainty import carried_errors, combined_error
from assistant.reasoning.height import height_shift
from assistant.reasoning.limits import LimitResult, Verdict, figure, limit_for
from assistant.reasoning.limits.printed import grid
from assistant.reasoning.limits.results import span
from assistant.reasoning.limits.verdicts import outcome_of, verdict_of
from knowledge.base import KnowledgeBase
from knowledge.models.calculation import Calculation, CalculationInput
from knowledge.models.entry import Signal
from knowledge.models.refrigerant import Refrigerant
from knowledge.models.safety import Caution
from knowledge.models.signature import Device

from . import rules_air as _air  # noqa: F401  # their rules enter RULES on import
from . import rules_electrical as _electrical  # noqa: F401
from . import rules_heat as _heat  # noqa: F401
from . import rules_refrigerant as _refrigerant  # noqa: F401
from .gather import Gathered, Known, gather
from .refrigerants import saturation_table
from .results import Calculated, Missing, Refused, Result, Standing
from .rules import RULES, SLIP, Answer, Given

NOTHING: Known = MappingProxyType({})

HEIGHT = "height"
DEVICE_OF: Mapping[str, Device] = MappingProxyType({"fixed_orifice": "orifice", "expansion_valve": "txv"})
"""Choice of the metering device as the signatures call it."""
_STANDING = {
    "inside": Standing.INSIDE,
    "watch": Standing.INSIDE,
    "low": Standing.LOW,
    "high": Standing.HIGH,
    "far_high": Standing.HIGH,
    "edge": Standing.TOO_CLOSE,
    "outside": Standing.TOO_CLOSE,
}


def calculate(kb: KnowledgeBase, calculation_id: str, known: Known, plate: Known = NOTHING) -> Result:
    """Return the result of a calculation, the questions it needs answered, or why it is refused.

    ``known``: by input id, numbers in the quantity's canonical unit, ``Amount`` in another unit, the words of the
    plate for a refrigerant, one of the choices for a choice. ``plate``: the same by plate item. Values that are
    None are not known. Raises KeyError for an id that the knowledge does not have.
    """
    calculation = kb.calculations[calculation_id]
    gathered = gather(
        kb,
        calculation,
        {name: value for name, value in known.items() if value is not None},
        {name: value for name, value in plate.items() if value is not None},
    )
    if isinstance(gathered, Missing | Refused):
        return gathered
    return _Run(kb, calculation, gathered, plate).result()


def cautions_of(kb: KnowledgeBase, named: Iterable[str], refrigerant: Refrigerant | None) -> tuple[Caution, ...]:
    """Return the cautions of a calculation and of the refrigerant in the unit, the gravest first."""
    kind, wanted = f"refrigerant:{refrigerant.id}" if refrigerant else "", set(named)
    found = (c for c in kb.cautions.values() if c.id in wanted or (kind and kind in c.when))
    return tuple(sorted(found, key=lambda caution: list(Signal).index(caution.signal)))


class _Run:
    """One calculation with its inputs complete."""

    def __init__(self, kb: KnowledgeBase, calculation: Calculation, gathered: Gathered, plate: Known) -> None:
        self.kb, self.calculation, self.gathered = kb, calculation, gathered
        self.plate = {name: value for name, value in plate.items() if isinstance(value, float | int)}
        self.plate |= {
            u.input.plate: u.value
            for u in gathered.used
            if u.input.plate and isinstance(u.value, float) and not u.assumed
        }
        self.refrigerant: Refrigerant | None = gathered.refrigerant
        self.saturation = saturation_table(kb, self.refrigerant) if self.refrigerant else None
        self.printed: Grid | None = grid(kb.tables[calculation.table]) if calculation.table else None
        self.limit_id = calculation.limit or calculation.limit_by.get(gathered.choice(calculation.limit_by) or "")

    def result(self) -> Calculated | Refused:
        """Value, errors, limit and verdict."""
        numbers, errors = self.gathered.numbers, self._errors()
        try:
            answer = self._answer(numbers)
            error = self._total(lambda values: self._answer(values).value, numbers, errors)
            limit = self._limit(numbers, answer)
            if self.calculation.limit and limit is not None and limit.problem:
                return self._refused(limit.problem)  # the comparison is the point of it
            judged = limit is not None and not (limit.low is None and limit.high is None)
            against = self._total(self._distance, numbers, errors) if judged else 0.0
        except NoValidTest as err:
            return self._refused(str(err), instead="")
        except PhysicsError as err:
            return self._refused(str(err))
        return self._calculated(answer, error, limit if judged else None, against, limit)

    def _refused(self, problem: str, instead: str | None = None) -> Refused:
        instead = self._instead() if instead is None else instead
        return Refused(self.calculation.id, self.calculation.name, f"{problem.rstrip('.')}.", instead)

    def _calculated(
        self, answer: Answer, error: float, limit: LimitResult | None, against: float, asked: LimitResult | None
    ) -> Calculated:
        calculation, step = self.calculation, self.calculation.step
        unit = self.kb.quantities[calculation.quantity].unit
        low, high = floor((answer.value - error) / step) * step, ceil((answer.value + error) / step) * step
        shown = figure(_to(answer.value, step), unit)
        standing, verdict = Standing.OPEN, None
        if limit is not None:
            limit = replace(limit, meter_abs=against, meter_pct=0.0)
            outcome = outcome_of(limit, answer.value)
            standing, verdict = _STANDING[outcome], self._worded(limit, outcome, shown)
        return Calculated(
            id=calculation.id,
            name=calculation.name,
            quantity=calculation.quantity,
            value=answer.value,
            unit=unit,
            error=error,
            low=low,
            high=high,
            shown_value=f"{shown} ({span(low, high, unit)})" if error else shown,
            standing=standing,
            verdict=verdict,
            limit=limit,
            against_error=against,
            used=self.gathered.used,
            steps=answer.steps,
            shown=calculation.shown,
            validity=calculation.validity,
            sources=self._sources(),
            cautions=self._cautions(),
            notes=self._notes(asked),
            to_judge=self._to_judge(asked),
        )

    def _worded(self, limit: LimitResult, outcome: str, shown: str) -> Verdict:
        """The verdict, its window without false decimals."""
        step = self.calculation.step
        rough = replace(
            limit,
            low=None if limit.low is None else _to(limit.low, step),
            high=None if limit.high is None else _to(limit.high, step),
        )
        verdict = verdict_of(rough, outcome, shown)
        return Verdict(verdict.word, verdict.ok, _capital(verdict.sentence.removeprefix(f"{shown}: ")))

    def _answer(self, numbers: Mapping[str, float]) -> Answer:
        maximum = self.refrigerant.discharge_max_f if self.refrigerant else None
        shipped = self.kb.saturation.get(self.refrigerant.id) if self.refrigerant else None
        exponent = shipped.compression_exponent if shipped is not None else None
        answer = RULES[self.calculation.formula](
            Given(
                numbers,
                self.saturation,
                maximum,
                exponent,
                self.printed,
                tables=self.kb.electrical_tables,
                constants=self.calculation.constants,
                target=self.kb.signatures.target,
            )
        )
        if not isfinite(answer.value):
            raise OutsideValidity("an input is out of any range: the result is no number")
        return answer

    def _limit(self, numbers: Mapping[str, float], answer: Answer) -> LimitResult | None:
        if self.limit_id is None:
            return None
        given = {name: value for name, value in numbers.items() if not name.startswith(SLIP)}
        return limit_for(self.kb, self.limit_id, self.plate, given={**given, **answer.for_limit})

    def _distance(self, numbers: Mapping[str, float]) -> float:
        """Result less the middle of its window: what the errors move when they move both."""
        answer = self._answer(numbers)
        limit = self._limit(numbers, answer)
        if limit is None or limit.problem:
            raise OutsideValidity(limit.problem if limit else "no limit")
        bounds = [bound for bound in (limit.low, limit.high) if bound is not None]
        return answer.value - sum(bounds) / len(bounds) + numbers.get(SLIP + HEIGHT, 0.0)

    def _height_error(self) -> float:
        """What a sound unit may be off its target at this height, in the unit of the result."""
        feature, elevation = self.calculation.at_height, self.gathered.numbers.get("elevation", 0.0)
        if feature is None or elevation <= 0:
            return 0.0
        chosen = DEVICE_OF.get(self.gathered.choice(DEVICE_OF) or "")
        devices = (chosen,) if chosen else tuple(DEVICE_OF.values())
        return max(abs(height_shift(self.kb, feature, elevation, device)) for device in devices)

    def _errors(self) -> dict[str, float]:
        slips = dict(self.calculation.errors)
        if self.refrigerant is not None and self.refrigerant.error_f:
            slips["saturation"] = self.refrigerant.error_f
        if height := self._height_error():
            slips[HEIGHT] = height
        return self.gathered.errors | {SLIP + name: error for name, error in slips.items()}

    @staticmethod
    def _total(function: Any, numbers: Mapping[str, float], errors: Mapping[str, float]) -> float:
        slips = dict.fromkeys((name for name in errors if name.startswith(SLIP)), 0.0)
        return combined_error(*carried_errors(function, {**numbers, **slips}, errors).values())

    def _sources(self) -> tuple[str, ...]:
        """Without those of the saturation tables where the temperature was read off a chart."""
        if not self.calculation.saturated or not any("refrigerant" in u.input.instead_of for u in self.gathered.used):
            return self.calculation.sources
        tables = {source for refrigerant in self.kb.refrigerants.values() for source in refrigerant.sources}
        return tuple(source for source in self.calculation.sources if source not in tables)

    def _cautions(self) -> tuple[Caution, ...]:
        return cautions_of(self.kb, self.calculation.cautions, self.refrigerant)

    def _notes(self, asked: LimitResult | None) -> tuple[str, ...]:
        assumed = [
            f"{u.input.name} {figure(float(u.value), self.kb.quantities[u.input.quantity or ''].unit)}"
            for u in self.gathered.used
            if u.assumed and self._matters(u.input.id)
        ]
        notes = [f"Assumed: {', '.join(assumed).rstrip('.')}."] if assumed else []
        if asked is not None and round(self._height_error() / self.calculation.step):
            notes.append(self._height_note())
        if self.calculation.note and (asked is not None or not (self.calculation.limit or self.calculation.limit_by)):
            notes.append(self.calculation.note)
        if asked is not None and asked.problem:
            notes.append(f"No verdict: {asked.problem}")
        if self.refrigerant is not None and self.refrigerant.note:
            notes.append(self.refrigerant.note)
        return tuple(notes)

    def _height_note(self) -> str:
        unit = self.kb.quantities[self.calculation.quantity].unit
        there = figure(self.gathered.numbers["elevation"], self.kb.quantities["elevation"].unit)
        off = figure(_to(self._height_error(), self.calculation.step), unit)
        return f"At {there} the thin air alone moves it by up to {off}, against sea level: no verdict inside that."

    def _matters(self, name: str) -> bool:
        """Whether another value of an assumed input would give another result."""
        numbers = self.gathered.numbers
        other = numbers[name] * 1.1 + 1 if numbers[name] < 1 else numbers[name] * 1.1
        return self._answer({**numbers, name: other}).value != self._answer(numbers).value

    def _to_judge(self, asked: LimitResult | None) -> tuple[CalculationInput, ...]:
        """The optional inputs that would give a verdict where there is none."""
        if asked is not None and (asked.low is not None or asked.high is not None or asked.problem):
            return ()
        given, inputs = self.gathered.numbers, self.kb.calculation_inputs
        if self.limit_id is None:
            return tuple(
                inputs[name]
                for name in self.calculation.may
                if set(inputs[name].choices) & set(self.calculation.limit_by)
            )
        printed = self.kb.limits[self.limit_id].table
        wanted = (self.kb.tables[printed].row, self.kb.tables[printed].column) if printed else ()
        return tuple(inputs[name] for name in wanted if name in inputs and name not in given)

    def _instead(self) -> str:
        typed = [
            one
            for one in (self.kb.calculation_inputs[name] for name in self.calculation.may)
            if "refrigerant" in one.instead_of
        ]
        return f"Measure again. {typed[0].ask}" if typed and self.saturation else "Measure again."


def _to(value: float, step: float) -> float:
    return round(value / step) * step


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]

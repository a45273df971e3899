"""Everything the diagnosis needs, worked out once per unit kind: predictions, spreads, repairs, planning outcomes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from hashlib import sha256
from pathlib import Path

import numpy as np

from knowledge.base import KnowledgeBase
from knowledge.models.check import Check, Gauge, Microfarad, Ohms, Residual, Sense
from knowledge.models.unit import UnitKind
from knowledge.narrowing import configured
from knowledge.points import WithPoints
from knowledge.variants import Configuration

from .circuit import Bools, Floats, Ints, Wiring
from .events import EventList, event_list
from .gauges.shifts import ShiftTable, amps_factor, shift_table
from .hypotheses import Row, enumerate_rows, priors_of, same_circuits
from .outcomes import Outcomes, plan_outcomes
from .predict import predict, shown
from .predictions import Predictions, decoded, load, save
from .scale import Scales
from .spread import Spread, spreads, weak_extra, widened

CODE_VERSION = 3
"""Raise it when the predictions change for the same knowledge: old cache files are then passed over."""

HEALTHY, UNKNOWN = 0, 1
"""Row numbers of the two hypotheses without a known fault."""


@dataclass(frozen=True, eq=False)
class Tables:
    """Compiled knowledge about one unit kind. H hypotheses, C meter checks."""

    kb: KnowledgeBase
    unit: UnitKind
    wiring: Wiring
    rows: tuple[Row, ...]
    prior: Floats
    meters: tuple[Check, ...]
    scales: Scales
    predictions: Predictions
    spread: tuple[Spread, Spread]
    """Settled and active, without what an unknown plate value adds."""
    weight: Floats
    """(H, C) probability that a meter check meets the unit settled."""
    look_weight: Floats
    """(H,) probability that a look meets the unit settled."""
    leak: Bools
    """(H, C) a path where a good unit has none: any resistance is possible."""
    events: EventList
    shifts: ShiftTable
    """What every hypothesis does to gauges and thermometers."""

    @cached_property
    def column(self) -> dict[str, int]:
        """Meter check -> column."""
        return {check.id: k for k, check in enumerate(self.meters)}

    @cached_property
    def checks(self) -> Mapping[str, Check]:
        """Checks of this unit kind by id; those of any two test points are found, not listed."""
        senses = {name: self.kb.checks[name] for name in self.predictions.senses}
        residuals = {check.id: check for check in self.shifts.checks}
        return WithPoints({check.id: check for check in self.meters} | senses | residuals, self.kb.points, Check)

    def measures(self, check: str) -> bool:
        """Return True for a meter check, curated or between any two test points."""
        return check in self.column or check in self.kb.points.solved

    def holding(self, check: str) -> Tables:
        """Return the tables whose columns hold a meter check: these, or for two test points some of one column.

        Raises KeyError where it is neither.
        """
        if check in self.column:
            return self
        if check not in self._of_points:
            self._of_points[check] = self._of_one_pair(check)
        return self._of_points[check]

    @cached_property
    def _of_points(self) -> dict[str, Tables]:
        return {}

    def _of_one_pair(self, check: str) -> Tables:
        k, meters, found = self.kb.points.solved[check], (self.checks[check],), self.predictions
        predictions = replace(
            found,
            settled=found.settled_points[:, [k]].astype(float),
            active=found.active_points[:, [k]].astype(float),
            settled_source=decoded(found.settled_points_source[:, [k]]),
            active_source=decoded(found.active_points_source[:, [k]]),
        )
        scales = Scales.of(meters, self.kb.reasoning.errors)
        spread = _spreads(self.kb, self.rows, meters, scales, predictions)
        leak = np.zeros((len(self.rows), 1), bool)
        weight = self.look_weight[:, None]
        return replace(
            self, meters=meters, scales=scales, predictions=predictions, spread=spread, weight=weight, leak=leak
        )

    @cached_property
    def singles(self) -> Bools:
        """(H,) rows with at most one known fault."""
        return np.array([len(row.faults) <= 1 and not row.unknown for row in self.rows])

    @cached_property
    def rare(self) -> Bools:
        """(H,) rows of a fault that is made of an element: it blurs no outcome of what is written."""
        return np.array([any(self.kb.faults[name].rare for name in row.faults) for row in self.rows])

    @cached_property
    def cold(self) -> Bools:
        """(H,) rows that leave the air of the unit as cold as it should be, the healthy one among them."""
        faults = self.kb.faults
        return np.array([not r.unknown and all(faults[name].air_stays_cold for name in r.faults) for r in self.rows])

    @cached_property
    def pairs(self) -> Bools:
        """(H,) rows with two faults."""
        return np.array([len(row.faults) == 2 for row in self.rows])

    @cached_property
    def fault_ids(self) -> tuple[str, ...]:
        return tuple(self.kb.faults)

    @cached_property
    def has_fault(self) -> Floats:
        """(F, H) 1 where the row holds the fault."""
        position = {name: f for f, name in enumerate(self.fault_ids)}
        out = np.zeros((len(position), len(self.rows)))
        for h, row in enumerate(self.rows):
            for name in row.faults:
                out[position[name], h] = 1.0
        return out

    @cached_property
    def alone(self) -> dict[str, Bools]:
        """Fault -> (H,) its single-fault rows."""
        one = np.array([len(row.faults) == 1 for row in self.rows])
        return {name: one & (self.has_fault[f] > 0) for f, name in enumerate(self.fault_ids)}

    @cached_property
    def elsewhere(self) -> dict[str, Bools]:
        """Repair -> (H,) single-fault rows that need another repair."""
        one = np.array([len(row.faults) == 1 for row in self.rows])
        return {name: one & (self.needs_repair[r] == 0) for r, name in enumerate(self.repair_ids)}

    @cached_property
    def repair_ids(self) -> tuple[str, ...]:
        return tuple(self.kb.repairs)

    @cached_property
    def needs_repair(self) -> Floats:
        """(R, H) 1 where the row needs the repair."""
        out = np.zeros((len(self.repair_ids), len(self.rows)))
        for f, name in enumerate(self.fault_ids):
            r = self.repair_ids.index(self.kb.faults[name].repair)
            out[r] = np.maximum(out[r], self.has_fault[f])
        return out

    @cached_property
    def classes(self) -> Floats:
        """(R + 2, H) share of each row in what is needed: each repair, nothing, something unknown; columns sum to 1."""
        needed = self.needs_repair / np.maximum(self.needs_repair.sum(axis=0), 1.0)
        last = np.zeros((2, len(self.rows)))
        last[0, HEALTHY] = last[1, UNKNOWN] = 1.0
        return np.concatenate([needed, last])

    @cached_property
    def row_of(self) -> dict[tuple[str, ...], int]:
        """Faults -> row of their usual form (severity 1, fuse first, met settled)."""
        found: dict[tuple[str, ...], int] = {}
        for h, row in enumerate(self.rows):
            usual = row.severity == 1.0 and not row.breaker_first and not row.active and not row.unknown
            if usual and row.faults not in found:
                found[row.faults] = h
        return found

    @cached_property
    def outcomes(self) -> Outcomes:
        """Probabilities of what each check may show, for planning."""
        return plan_outcomes(self)

    def seen(self, check: str) -> Floats:
        """Return (H, outcomes) probabilities of a sense check before human error."""
        settled, active = self.predictions.senses[check]
        weight = self.look_weight[:, None]
        return weight * settled + (1.0 - weight) * active

    @cached_property
    def group(self) -> Ints:
        """(H,) number of the row's moments: rows that differ only in being met settled or active share it."""
        keys: dict[tuple[object, ...], int] = {}
        out = [keys.setdefault((r.faults, r.severity, r.breaker_first, r.unknown), len(keys)) for r in self.rows]
        return np.array(out, dtype=np.intp)

    @cached_property
    def moment_share(self) -> Floats:
        """(H,) prior share of a row within its group."""
        total = np.bincount(self.group, weights=self.prior)
        out: Floats = self.prior / total[self.group]
        return out

    @cached_property
    def kind(self) -> Ints:
        """(H,) number of the row's set of faults: rows that differ in degree, protection or moment share it."""
        numbers: dict[tuple[object, ...], int] = {}
        found = [numbers.setdefault((row.faults, row.unknown), len(numbers)) for row in self.rows]
        return np.array(found, dtype=np.intp)

    @cached_property
    def kind_share(self) -> Floats:
        """(H,) prior share of a row within its kind."""
        total = np.bincount(self.kind, weights=self.prior)
        out: Floats = self.prior / total[self.kind]
        return out

    def needing(self, repair: str) -> Floats:
        """Return (H,) 1 where a hypothesis needs the repair; ValueError where no fault does."""
        out: Floats = self.needs_repair[self.repair_ids.index(repair)]
        return out

    def kinds_after(self, repair: str) -> tuple[Ints, Ints]:
        """Return (H,) each row's kind, and the kind that is left of it after a repair."""
        if repair not in self._kinds_after:
            known = {row.faults: int(k) for row, k in zip(self.rows, self.kind, strict=True) if not row.unknown}
            left = [
                known[tuple(name for name in row.faults if self.kb.faults[name].repair != repair)]
                if row.faults else int(k)
                for row, k in zip(self.rows, self.kind, strict=True)
            ]  # fmt: skip
            self._kinds_after[repair] = np.array(left, dtype=np.intp)
        return self.kind, self._kinds_after[repair]

    @cached_property
    def _kinds_after(self) -> dict[str, Ints]:
        return {}

    def consequences(self, row: int) -> tuple[str, ...]:
        """Return what follows from a hypothesis as sentences, in order of time, slow and fast."""
        odd = self.predictions.events[row] & ~self.predictions.events[HEALTHY]
        return tuple(self.events.texts[e] for e in np.flatnonzero(odd))


def compile_tables(kb: KnowledgeBase, unit_kind: str, cache_dir: Path | None = None) -> Tables:
    """Return the tables of a unit kind, as ``kb`` is configured, else as it is most often built.

    With ``cache_dir`` the slow part is kept there between runs.

    Raises KeyError with the known kinds where ``unit_kind`` is not one. The cache is safe to delete; a damaged or
    unwritable one is passed over.
    """
    if kb.configuration is None or kb.configuration.kind != unit_kind:
        kb = configured(kb, Configuration(unit_kind))
    unit = kb.units[unit_kind]
    wiring = Wiring(unit, kb.reasoning.physics)
    rows = enumerate_rows(kb.faults, wiring, kb.reasoning.priors, kb.signatures.degrees)
    checks = tuple(check for check in kb.checks.values() if not isinstance(check.measure, Gauge | Residual))
    events = event_list(kb, wiring)
    path = cache_dir / f"tables-{_key(kb, unit_kind)}.npz" if cache_dir else None
    predictions = load(path, len(rows)) if path else None
    if predictions is None:
        own, shared = same_circuits(rows, kb.faults)
        solved = predict(kb, wiring, [rows[r] for r in own], checks, events)
        predictions = shown(kb, solved.rows(shared), rows, checks)
        if path:
            save(path, predictions)
    return _assemble(kb, wiring, rows, checks, predictions, events)


def _assemble(
    kb: KnowledgeBase, wiring: Wiring, base: Sequence[Row], checks: Sequence[Check],
    found: Predictions, events: EventList,
) -> Tables:  # fmt: skip
    """Give every hypothesis with slow consequences a row for each moment it may be met in, and set the spreads."""
    rows, pick = moments(base, found)
    predictions = _loaded(kb, found.rows(pick), rows, checks)
    meters = tuple(check for check in checks if not isinstance(check.measure, Sense))
    errors, flip = kb.reasoning.errors, kb.reasoning.timing.flip
    look = np.where(predictions.live < 1.0, 1.0 - flip, 1.0)
    look = np.where([row.active for row in rows], flip, look)
    still = np.array([isinstance(check.measure, Ohms | Microfarad) for check in meters])
    weight = np.where(still[None, :], predictions.dead[:, None], look[:, None])
    scales = Scales.of(meters, errors)
    leak = np.isnan(predictions.settled[HEALTHY])[None, :] & np.isfinite(predictions.settled)
    return Tables(
        kb, wiring.unit, wiring, tuple(rows), priors_of(rows), meters, scales, predictions,
        _spreads(kb, rows, meters, scales, predictions), weight, look, leak, events, shift_table(kb, rows),
    )  # fmt: skip


def _spreads(
    kb: KnowledgeBase, rows: Sequence[Row], meters: Sequence[Check], scales: Scales, predictions: Predictions
) -> tuple[Spread, Spread]:
    """Return how far readings of the settled and of the active unit may lie from their predictions."""
    errors = kb.reasoning.errors
    healthy = np.nan_to_num(predictions.settled[HEALTHY])
    reach = np.nanmax(np.nan_to_num(predictions.settled), axis=0)
    weak = weak_extra(rows, meters, kb.faults, errors)
    settled, active = (
        widened(spreads(mean, source, healthy, reach, scales, errors, meters), weak)
        for mean, source in (
            (predictions.settled, predictions.settled_source),
            (predictions.active, predictions.active_source),
        )
    )
    return settled, active


def _loaded(kb: KnowledgeBase, found: Predictions, rows: Sequence[Row], checks: Sequence[Check]) -> Predictions:
    """Return predictions with the amps of the running compressor raised or lowered by what its refrigerant does."""
    meters = [check.id for check in checks if not isinstance(check.measure, Sense)]
    columns = [meters.index(name) for name in kb.signatures.amps_checks if name in meters]
    factor = amps_factor(kb, rows)[:, None]
    settled, active = found.settled.copy(), found.active.copy()
    settled[:, columns] *= factor
    active[:, columns] *= factor
    return replace(found, settled=settled, active=active)


def moments(base: Sequence[Row], found: Predictions) -> tuple[list[Row], Ints]:
    """Return the rows with settled and active ones parted where they differ, and the base row of each."""
    rows: list[Row] = []
    pick: list[int] = []
    for h, row in enumerate(base):
        live = float(found.live[h])
        rows.append(replace(row, prior=row.prior * live))
        pick.append(h)
        if live < 1.0:
            rows.append(replace(row, prior=row.prior * (1.0 - live), active=True))
            pick.append(h)
    return rows, np.array(pick, dtype=np.intp)


def _key(kb: KnowledgeBase, unit_kind: str) -> str:
    text = f"{kb.version}:{CODE_VERSION}:{unit_kind}:{np.__version__}"
    return sha256(text.encode()).hexdigest()[:16]

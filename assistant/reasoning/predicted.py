"""What a hypothesis predicts for a check, in the words a technician reads."""

from __future__ import annotations

import numpy as np

from knowledge.models.check import Sense

from .case import Case
from .evidence import Evidence
from .readout import amount, outcome_name
from .results import Expected
from .tables import HEALTHY, Tables

MET = 0.2
"""An outcome counts as predicted from this probability."""
TOLD_APART = 20
"""Among this many leading suspects one is sought that the check would show."""


def row_name(tables: Tables, row: int) -> str:
    """Return what a hypothesis is called."""
    joiner = f" {tables.kb.reasoning.sentences['and']} "
    return joiner.join(tables.kb.faults[name].name for name in tables.rows[row].faults)


def shown_value(case: Case, check: str, row: int, near: float | None = None) -> float | None:
    """Return the predicted reading, None = over limit; with ``near`` the closer of settled and active."""
    if not case.tables.measures(check):
        return case.tables.shifts.expected(check, row, case.device)
    value = _met(case, check, row, near)[0]
    return None if np.isnan(value) else value


def _met(case: Case, check: str, row: int, near: float | None = None) -> tuple[float, float]:
    """Return the predicted reading and its source impedance in ohm, of the moment that fits."""
    tables = case.tables.holding(check)
    k, p = tables.column[check], tables.predictions
    settled, active = (float(values[row]) for values in case.likelihood.expected(check))
    both = (settled, float(p.settled_source[row, k])), (active, float(p.active_source[row, k]))
    if near is not None and not np.isnan(active) and not np.isnan(settled):
        return min(both, key=lambda pair: abs(pair[0] - near))
    return both[0] if tables.weight[row, k] >= 0.5 else both[1]


def shown(case: Case, check: str, row: int) -> str:
    """Return what a check most probably shows under a hypothesis."""
    entry = case.tables.checks[check]
    if isinstance(entry.measure, Sense):
        best = int(np.argmax(case.tables.seen(check)[row]))
        return outcome_name(entry, entry.answers[best].outcome)
    return _reading(case, check, row, None)


def shown_near(case: Case, evidence: Evidence, row: int) -> str:
    """Return what a hypothesis predicts, in the form (settled or active) that comes closest to what was met."""
    check = case.tables.checks[evidence.check]
    if isinstance(check.measure, Sense):
        share = case.tables.seen(check.id)[row]
        names = [answer.outcome for answer in check.answers]
        met = [name for name in evidence.outcomes if name in names and share[names.index(name)] >= MET]
        return outcome_name(check, met[0]) if met else shown(case, check.id, row)
    if evidence.over_limit:
        both = [float(values[row]) for values in case.likelihood.expected(check.id)]
        if any(np.isnan(both)):
            return amount(case.tables.kb, check, None)
    return _reading(case, check.id, row, evidence.value)


def _reading(case: Case, check: str, row: int, near: float | None) -> str:
    tables = case.tables
    if not tables.measures(check):
        return amount(tables.kb, tables.checks[check], tables.shifts.expected(check, row, case.device))
    value, source = _met(case, check, row, near)
    if source > tables.kb.reasoning.errors.ghost_ohm:
        return tables.kb.reasoning.sentences["floating"]
    held = tables.holding(check)
    if held.leak[row, held.column[check]]:
        return tables.kb.reasoning.sentences["a_leak"]
    return amount(tables.kb, tables.checks[check], value)


def expected(case: Case, check: str) -> Expected:
    """Return what a check should show on a good unit and under the likeliest single fault that shows in it."""
    single = [h for h, row in enumerate(case.tables.rows) if len(row.faults) == 1 and not row.unknown]
    ranked = sorted(single, key=lambda h: -case.probability[h])[:TOLD_APART]
    good = shown(case, check, HEALTHY)
    row = next((h for h in ranked if shown(case, check, h) != good), ranked[0])
    look = check in case.tables.predictions.senses
    healthy, fault = (None if look else shown_value(case, check, r) for r in (HEALTHY, row))
    names = shown(case, check, HEALTHY), shown(case, check, row), row_name(case.tables, row)
    return Expected(check, *names, healthy, fault)

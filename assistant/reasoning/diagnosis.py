"""The diagnosis of one visit: who is suspected, what to do next, and why. Pure: the same history, the same answer."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import replace

import numpy as np

from knowledge.models.check import Check
from knowledge.models.entry import PowerNeed

from . import explain
from .case import Case
from .choice import Standing
from .conflict import conflicts
from .decide import Decider, Options
from .evidence import Evidence, History, Repaired, Unwell
from .gauges.steps import first_step
from .predicted import expected
from .results import CannotTell, CheckNext, Decision, Expected, NoFault, Propose, Suspect
from .tables import UNKNOWN, Tables

__all__ = [
    "CannotTell",
    "CheckNext",
    "Decision",
    "Diagnosis",
    "Evidence",
    "Expected",
    "History",
    "NoFault",
    "Propose",
    "Repaired",
    "Suspect",
    "Unwell",
]


class Diagnosis:
    """What follows from a history of evidence and repairs.

    ``history``: evidence and repairs in order. A reading that was taken twice is trusted more and not asked for
    again, so pass every repetition of a check (the last one counts), or only the last one with its ``times``.
    ``plate``: plate values by item id, canonical units; ``words``: plate items that are text (``refrigerant``).
    ``unwell``: since the last repair a proof of performance came out bad, and bad again when it was repeated,
    whatever the readings say.
    """

    def __init__(
        self, tables: Tables, history: History,
        *, complaints: Sequence[str] = (), plate: Mapping[str, float] | None = None,
        words: Mapping[str, str] | None = None, unwell: Unwell = Unwell.NO,
    ) -> None:  # fmt: skip
        self.tables = tables
        self.case = Case.of(tables, history, complaints, plate or {}, words, unwell=unwell)

    def suspects(self, n: int = 5) -> tuple[Suspect, ...]:
        """Return the ``n`` likeliest root faults; a pair only where no single fault explains the findings."""
        deciding = self.tables.kb.reasoning.deciding
        chances = self.case.fault_probability
        found: list[Suspect] = []
        pair = self._leading_pair(deciding.pair_leads)
        if pair:
            row = self.tables.row_of[pair]
            found.append(self._suspect(pair, float(self.case.probability[row])))
        singles = [f for f in sorted(chances, key=lambda name: -chances[name]) if not pair or f not in pair]
        found += [self._suspect((fault,), chances[fault]) for fault in singles[:n]]
        return tuple(found[:n])

    def suspects_among(self, faults: Collection[str], n: int) -> tuple[Suspect, ...]:
        """Return the ``n`` likeliest of some faults, likeliest first."""
        chances = self.case.fault_probability
        known = sorted((one for one in faults if one in chances), key=lambda name: -chances[name])
        return tuple(self._suspect((fault,), chances[fault]) for fault in known[:n])

    def _leading_pair(self, leads: float) -> tuple[str, ...] | None:
        best = int(np.argmax(self.case.probability))
        faults = self.tables.rows[best].faults
        if len(faults) < 2:
            return None
        alone = max(p for row, p in zip(self.tables.rows, self.case.probability, strict=True) if len(row.faults) == 1)
        return faults if self.case.probability[best] >= leads * alone else None

    def _suspect(self, faults: tuple[str, ...], probability: float) -> Suspect:
        kb = self.tables.kb
        joiner = f" {kb.reasoning.sentences['and']} "
        name = joiner.join(kb.faults[fault].name for fault in faults)
        word = explain.rank_word(self.tables, probability)
        return Suspect(faults, name, probability, word, self._follows(faults), kb.faults[faults[0]].repair)

    def _follows(self, faults: tuple[str, ...]) -> tuple[str, ...]:
        if len(faults) == 1:
            return explain.chain(self.case, faults)
        return self.tables.consequences(self.tables.row_of[faults])

    def decide(
        self, *, allowed: Callable[[Check], bool], skipped: Collection[str] = (), tools_missing: Collection[str] = (),
        power: PowerNeed = PowerNeed.ANY, setup: str | None = None,
    ) -> Decision:  # fmt: skip
        """Return the next check, a repair, or why there is neither.

        ``allowed`` bars checks (stops); ``power`` and ``setup``: where the technician stands now.
        """
        options = Options(allowed, skipped, tools_missing, Standing(power, setup))
        step = Decider(self.case, options).decide()
        return self._as_asked(step) if isinstance(step, CheckNext) else step

    def _as_asked(self, step: CheckNext) -> CheckNext:
        """Return a step with what is worked out of gauge readings replaced by what is asked for it first."""
        first = [
            first_step(self.tables.kb, replace(step, check=name), self.case.gauges, self.case.latest, self.case.device)
            for name in (step.check, *step.alternatives)
        ]
        others = dict.fromkeys(one.check for one in first[1:] if one.check != first[0].check)
        return replace(first[0], alternatives=tuple(others))

    def explain(self, repair: str) -> tuple[str, ...]:
        """Return the reasons for a repair as sentences."""
        return explain.explain(self.case, repair)

    def why_not(self, fault: str) -> tuple[str, ...]:
        """Return the readings that speak against a fault."""
        return explain.why_not(self.case, fault)

    def contradictions(self) -> tuple[str, ...]:
        """Return sentences naming two readings that cannot both be right, and which to take again."""
        return tuple(explain.said(self.case, conflict) for conflict in conflicts(self.case))

    def exclusions(self) -> tuple[str, ...]:
        """Return what is ruled out and by what."""
        return explain.exclusions(self.case)

    def expected(self, check: str) -> Expected:
        """Return what a check should show on a good unit and under the leading fault."""
        return expected(self.case, check)

    @property
    def unknown(self) -> float:
        """Probability that the fault is none of the known ones."""
        return float(self.case.probability[UNKNOWN])

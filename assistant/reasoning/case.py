"""One visit as the reasoning sees it: tables, history, plate, and the belief they make."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from .belief import Belief, form_belief
from .circuit import Floats
from .evidence import Evidence, History, Repaired
from .likelihood import Fit, Likelihood, likelihood_for
from .tables import Tables


@dataclass(frozen=True, eq=False)
class Case:
    """Immutable; everything else is worked out from these five."""

    tables: Tables
    history: tuple[Evidence | Repaired, ...]
    complaints: tuple[str, ...]
    plate: Mapping[str, float]
    unwell: bool = False

    @classmethod
    def of(
        cls, tables: Tables, history: History, complaints: Sequence[str], plate: Mapping[str, float],
        *, unwell: bool = False,
    ) -> Case:  # fmt: skip
        """Return the case of one visit."""
        return cls(tables, tuple(history), tuple(complaints), dict(plate), unwell)

    @cached_property
    def likelihood(self) -> Likelihood:
        return likelihood_for(self.tables, tuple(sorted(self.plate.items())))

    @cached_property
    def belief(self) -> Belief:
        return form_belief(self.tables, self.likelihood, self.history, self.complaints, unwell=self.unwell)

    @property
    def probability(self) -> Floats:
        """(H,) posterior."""
        return self.belief.probability

    @property
    def fits(self) -> tuple[tuple[Evidence, Fit], ...]:
        """Evidence since the last repair with its likelihoods."""
        return self.belief.fits

    @property
    def repairs_done(self) -> frozenset[str]:
        """Repairs of this visit."""
        return frozenset(item.repair for item in self.history if isinstance(item, Repaired))

    @cached_property
    def answered(self) -> dict[str, Evidence]:
        """Checks answered since the last repair."""
        return {e.check: e for e, _ in self.fits}

    @property
    def settled(self) -> frozenset[str]:
        """Checks that need not be taken again since the last repair."""
        return self.belief.current.settled

    @cached_property
    def fault_probability(self) -> dict[str, float]:
        """Fault -> probability that it is there, alone or with another."""
        values = self.tables.has_fault @ self.probability
        return {name: float(p) for name, p in zip(self.tables.fault_ids, values, strict=True)}

    @cached_property
    def repair_probability(self) -> dict[str, float]:
        """Repair -> probability that it is needed."""
        values = self.tables.needs_repair @ self.probability
        return {name: float(p) for name, p in zip(self.tables.repair_ids, values, strict=True)}

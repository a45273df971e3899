"""One visit as the reasoning sees it: tables, history, plate, and the belief they make."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from knowledge.models.check import Sense
from knowledge.models.signature import Device

from .belief import Belief, form_belief, normalised
from .choice import information
from .circuit import Floats
from .evidence import Evidence, History, Repaired, Unwell
from .gauges.derive import Derived, derived_evidence
from .likelihood import Fit, Likelihood, likelihood_for
from .tables import UNKNOWN, Tables


@dataclass(frozen=True, eq=False)
class Case:
    """Immutable; everything else is worked out from what it is made of."""

    tables: Tables
    history: tuple[Evidence | Repaired, ...]
    complaints: tuple[str, ...]
    plate: Mapping[str, float]
    unwell: Unwell = Unwell.NO
    device: Device | None = None
    """Metering device, where it was looked at."""
    gauges: tuple[Derived, ...] = ()
    """How each residual of the current readings stands."""
    latest: Mapping[str, Evidence] = field(default_factory=dict)
    """Everything answered since the last repair, gauge readings as they were read."""

    @classmethod
    def of(
        cls, tables: Tables, history: History, complaints: Sequence[str], plate: Mapping[str, float],
        words: Mapping[str, str] | None = None, *, unwell: Unwell = Unwell.NO,
    ) -> Case:  # fmt: skip
        """Return the case of one visit; gauge readings in the history become what they add up to."""
        whole, gauges, latest, device = derived_evidence(tables.kb, history, plate, words or {})
        return cls(tables, whole, tuple(complaints), dict(plate), unwell, device, gauges, latest)

    @cached_property
    def likelihood(self) -> Likelihood:
        return likelihood_for(self.tables, tuple(sorted(self.plate.items())), self.device)

    @cached_property
    def belief(self) -> Belief:
        return form_belief(self.tables, self.likelihood, self.history, self.complaints, unwell=self.unwell)

    @property
    def probability(self) -> Floats:
        """(H,) posterior."""
        return self.belief.probability

    @cached_property
    def bits(self) -> dict[str, float]:
        """Check -> expected bits about which repair is needed; the same for every choice made in this case.

        Among the known faults alone: that a check might show something unknown does not make it worth asking.
        """
        return information(self.tables, self.known)

    @cached_property
    def known(self) -> Floats:
        """(H,) posterior if the fault is one of the known ones."""
        out = self.probability.copy()
        out[UNKNOWN] = 0.0
        return normalised(out) if out.any() else self.probability

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

    @cached_property
    def half_said(self) -> frozenset[str]:
        """Looks answered once in words that leave several outcomes: not turning may hum or be silent."""
        return frozenset(name for name, e in self.answered.items() if len(e.outcomes) > 1) - self.settled

    def doubt(self, fit: Fit) -> float:
        """Return the probability that a piece of evidence is an error."""
        return float(self.known @ fit.error)

    def is_look(self, check: str) -> bool:
        """Return True for what is looked at, listened to or asked, not measured."""
        return isinstance(self.tables.checks[check].measure, Sense)

    @property
    def settled(self) -> frozenset[str]:
        """Checks that need not be taken again since the last repair."""
        return self.belief.current.settled

    @property
    def exhausted(self) -> frozenset[str]:
        """Checks taken so often since the last repair that they are not asked for again."""
        return self.belief.current.exhausted

    @property
    def disputed(self) -> frozenset[str]:
        """Checks whose takes since the last repair disagree, none of them backed."""
        return self.belief.current.disputed

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

"""Which reading to take again before a repair is proposed: what it hangs on, where that is worth the minutes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from knowledge.models.check import Residual
from knowledge.models.reasoning import Deciding
from knowledge.models.repair import Repair

from .belief import updated
from .case import Case
from .choice import repair_minutes
from .confirming import Confirmation, as_good
from .evidence import Evidence, segments
from .likelihood import Fit


@dataclass(frozen=True)
class Retaking:
    """Judges the readings behind one repair."""

    case: Case
    possible: Callable[[str], bool]
    """May this check be asked now?"""
    minutes: Callable[[str], float]
    restarted_for: Callable[[str], bool]
    """Is the unit started for this check?"""

    def due(self, repair: Repair, state: Confirmation) -> str | None:
        """Return the check to take again before ``repair``; None where nothing is worth it."""
        return (
            self._contested(state) or self._look_twice(repair, state) or self._pivotal(repair, state)
            or self._doubtful(repair, state)
        )  # fmt: skip

    @property
    def _rules(self) -> Deciding:
        return self.case.tables.kb.reasoning.deciding

    def _contested(self, state: Confirmation) -> str | None:
        """What carries a repair is settled first where it was said otherwise before, or fits nothing well by itself."""
        alone = len(state.confirmed) == 1
        doubt = {evidence.check: self.case.doubt(fit) for evidence, fit in self.case.fits if alone}
        for name in (evidence.check for evidence in state.confirmed):
            odd = doubt.get(name, 0.0) >= self._rules.third_from and not self.case.tables.checks[name].plain
            if (name in self.case.disputed or (odd and name not in self.case.settled)) and self.possible(name):
                return name
        return None

    def _cost(self, repair: Repair) -> float:
        return repair_minutes(repair, self.case.tables.kb.reasoning.costs)

    def _look_twice(self, repair: Repair, state: Confirmation) -> str | None:
        """A look is easily misjudged: the one that carries a repair is taken again, unless mending is as quick."""
        checks, settled = self.case.tables.checks, self.case.settled
        if self._cost(repair) < self._rules.look_twice_from_minutes:
            return None
        if any(e.check in settled or not self.case.is_look(e.check) for e in state.confirmed):
            return None
        for evidence in state.confirmed:
            if checks[evidence.check].plain:
                continue
            if (
                evidence.check in self.case.answered
                and self.possible(evidence.check)
                and self._hangs(repair, evidence, self._rules.pivotal_below)
            ):
                return evidence.check
        return None

    def _hangs(self, repair: Repair, evidence: Evidence, below: float) -> bool:
        """Return True where a repair would be less likely than ``below``, and clearly less, without one reading."""
        needed = self.case.tables.needing(repair.id)
        without = updated(self.case.belief.start, (fit for one, fit in self.case.fits if one is not evidence))
        left = float(needed @ without)
        return left < below and float(needed @ self.case.probability) - left >= self._rules.pivotal_fall

    def _pivotal(self, repair: Repair, state: Confirmation) -> str | None:
        """Take again what a repair hangs on.

        The dearest must not fall below their floor without any one reading, looks too. Of the others a reading before a
        dear repair, and anything that costs less to take again than the repair would waste on average if it misled,
        but for what was shown on the part itself twice over, or is plain to see there and mended as quickly.
        """
        dearest = repair.price in self._rules.second_opinion_prices
        dear = dearest or repair.minutes >= self._rules.pivotal_minutes or repair.price in self._rules.pivotal_prices
        below = repair.floor if dearest else self._rules.pivotal_below
        able = [(e, fit) for e, fit in self.case.fits if e.check not in self.case.settled and self.possible(e.check)]
        for evidence, _ in able:
            owed = dear and not self.case.is_look(evidence.check)
            if (dearest or owed) and self._hangs(repair, evidence, below):
                return evidence.check
        cost = self._cost(repair) * self._rules.in_vain
        twice = len(state.confirmed) > 1
        worth = {
            e.check: cost * self._misleads(repair, fit) / self.minutes(e.check) for e, fit in able
            if not (e.check in repair.confirm and (twice or self._as_quickly_mended(repair, e.check)))
        }  # fmt: skip
        name = max(worth, key=worth.__getitem__, default=None)
        return name if name is not None and worth[name] >= 1.0 else None

    def _as_quickly_mended(self, repair: Repair, check: str) -> bool:
        """Return True for what is plain to see and set right in no more time than looking again takes."""
        return self.case.tables.checks[check].plain and self._cost(repair) < self._rules.look_twice_from_minutes

    def _misleads(self, repair: Repair, fit: Fit) -> float:
        """Return how much of the chance that a repair is not needed comes from evidence being an error.

        What would be an error as likely where the repair is needed misleads nobody about it.
        """
        needed = self.case.tables.needing(repair.id)
        there, not_there = self.case.known * needed, self.case.known * (1.0 - needed)
        mean = float(there @ fit.error) / float(there.sum())
        return float(not_there @ (fit.error - mean))

    def _doubtful(self, repair: Repair, state: Confirmation) -> str | None:
        """Take again what confirms a repair where that costs less than what a wrong one would waste on average.

        A part fitted in vain costs more than its minutes; what is mended in no time does not. A look that agrees with
        itself is taken a third time only where that is much cheaper, as a sound unit may look so too.
        """
        cost = self._cost(repair)
        name = state.confirmed[0].check
        quick = cost < self._rules.look_twice_from_minutes
        if len(state.confirmed) > 1 or self._as_quickly_mended(repair, name):
            return None  # shown twice over, or plain to see
        wrong = 1.0 - self.case.repair_probability[repair.id]
        if self.case.is_look(name):
            wrong = max(wrong, self.case.tables.kb.reasoning.errors.sense)
        waste = cost * wrong * (1.0 if quick else self._rules.in_vain)
        if not self._may_be_taken_again(name) or waste < self._price_of_another(name):
            return None
        now = self.case.answered.get(name)
        return name if now is None or self._hangs(repair, now, repair.floor) else None

    def _may_be_taken_again(self, name: str) -> bool:
        if name in self.case.exhausted or self.restarted_for(name) or not self.possible(name):
            return False
        how = self.case.tables.checks[name].measure
        if isinstance(how, Residual):
            return False
        if name not in self.case.answered:  # seen before another repair, by one take alone
            return not any(name in part.settled for part in segments(self.case.history))
        if name in self.case.settled and not self.case.is_look(name):
            return False
        takes = [evidence for evidence, _ in self.case.belief.current.takes[name]]
        return len(takes) == 1 or any(as_good(self.case, evidence) for evidence in takes)

    def _price_of_another(self, name: str) -> float:
        return self.minutes(name) * (self._rules.third_look if name in self.case.settled else 1.0)

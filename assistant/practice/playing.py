"""The unit's answer to a check, in the words and items of a note."""

from __future__ import annotations

from dataclasses import dataclass, field

from assistant.dialogue.numbers import amount
from assistant.dialogue.quantities import System
from assistant.dialogue.sentences import Said, sentence
from assistant.language.models import Heard, Kind
from assistant.reasoning.diagnosis import Evidence
from knowledge import KnowledgeBase
from knowledge.models.check import Check, Gauge

from .field_unit import FieldUnit
from .recorded_gauges import RecordedGauges


@dataclass
class Player:
    """Speaks for the unit.

    What was seen once is seen again until something is repaired, time has passed or the program asks for it anew.
    """

    kb: KnowledgeBase
    unit: FieldUnit
    units: System
    seen: dict[str, Evidence] = field(default_factory=dict)

    def found(self, check: Check) -> Evidence:
        """Return what the check shows now."""
        if check.id not in self.seen:
            self.seen[check.id] = self._found(check)
        return self.seen[check.id]

    def found_again(self, check: Check) -> Evidence:
        """Return what the check shows when the program wants it taken once more: a slip is hardly made twice."""
        self.seen.pop(check.id, None)
        return self.found(check)

    def changed(self) -> None:
        """Something was done to the unit: it is looked at afresh."""
        self.seen.clear()

    def told(self, check: Check, found: Evidence) -> Said:
        """Return the answer in words."""
        if found.value is None and not found.over_limit:
            names = [answer.name for answer in check.answers if answer.outcome in found.outcomes]
            return sentence(self.kb, "practice_see", name=check.name, value=" or ".join(names))
        value = amount(
            self.kb, check.quantity or "", found.value, over_limit=found.over_limit, system=self.units
        )  # fmt: skip
        return sentence(self.kb, "practice_measure", name=check.name, value=value)

    def item(self, check: Check, found: Evidence, said: str) -> Heard:
        """Return the answer as the item of a note that reports it."""
        if check.quantity is not None and (found.value is not None or found.over_limit):
            return Heard(
                Kind.READING, said, 0, len(said), about=check.about, quantity=check.quantity, value=found.value,
                unit=self.kb.quantities[check.quantity].unit, over_limit=found.over_limit,
            )  # fmt: skip
        return Heard(Kind.FINDING, said, 0, len(said), about=check.about, state=self._state(check, found.outcomes))

    def _state(self, check: Check, outcomes: tuple[str, ...]) -> str:
        """Return a word that means this outcome and no other of the check."""
        meant = [state for answer in check.answers if answer.outcome in outcomes for state in answer.states]
        others = {state for answer in check.answers if answer.outcome not in outcomes for state in answer.states}
        return next((state for state in meant if state not in others), meant[0])

    def _found(self, check: Check) -> Evidence:
        runs = self.unit.moves("compressor")
        gauges = self.unit.gauges
        if not isinstance(check.measure, Gauge) or not check.energised or runs:
            return self.unit.answer(check)
        if not isinstance(gauges, RecordedGauges):
            return self.unit.answer(check)
        return Evidence(check.id, self._at_rest(check, gauges))

    def _at_rest(self, check: Check, gauges: RecordedGauges) -> float:
        """Return what a gauge shows at a standstill: pressures equal, lines and air as warm as the place."""
        faults = self.unit.gauge_faults()
        if check.quantity == "pressure":
            return gauges.standing(faults)
        if check.quantity == "temperature_difference":
            return 0.0
        return gauges.read("t_return" if check.id == "t_supply" else "t_outdoor", faults)

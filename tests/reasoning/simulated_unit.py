"""The practice unit with a refrigerant side solved on the spot, in a house that stays as it is found."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property

from assistant.practice.drawn_unit import drawn_unit, drawn_ways
from assistant.practice.field_unit import FieldUnit as RecordedUnit
from assistant.reasoning.diagnosis import Evidence
from knowledge.models.check import Check, Sense
from tests.cycle.field_gauges import FieldGauges

__all__ = ["FieldUnit", "drawn_unit", "drawn_ways"]

BREAKER_KIND = "look_breaker_kind"


@dataclass
class FieldUnit(RecordedUnit):
    """The truth of a closed-loop visit.

    Beside sound units too a fan switch is on ON now and then, or a house is warmed more than usual. Asked again it is
    still so; setting it right is not in vain, as it was wrong, though it was not what the customer called for.
    """

    house: dict[str, str] = field(init=False)
    """Look -> what it finds, of what is set or built in the house whatever is wrong with the unit."""

    def __post_init__(self) -> None:
        super().__post_init__()
        self.house = {}
        for name in (*self._outside, BREAKER_KIND):
            if not any(name in self.kb.faults[fault].shows for fault in self.row.faults):
                shares = self._normally(name)
                self.house[name] = str(self.rng.choice(list(shares), p=list(shares.values())))

    def _draw_gauges(self) -> FieldGauges:
        return FieldGauges(self.kb, self.rng)

    @cached_property
    def _outside(self) -> dict[str, str]:
        """Look -> the repair that sets it right, of what lies outside the unit."""
        faults = [fault for fault in self.kb.faults.values() if fault.air_stays_cold and not fault.noticed_as]
        return {check: fault.repair for fault in faults for check in fault.shows}

    def _normally(self, check: str) -> dict[str, float]:
        how = self.kb.checks[check].measure
        assert isinstance(how, Sense)
        return dict(how.normally)

    def repair(self, repair: str) -> bool:
        """Do a repair; return whether what it sets right was wrong."""
        changed = False
        for name in (check for check, does in self._outside.items() if does == repair):
            shares = self._normally(name)
            good = max(shares, key=shares.__getitem__)
            changed |= self.house.get(name, good) != good
            self.house[name] = good
        return super().repair(repair) or changed

    def _look(self, check: Check) -> Evidence:
        found = super()._look(check)
        stays = check.id in self.house and self.rng.random() >= self.misjudged
        return Evidence(check.id, outcomes=(self.house[check.id],)) if stays else found

"""The practice unit with a refrigerant side solved on the spot, by the cycle model with constants of its own."""

from __future__ import annotations

from dataclasses import dataclass

from assistant.practice.drawn_unit import drawn_unit, drawn_ways
from assistant.practice.field_unit import FieldUnit as RecordedUnit
from tests.cycle.field_gauges import FieldGauges

__all__ = ["FieldUnit", "drawn_unit", "drawn_ways"]


@dataclass
class FieldUnit(RecordedUnit):
    """The truth of a closed-loop visit."""

    def _draw_gauges(self) -> FieldGauges:
        return FieldGauges(self.kb, self.rng)

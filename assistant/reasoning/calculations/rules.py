"""What a rule gets and gives, and where rules are registered by name."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from assistant.physics.atmosphere import atmosphere_psia
from assistant.physics.grid import Grid
from assistant.physics.refrigerant import SaturationTable
from knowledge.models.electrical_tables import ElectricalTables
from knowledge.models.signature import Target

from .results import Step


@dataclass(frozen=True, slots=True)
class Given:
    """Inputs of a rule, complete and inside their conditions. Numbers in canonical units."""

    numbers: Mapping[str, float]
    saturation: SaturationTable | None = None
    discharge_max_f: float | None = None
    """Of the refrigerant; None where only the maker's value counts."""
    compression_exponent: float | None = None
    """m of T2 = T1 (p2 / p1)^m; None where there is no saturation table."""
    grid: Grid | None = None
    tables: ElectricalTables | None = None
    constants: Mapping[str, float] = field(default_factory=dict)
    """Of the calculation, unit in the name."""
    target: Target | None = None
    """What a sound unit shows, typical values."""

    def __getitem__(self, name: str) -> float:
        return self.numbers[name]

    def has(self, name: str) -> bool:
        """Whether this number is known."""
        return name in self.numbers

    def slip(self, name: str) -> float:
        """The momentary error of something that is no instrument; 0 but while errors are carried through."""
        return self.numbers.get(SLIP + name, 0.0)

    @property
    def atmosphere_psia(self) -> float:
        """Atmosphere at the place, in psia."""
        return atmosphere_psia(self.numbers.get("elevation", 0.0))

    @property
    def table(self) -> SaturationTable:
        """The saturation table; the calculation is refused before this where there is none."""
        if self.saturation is None:
            raise KeyError("no saturation table")
        return self.saturation

    @property
    def electrical(self) -> ElectricalTables:
        """Numbers of the electrical code."""
        if self.tables is None:
            raise KeyError("no tables of the electrical code")
        return self.tables

    @property
    def typical(self) -> Target:
        """Typical values of a sound unit."""
        if self.target is None:
            raise KeyError("no typical values")
        return self.target

    @property
    def printed(self) -> Grid:
        """The printed table that the calculation names."""
        if self.grid is None:
            raise KeyError("the calculation names no printed table")
        return self.grid


SLIP = "slip_"


@dataclass(frozen=True, slots=True)
class Answer:
    value: float
    steps: tuple[Step, ...] = ()
    for_limit: Mapping[str, float] = field(default_factory=dict)
    """Inputs of the limit's formula that are results here; all numbers given go there too."""


Rule = Callable[[Given], Answer]

RULES: dict[str, Rule] = {}


def rule(function: Rule) -> Rule:
    """Register a rule under its own name."""
    RULES[function.__name__] = function
    return function

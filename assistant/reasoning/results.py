"""What the diagnosis answers: suspects, the next check, a repair, or why there is none."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias


@dataclass(frozen=True, slots=True)
class Suspect:
    """A root fault, or two that only together explain what was found."""

    faults: tuple[str, ...]
    name: str
    probability: float
    word: str
    consequences: tuple[str, ...]
    repair: str


@dataclass(frozen=True, slots=True)
class CheckNext:
    """The check to do now."""

    check: str
    bits: float
    minutes: float
    because: str
    retake: bool = False
    alternatives: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Propose:
    """A repair whose fault is sure enough and was confirmed on the part itself."""

    repair: str
    faults: tuple[str, ...]
    probability: float
    evidence: tuple[str, ...]
    consequences: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CannotTell:
    """Nothing that can be checked tells more."""

    excluded: tuple[str, ...]
    remaining: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class NoFault:
    """The unit runs as it should."""

    because: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Expected:
    """What a check should show, as text with units, and as numbers where it is a reading (None = over limit)."""

    check: str
    healthy: str
    fault: str
    fault_name: str
    healthy_value: float | None = None
    fault_value: float | None = None


Decision: TypeAlias = CheckNext | Propose | CannotTell | NoFault

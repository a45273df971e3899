"""What a calculation hands back: a result, a question, or a refusal that says what to do instead."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from assistant.reasoning.limits import LimitResult, Verdict
from knowledge.models.calculation import CalculationInput
from knowledge.models.safety import Caution


class Standing(StrEnum):
    """How a result stands to what it should be."""

    LOW = "low"
    INSIDE = "inside"
    HIGH = "high"
    TOO_CLOSE = "too close to call"
    OPEN = "nothing to compare with"


@dataclass(frozen=True, slots=True)
class Used:
    """One input as it was used."""

    input: CalculationInput
    value: float | str
    """Number in the quantity's canonical unit, name of the refrigerant, or the choice."""
    unit: str
    assumed: bool = False
    error: float = 0.0
    """Largest error it was taken to have, in its unit."""


@dataclass(frozen=True, slots=True)
class Step:
    """A value on the way: saturation temperature, target."""

    name: str
    value: float
    unit: str
    difference: bool = False
    """True for a difference of temperatures."""


@dataclass(frozen=True, slots=True)
class Calculated:
    id: str
    name: str
    quantity: str
    value: float
    """In the quantity's canonical unit, unrounded."""
    unit: str
    error: float
    """What all errors together make of it: the result is value plus and minus this."""
    low: float
    high: float
    """The same as a band, rounded outwards to what the result means."""
    shown_value: str
    """``12 °F (10 to 15 °F)``"""
    standing: Standing
    verdict: Verdict | None
    """With its sentence; None where there is nothing to compare with."""
    limit: LimitResult | None
    against_error: float
    """Error of the distance to the limit: no verdict closer to a bound than this. 0 where there is no limit."""
    used: tuple[Used, ...]
    steps: tuple[Step, ...]
    shown: str
    validity: str
    sources: tuple[str, ...]
    cautions: tuple[Caution, ...]
    notes: tuple[str, ...] = ()
    """What was assumed, and what would give a verdict."""
    to_judge: tuple[CalculationInput, ...] = ()
    """Inputs that would give a verdict; ask for them only if one is wanted."""

    @property
    def sentence(self) -> str:
        """The answer as a sentence or two: result with its band, then the verdict."""
        head = f"{self.name[0].upper()}{self.name[1:]} {self.shown_value}"
        if self.verdict is None:
            return " ".join((f"{head}.", *self.notes))
        return " ".join((f"{head}: {self.verdict.sentence}", *self.notes))


@dataclass(frozen=True, slots=True)
class Missing:
    """What must be asked; the first is the next question."""

    id: str
    name: str
    inputs: tuple[CalculationInput, ...]

    @property
    def ask(self) -> str:
        """The next question."""
        return self.inputs[0].ask

    @property
    def spoken(self) -> str:
        """The same for the ear."""
        return self.inputs[0].spoken


@dataclass(frozen=True, slots=True)
class Refused:
    """Why there is no result, with the range, and what can be done instead."""

    id: str
    name: str
    problem: str
    instead: str
    about: str | None = None
    """The input at fault, where it is one."""

    @property
    def sentence(self) -> str:
        """Problem and remedy."""
        return f"{self.problem[:1].upper()}{self.problem[1:]} {self.instead}".strip()


Result = Calculated | Missing | Refused

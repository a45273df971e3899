"""Calculations that a technician can ask for: inputs, formula, what the result should be, cautions."""

from __future__ import annotations

from enum import StrEnum

from pydantic import Field

from .entry import Closed, Entry, Id, Text


class InputKind(StrEnum):
    NUMBER = "number"
    REFRIGERANT = "refrigerant"
    CHOICE = "choice"


class CalculationInput(Entry):
    """One thing that calculations need, and how to ask for it."""

    name: Text
    kind: InputKind = InputKind.NUMBER
    quantity: Id | None = None
    """Quantity of a number; values are in its canonical unit."""
    ask: Text
    spoken: Text
    plate: Id | None = None
    """Plate item that gives it."""
    assumed: float | None = None
    """Used, and said to be, while it is not given."""
    instead_of: tuple[Id, ...] = ()
    """Other inputs that are not needed when this one is given."""
    choices: tuple[Id, ...] = ()
    error_abs: float = 0.0
    """Largest error of the usual instrument, in the canonical unit."""
    error_pct: float = 0.0
    """The same in percent of reading, added to ``error_abs``."""
    source: Id


class Condition(Closed):
    """What must hold for the calculation to mean something; anything else is refused."""

    span: tuple[float, float] | None = None
    """From, to, in the canonical unit of the input."""
    is_: Id | None = Field(default=None, alias="is")
    """The only choice that will do."""
    otherwise: Text
    """What to do instead."""


class Calculation(Entry):
    name: Text
    quantity: Id
    """Quantity of the result."""
    formula: Id
    """Name of a registered rule in ``assistant.reasoning.calculations``."""
    needs: tuple[Id, ...] = Field(min_length=1)
    """Inputs in the order in which they are asked for."""
    may: tuple[Id, ...] = ()
    """Inputs that sharpen or replace; never asked for."""
    conditions: dict[Id, Condition] = Field(default_factory=dict)
    """By input."""
    constants: dict[str, float] = Field(default_factory=dict)
    """Numbers with unit suffix in the key."""
    saturated: bool = False
    """True where the refrigerant's saturation table is needed."""
    table: Id | None = None
    """Printed table that the formula reads."""
    errors: dict[Id, float] = Field(default_factory=dict)
    """Errors that come from no instrument, by name, in the unit of the result: of a printed table, of a method."""
    limit: Id | None = None
    """Limit that the result is held against."""
    limit_by: dict[Id, Id] = Field(default_factory=dict)
    """The same where it depends on a choice: choice -> limit."""
    step: float
    """The result means nothing finer than this, in its unit."""
    shown: Text
    validity: Text
    note: str = ""
    """Said with every verdict."""
    cautions: tuple[Id, ...] = ()
    sources: tuple[Id, ...] = Field(min_length=1)


class CalculationFile(Closed):
    calculation_inputs: tuple[CalculationInput, ...] = ()
    calculations: tuple[Calculation, ...] = ()

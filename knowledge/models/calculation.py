"""Calculations that a technician can ask for: inputs, formula, what the result should be, cautions."""

from __future__ import annotations

from enum import StrEnum

from pydantic import Field

from .entry import Closed, Entry, Id, Text
from .signature import Feature


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
    """Errors that come from no instrument, by name: of a printed table, of a method, of a typical value. In the unit
    of what they are added to."""
    at_height: Feature | None = None
    """Feature of the signatures: what the height of the place shifts on a sound unit is an error of its target."""
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


class ToldDifference(Closed):
    """A statement of two readings that is itself a reading: what the one is above the other."""

    about: Id
    """Subject of that reading."""
    more: Id
    less: Id
    """Inputs; the reading is ``more`` - ``less``, in the quantity of the calculation."""


class CalculationWords(Entry):
    """How a calculation is asked for; its id is the calculation's."""

    words: tuple[str, ...] = ()
    """Names that make a question beside a number, or as the whole note."""
    asked: tuple[str, ...] = ()
    """Names that are also those of a reading: only in a question."""
    should: tuple[str, ...] = ()
    """Names in a question for what something should be."""
    judged: tuple[str, ...] = ()
    """Names only where a verdict is asked for behind them: rla 14.5 drawing 13, is that ok."""
    beside: tuple[str, ...] = ()
    """Names that count only beside a refrigerant and a number."""
    told: tuple[str, ...] = ()
    """Names in a statement that gives every input by name or unit: airflow 240 volts, 40 amps, 30 degree rise."""
    told_with: tuple[Id, ...] = ()
    """Inputs that make such a statement a question by themselves; what else it needs is asked for."""
    told_as: ToldDifference | None = None
    """What such a statement is a reading of; None where it is worked out and nothing else."""
    nameless: bool = False
    """True where refrigerant and number alone ask for it: what's 118 psi on 410a."""
    own: Id | None = None
    """Input that a number right at the name stands for."""
    governed_by: Id | None = None
    """Plate item that rules over the result, where the plate has it."""
    bare: bool = True
    """False where the name alone is what a technician may just report."""


class InputWords(Entry):
    """What an input is called; its id is the input's."""

    words: tuple[str, ...] = ()
    """Most telling first: one that several inputs share belongs to the one that has it earlier."""
    choices: dict[str, tuple[str, ...]] = Field(default_factory=dict)
    """Words of each choice."""
    readings: tuple[Id, ...] = ()
    """Subjects whose fresh reading in the visit gives it."""
    looks: dict[Id, dict[Id, str]] = Field(default_factory=dict)
    """Check -> its outcome -> the choice that it says, at whatever power."""
    any_power: bool = False
    """A reading from before the last change of power counts too."""


class AskingUnit(Closed):
    """A unit word that means this quantity only in a calculation."""

    quantity: Id
    symbol: Text
    written: tuple[str, ...]


class Marked(Closed):
    """Plate items by which a part is named: a 35 on 370."""

    sections: tuple[Id, ...] = Field(min_length=1)
    volts: Id
    offered: tuple[str, ...] = ()
    """Words that put such a part on the truck, or ask whether it may be used: it is not in the unit."""
    offered_known: tuple[str, ...] = ()
    """Words that do so only of a part told by two sections or its volts, once the print of the failed one is known."""
    instead_of: tuple[str, ...] = ()
    """Words before the print of the one that it would replace."""


class UnnamedVolts(Closed):
    """What volts without a name are, in a question for a verdict: is 190 volts too low."""

    calculation: Id
    input: Id
    span: tuple[float, float]
    """In V; below it they may be control voltage or one leg to ground."""
    judged: tuple[str, ...]
    """Words that ask for the verdict."""
    beside: tuple[str, ...] = ()
    """Words that may stand there as well and tell nothing."""


class Asking(Closed):
    """The words around a calculation."""

    openers: tuple[str, ...]
    should: tuple[str, ...]
    verdict: tuple[str, ...] = ()
    """Words behind a statement that make it a question: is that bad."""
    normal: tuple[str, ...] = ()
    """Words that ask for the limit of a calculation, where no number is given: whats a normal ratio."""
    measured: tuple[str, ...]
    """Words of a report: numbers beside them are readings, also in front of a question."""
    small: tuple[str, ...]
    drop: tuple[str, ...]
    """Words that let a question for a missing input go."""
    refrigerants: tuple[str, ...]
    calculations: tuple[str, ...]
    facts_at_f: float
    """Dew temperature in degrees F at which a glide is told."""
    facts: tuple[str, ...] = ()
    """Words that ask what a named refrigerant is: composition, safety group, glide."""
    convert: tuple[str, ...] = ()
    """Words that ask for a value in another unit; ``convert_to`` stand before that unit."""
    convert_to: tuple[str, ...] = ()
    no_reading_within: tuple[str, ...] = ()
    """Words anywhere in a clause that make a question of it: suction should be what at 75 return."""
    no_reading_behind: tuple[str, ...] = ()
    """The same at the end of a sentence: good or bad."""
    no_reading: tuple[str, ...] = ()
    """Words at the head of a sentence that make its numbers no readings: what, how much, can i."""
    refrigerant_before: tuple[str, ...]
    refrigerant_at: tuple[str, ...]
    result_of: tuple[str, ...]
    """Between a name and its result: a superheat of 12."""
    letters: dict[str, tuple[str, ...]]
    """Letter of a refrigerant -> how it is said and heard."""
    fresh_minutes: float
    """Readings of the visit older than this are not taken for a calculation."""
    ascending: tuple[tuple[Id, Id], ...]
    units: tuple[AskingUnit, ...]
    marked: Marked
    unnamed_volts: UnnamedVolts


class CalculationFile(Closed):
    calculation_inputs: tuple[CalculationInput, ...] = ()
    calculations: tuple[Calculation, ...] = ()
    calculation_words: tuple[CalculationWords, ...] = ()
    input_words: tuple[InputWords, ...] = ()
    asking: Asking | None = None

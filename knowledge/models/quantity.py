"""Kinds of reading: canonical unit, accepted units, plausible range."""

from __future__ import annotations

from pydantic import model_validator

from .entry import Closed, Entry, Text


class UnitWord(Closed):
    """One unit a technician may write or say; canonical = said * factor + offset."""

    symbol: Text
    factor: float
    offset: float = 0.0
    written: tuple[str, ...]
    """Spellings, lower case, as typed or spoken: ``uf``, ``mfd``, ``microfarads``."""
    firm: tuple[str, ...] = ()
    """Those of ``written`` that name this quantity and no sister of it: ``vdc`` is never read as AC volts."""
    either: tuple[str, ...] = ()
    """Those of ``written`` that count in whichever unit the technician works in: ``degrees``."""
    metric: bool = False
    """True for the units of who works in SI, also where the system only tolerates them: ``bar``."""


class Quantity(Entry):
    name: Text
    """What a person calls it: ``volts``, ``capacitance``."""
    verbs: tuple[str, ...] = ()
    """Words of reading that only this quantity goes with: a lead *pulls* or *draws* amps."""
    unit: Text
    """Canonical unit symbol; every stored value is in it."""
    units: tuple[UnitWord, ...]
    si: Text | None = None
    """Symbol of the unit for a technician who works in SI; None where everybody uses the canonical one."""
    prose: tuple[str, ...] = ()
    """How the canonical unit stands in the sentences of the knowledge, to be told in ``si``."""
    told_before: tuple[str, ...] = ()
    """Words right before a number in prose that make it this quantity, not the one with the same unit: ``±``."""
    told_behind: tuple[str, ...] = ()
    """The same right behind it: ``over``."""
    both: bool = False
    """True where a value is shown in both units, whichever comes first."""
    plausible: tuple[float, float]
    """Outside this no meter of the trade reads; asked back."""
    decimals: int = 1
    """Digits after the point that mean something when shown; negative where the last ones before it mean nothing."""
    over_limit: bool = False
    """True where a meter may show "over limit" (an open circuit), as for resistance."""
    powered: bool | None = None
    """True where it is only read on a fed unit (amps), False where only on a dead one (ohms), None where on both."""
    source: str

    @model_validator(mode="after")
    def _si_is_one_of_the_units(self) -> Quantity:
        if self.si is not None and self.si not in {unit.symbol for unit in self.units}:
            raise ValueError(f"si {self.si!r} must be the symbol of one of its units")
        if any(unit.symbol == self.si and not unit.metric for unit in self.units):
            raise ValueError(f"si {self.si!r} must be marked as metric")
        return self


class QuantityFile(Closed):
    quantities: tuple[Quantity, ...]

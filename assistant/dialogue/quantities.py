"""Values and windows in the unit a technician works in: stored in canonical units, converted only to be shown."""

from __future__ import annotations

from dataclasses import replace
from math import floor, isfinite, log10
from typing import Literal

from assistant.reasoning.limits import LimitResult, Verdict, figure, judge
from knowledge import KnowledgeBase
from knowledge.models.quantity import Quantity, UnitWord

System = Literal["us", "si"]
"""As the setting ``units`` has it."""


def shown_unit(kb: KnowledgeBase, quantity: str, system: System) -> UnitWord:
    """Return the unit in which this technician reads the quantity. KeyError for an unknown quantity."""
    return _unit(kb.quantities[quantity], system)


def shown_value(kb: KnowledgeBase, quantity: str, value: float, system: System) -> float:
    """Return a canonical value in the unit it is shown in, not rounded."""
    return _in_unit(value, shown_unit(kb, quantity, system))


def shown(kb: KnowledgeBase, quantity: str, value: float, system: System = "us", *, both: bool = False) -> str:
    """Return value and unit: ``120 °F``, in SI ``48.9 °C``; with ``both`` the other one behind: ``120 °F (49 °C)``.

    The SI form has the digits that a canonical reading of this quantity supports, so that a value told in SI is
    shown as it was told; the one in brackets is rounded further. ``both`` counts only where the quantity is
    marked for it.
    """
    entry = kb.quantities[quantity]
    first, other = _unit(entry, system), _unit(entry, "us" if system == "si" else "si")
    words = _amount(entry, value, first)
    if not (both and entry.both) or first == other:
        return words
    return f"{words} ({_amount(entry, value, other, coarse=True)})"


def in_unit_words(kb: KnowledgeBase, quantity: str, value: float, symbol: str) -> str:
    """Return a canonical value with the unit of this symbol. StopIteration where the quantity has no such unit."""
    entry = kb.quantities[quantity]
    return _amount(entry, value, next(unit for unit in entry.units if unit.symbol == symbol))


def limit_in(kb: KnowledgeBase, limit: LimitResult, system: System) -> LimitResult:
    """Return the limit with its bounds and meter error in this technician's unit.

    A limit in a unit of its own (seconds of holding) and a quantity that everybody reads alike stay as they are.
    Bounds are exact, so that a reading in the same unit gets the same verdict; ``window`` reads as rounded.
    """
    entry = kb.quantities[limit.quantity]
    unit = _unit(entry, system)
    if limit.unit != entry.unit or unit.symbol == entry.unit:
        return limit
    exact = limit.with_bounds(lambda bound: _in_unit(bound, unit))
    here = replace(exact, unit=unit.symbol, meter_abs=limit.meter_abs / unit.factor)
    read = here.with_bounds(lambda bound: round(bound, _digits(entry, unit)))
    return replace(here, worded=read.window)


def judge_in(
    kb: KnowledgeBase, limit: LimitResult, value: float | None, system: System, over_limit: bool = False
) -> Verdict:
    """Return the verdict on a canonical reading, put in this technician's unit.

    What it says is judged in the canonical unit; only its sentence is in the other one.
    """
    verdict = judge(limit, value, over_limit)
    here = limit_in(kb, limit, system)
    if here is limit or value is None or over_limit:
        return verdict
    return replace(verdict, sentence=judge(here, shown_value(kb, limit.quantity, value, system)).sentence)


def _unit(entry: Quantity, system: System) -> UnitWord:
    symbol = entry.si if system == "si" and entry.si else entry.unit
    return next(unit for unit in entry.units if unit.symbol == symbol)


def _in_unit(value: float, unit: UnitWord) -> float:
    return (value - unit.offset) / unit.factor


def _amount(entry: Quantity, value: float, unit: UnitWord, *, coarse: bool = False) -> str:
    number = _in_unit(value, unit)
    if not isfinite(number):
        return f"not a number {unit.symbol}"
    if unit.symbol == entry.unit and not coarse:
        return figure(number, unit.symbol)
    digits = _digits(entry, unit, coarse=coarse)
    text = f"{round(number, digits):.{max(0, digits)}f}"
    return f"{text.rstrip('0').rstrip('.') if '.' in text else text} {unit.symbol}"


def _digits(entry: Quantity, unit: UnitWord, *, coarse: bool = False) -> int:
    """Digits after the point in this unit that match the canonical ones; negative: tens, hundreds."""
    step = log10(10**-entry.decimals / unit.factor)
    return -round(step) if coarse else -floor(step)

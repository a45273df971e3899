"""Calculations of every side of the trade, by id: what they need, what they give, how sure that is.

``knowledge/data/calculations`` says what each needs, how to ask for it, when it holds and what its result is
held against; the modules ``rules_refrigerant``, ``rules_air``, ``rules_electrical`` and ``rules_heat`` hold the
formulas. ``calculate`` does the rest: asks for what is missing, refuses what does not hold, carries the errors
of the instruments through, and gives a verdict only outside them.
"""

from __future__ import annotations

from .calculate import calculate, cautions_of
from .refrigerants import find_refrigerant, saturation_table
from .results import Calculated, Missing, Refused, Result, Step, Used
from .units import Amount
from .usual import usual_limit

__all__ = [
    "Amount",
    "Calculated",
    "Missing",
    "Refused",
    "Result",
    "Step",
    "Used",
    "calculate",
    "cautions_of",
    "find_refrigerant",
    "saturation_table",
    "usual_limit",
]

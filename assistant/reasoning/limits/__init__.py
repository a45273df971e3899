"""Calculated limits: what something should read here, how a reading stands to it, and how well that is known.

Formulas are in ``formulas`` (registered by name), their numbers and sentences in ``knowledge/data/limits``.
"""

from __future__ import annotations

from .answers import answer_limit
from .cooling import COOL_DOWN, TOUCH_COOL_DOWN, Forecast, Missing, cool_down_forecast
from .heat_stress import Effort, HeatAdvice, SunKind, heat_advice
from .lookup import DISCHARGE, hold_seconds, limit_for, limit_for_check
from .part_spec import part_spec
from .parts import fuse_check, load_capacitance, replacement_capacitor, voltage_drop_check, winding_check
from .plate_sizes import CircuitSizes, circuit_sizes
from .results import LimitResult, Verdict, figure
from .sources import pedigree
from .stock import Can, Choice, Fitting, choose_capacitor
from .verdicts import judge

__all__ = [
    "COOL_DOWN",
    "DISCHARGE",
    "TOUCH_COOL_DOWN",
    "Can",
    "Choice",
    "CircuitSizes",
    "Effort",
    "Fitting",
    "Forecast",
    "HeatAdvice",
    "LimitResult",
    "Missing",
    "SunKind",
    "Verdict",
    "answer_limit",
    "choose_capacitor",
    "circuit_sizes",
    "cool_down_forecast",
    "figure",
    "fuse_check",
    "heat_advice",
    "hold_seconds",
    "judge",
    "limit_for",
    "limit_for_check",
    "load_capacitance",
    "part_spec",
    "pedigree",
    "replacement_capacitor",
    "voltage_drop_check",
    "winding_check",
]

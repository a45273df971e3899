"""Readings and findings as a technician reads them: ``236 V``, ``0.04 V``, ``over limit``, ``still but humming``."""

from __future__ import annotations

import math

from knowledge.base import KnowledgeBase
from knowledge.models.check import Check

from .evidence import Evidence

_LARGE = ((1e6, "M"), (1e3, "k"))


def amount(kb: KnowledgeBase, check: Check, value: float | None) -> str:
    """Return a value of the check's quantity with its unit; None or nan = over limit."""
    if value is None or math.isnan(value):
        return kb.reasoning.sentences["over_limit"]
    unit = kb.quantities[check.quantity].unit if check.quantity else ""
    decimals = kb.quantities[check.quantity].decimals if check.quantity else 1
    prefix = ""
    if kb.quantities[check.quantity].over_limit if check.quantity else False:
        for factor, name in _LARGE:
            if abs(value) >= factor:
                value, prefix = value / factor, name
                break
    digits = 0 if abs(value) >= 100 else min(decimals, 1) if abs(value) >= 10 else decimals
    text = f"{value:.{digits}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return f"{'0' if text in ('-0', '') else text} {prefix}{unit}".rstrip()


def outcome_name(check: Check, outcome: str) -> str:
    """Return what a technician calls an outcome."""
    return next((answer.name for answer in check.answers if answer.outcome == outcome), outcome)


def found(kb: KnowledgeBase, evidence: Evidence) -> str:
    """Return what was found, in words."""
    check = kb.checks[evidence.check]
    if evidence.outcomes:
        joiner = f" {kb.reasoning.sentences['or']} "
        return joiner.join(outcome_name(check, name) for name in evidence.outcomes)
    if evidence.over_limit:
        return amount(kb, check, None)
    if evidence.high is not None:
        return f"{amount(kb, check, evidence.value)} – {amount(kb, check, evidence.high)}"
    return amount(kb, check, evidence.value)

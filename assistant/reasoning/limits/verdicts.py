"""How a reading stands to a limit, with the meter's error and assumed plate values respected."""

from __future__ import annotations

from math import inf, isnan

from .results import LimitResult, Verdict, figure

_WORDS: dict[str, tuple[str, bool | None, str]] = {
    "inside": ("in range", True, "in range, {window}"),
    "low": ("low", False, "low, {should} {window}"),
    "high": ("high", False, "high, {should} {window}"),
    "far_high": ("high", False, "far too high, {should} {window}"),
    "watch": ("borderline", None, "allowed ({window}) but not usual"),
    "edge": ("borderline", None, "too close to call for the meter, {should} {window}"),
    "outside": ("borderline", None, "outside {window}"),
}
"""Outcome -> word, ok, and how it is put."""


def judge(limit: LimitResult, value: float | None, over_limit: bool = False) -> Verdict:
    """Return the verdict on a reading in the limit's unit; None or ``over_limit``: the meter shows OL (open).

    Closer to a bound than the meter's error the word is "borderline" and ok is None. While the limit rests on
    a typical plate value, only a reading that no plate of such a unit would excuse is called low or high, and
    "in range" leaves ok at None.
    """
    if over_limit or value is None or value == inf:
        return _open(limit)
    if isnan(value):
        return Verdict("borderline", None, "Not a number; measure again.")
    shown = figure(value, limit.unit)
    if limit.low is None and limit.high is None:
        need = "The plate value is missing" if limit.missing else limit.problem
        return Verdict("", None, joined(f"{shown}: nothing to compare it with yet", need))
    return verdict_of(limit, outcome_of(limit, value), shown)


def verdict_of(limit: LimitResult, outcome: str, shown: str) -> Verdict:
    """Return the verdict for an outcome of ``outcome_of``, with the reading put as ``shown``."""
    word, ok, put = _WORDS[outcome]
    if not limit.condemns or (limit.typical and ok):
        ok = None
    head = put.format(window=limit.window, should="should be" if limit.condemns else "against")
    assumption = "" if word in {"low", "high"} else _assumption(limit)
    return Verdict(word, ok, joined(f"{shown}: {head}", assumption, limit.says.get(outcome, "")))


def outcome_of(limit: LimitResult, value: float) -> str:
    """Return how a reading stands: low, high, far_high, inside, watch, edge (too close to call) or outside.

    ``outside``: out of the window, but another plate than the typical one assumed would excuse it.
    """
    margin = abs(value) * limit.meter_pct / 100 + limit.meter_abs
    low, high = _or(limit.low, -inf), _or(limit.high, inf)
    sure_low, sure_high = low, high
    if limit.typical:
        sure_low, sure_high = _or(limit.certain_low, -inf), _or(limit.certain_high, inf)
    outcomes = (
        ("far_high", value > high and value >= _or(limit.far_high, inf)),
        ("low", value + margin < sure_low),
        ("high", value - margin > sure_high),
        # out of the typical window, but another plate would excuse it
        ("outside", value + margin < low or value - margin > high),
        # a bound at nothing has no edge: no meter reads below it
        ("edge", value + margin > high or (value - margin < low and not low == 0 <= value)),
        ("watch", value < _or(limit.warn_low, -inf) or value > _or(limit.warn_high, inf)),
    )
    return next((outcome for outcome, holds in outcomes if holds), "inside")


def _open(limit: LimitResult) -> Verdict:
    says = limit.says.get("open", "")
    if limit.low is not None and limit.high is None:  # insulation: the more the better
        ok = True if limit.condemns else None
        return Verdict("in range", ok, joined(f"Over limit: in range, {limit.window}", says))
    ok = False if limit.condemns and limit.open_condemns else None
    return Verdict("open", ok, joined(f"Open, should be {limit.window}" if limit.window else "Open", says))


def _assumption(limit: LimitResult) -> str:
    if not limit.assumed:
        return ""
    return f"That is for a typical {' and '.join(limit.assumed)}; read the plate to be sure"


def joined(*parts: str) -> str:
    """Return the non-empty parts as sentences, each with its full stop."""
    return " ".join(part if part.endswith((".", "?", "!")) else f"{part}." for part in parts if part)


def _or(bound: float | None, otherwise: float) -> float:
    return otherwise if bound is None else bound

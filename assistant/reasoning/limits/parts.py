"""Verdicts that take more than one reading, or compare a part with the plate."""

from __future__ import annotations

from math import isclose

from assistant.physics import electricity
from assistant.physics.electricity import Windings
from assistant.physics.errors import OutsideValidity
from knowledge.base import KnowledgeBase

from .lookup import Plate, limit_for
from .results import LimitResult, Verdict, figure
from .verdicts import judge

_WINDING_WORDS: dict[Windings, tuple[str, bool | None]] = {
    Windings.OK: ("in range", True),
    Windings.NEAR_ZERO: ("borderline", None),
    Windings.COMMON_MISNAMED: ("borderline", None),
    Windings.START_RUN_SWAPPED: ("borderline", None),
    Windings.CONTRADICTORY: ("borderline", None),
    Windings.OVERLOAD_OR_COMMON_OPEN: ("open", None),  # a hot overload closes again
    Windings.LEAD_OR_MULTIPLE_OPEN: ("open", None),  # most often the meter leads
    Windings.START_WINDING_OPEN: ("open", False),
    Windings.RUN_WINDING_OPEN: ("open", False),
}


def winding_check(kb: KnowledgeBase, c_r: float | None, c_s: float | None, s_r: float | None) -> Verdict:
    """Return what three winding resistances (ohm, None = open) say; ok None where nothing is proved yet."""
    limit = kb.limits["winding_sum"]
    try:
        state = electricity.windings_from_ohms(c_r, c_s, s_r, limit.constants["band_ohm"], limit.constants["band_pct"])
    except OutsideValidity as err:
        return Verdict("borderline", None, f"Measure again: {err}.")
    short = (s_r or 0) < (c_r or 0) + (c_s or 0)
    word, ok = _WINDING_WORDS.get(state, ("low" if short else "high", False))
    shown = (
        f"{name} {'open' if ohm is None else figure(ohm, 'Ω')}"
        for name, ohm in (("C-R", c_r), ("C-S", c_s), ("S-R", s_r))
    )
    return Verdict(word, ok, f"{', '.join(shown)}. {limit.says[state.value]}")


def load_capacitance(
    kb: KnowledgeBase, limit_id: str, amps: float, volts: float, plate: Plate
) -> tuple[float | None, Verdict]:
    """Return capacitance in µF from running amps and volts, with its verdict by the limit of that section.

    The value is None where there is none. Raises KeyError where the knowledge has no such limit.
    """
    limit = _limit(kb, limit_id, plate)
    try:
        value_uf = electricity.capacitance_uf(amps, volts, kb.limits[limit.id].constants["frequency_hz"])
    except OutsideValidity as err:
        sentence = limit.says["no_volts"] if volts == 0 else f"Measure again: {err}."
        return None, Verdict("", None, sentence)
    return value_uf, judge(limit, value_uf)


def voltage_drop_check(kb: KnowledgeBase, v_rest: float, v_load: float, starting: bool) -> Verdict:
    """Return the verdict on the fall from the voltage at rest to that during the start, or running."""
    limit = _limit(kb, "voltage_drop_start" if starting else "voltage_drop_run", {})
    try:
        drop_pct = electricity.voltage_drop_pct(v_rest, v_load)
    except OutsideValidity as err:
        return Verdict("", None, f"Measure again: {err}.")
    change = f"{figure(v_rest, 'V')} to {figure(v_load, 'V')}"
    if drop_pct + limit.meter_abs < 0:
        return Verdict("borderline", None, f"{change}: {limit.says['rose']}")
    verdict = judge(limit, max(0.0, round(drop_pct, 1)))
    return Verdict(verdict.word, verdict.ok, f"{change} is {verdict.sentence}")


def replacement_capacitor(
    kb: KnowledgeBase,
    marked_uf: float | None,
    marked_v: float | None,
    offered_uf: float | None,
    offered_v: float | None,
) -> Verdict:
    """Return whether one capacitor section may take the place of another: same µF, voltage never lower."""
    says = kb.limits["capacitor_replacement"].says
    if marked_uf is None or marked_v is None or offered_uf is None or offered_v is None:
        return Verdict("", None, says["unmarked"])
    offer = f"{_rating(offered_uf, offered_v)} for {_rating(marked_uf, marked_v)}"
    if not isclose(marked_uf, offered_uf, rel_tol=1e-6):
        return Verdict("low" if offered_uf < marked_uf else "high", False, f"{offer}: {says['other_uf']}")
    if offered_v < marked_v:
        return Verdict("low", False, f"{offer}: {says['lower_volts']}")
    return Verdict("in range", True, f"{offer}: {says['fits']}")


def fuse_check(kb: KnowledgeBase, fitted_a: float, plate: Plate) -> Verdict:
    """Return whether a fuse or breaker of ``fitted_a`` agrees with the plate's maximum (and MCA)."""
    limit = _limit(kb, "fuse_maximum", plate)
    fitted = figure(fitted_a, "A")
    if limit.high is None:
        return Verdict("", None, f"{fitted}: {limit.says['unmarked']}")
    if fitted_a > limit.high:
        return Verdict("high", False, f"{fitted} where the plate says {limit.window}: {limit.says['high']}")
    if limit.warn_low is not None and fitted_a < limit.warn_low:
        return Verdict("low", None, f"{fitted}, MCA {figure(limit.warn_low, 'A')}: {limit.says['low']}")
    return Verdict("in range", True, f"{fitted}, plate {limit.window}: {limit.says['fits']}")


def _rating(capacitance_uf: float, voltage_v: float) -> str:
    return f"{figure(capacitance_uf, 'µF')} {figure(voltage_v, 'V')}"


def _limit(kb: KnowledgeBase, limit_id: str, plate: Plate) -> LimitResult:
    result = limit_for(kb, limit_id, plate)
    if result is None:
        raise KeyError(f"knowledge has no limit {limit_id!r}")
    return result

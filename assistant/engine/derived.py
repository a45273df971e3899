"""Numbers that follow from several readings together: capacitance under load, the winding rule, fuse against plate."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from assistant.dialogue.sentences import Said
from assistant.physics import electricity as el
from assistant.reasoning.limits import Verdict, fuse_check, judge, limit_for, load_capacitance, winding_check
from assistant.session import events as e
from knowledge.models.visit import CloseOutItem

from .context import measured_values, plate_values
from .draft import Draft

_WINDINGS = ("r_c_r", "r_c_s", "r_s_r")
_LEGS = {
    "voltage_unbalance": ("v_contactor_line", "v_l2_l3", "v_l1_l3"),
    "current_unbalance": ("a_compressor", "a_leg_2", "a_leg_3"),
}
"""Limit -> the three readings that are compared for it."""
_FITTED = ("fuse_rating", "breaker_rating")
_LEGS_LIMIT, _LEGS_PROOF = "current_unbalance", "prove_legs"
AIR = frozenset({"return_air", "supply_air"})
_SPLIT_PROOF, _SPLIT_LIMIT = "prove_cooling", "air_split"
_UNDER_LOAD = frozenset({"capacitance_under_load", "fan_capacitance_under_load"})
"""Limits of the proofs that are worked out of the amps and the volts they read, in that order."""


def tell_derived(draft: Draft, check_id: str) -> None:
    """After a reading: say what it gives together with those already there."""
    readings = measured_values(draft.state)
    if check_id in _WINDINGS and all(pair in readings for pair in _WINDINGS):
        if _is_three_phase(draft):
            _tell_of_three(draft, "winding_spread", _WINDINGS, readings, el.winding_spread_pct)
            return
        _tell(draft, winding_check(draft.kb, *(readings[pair] for pair in _WINDINGS)))
    for limit_id, checks in _LEGS.items():
        if check_id in checks and all(check in readings for check in checks):
            _tell_of_three(draft, limit_id, checks, readings, el.unbalance_pct)
    for proof in draft.kb.close_out.values():
        if proof.limit in _UNDER_LOAD and check_id in proof.reads and _are_fresh(draft, proof):
            amps, volts = (readings.get(name) for name in proof.reads)
            if amps is not None and volts is not None:
                _under_load(draft, proof, amps, volts)


def _are_fresh(draft: Draft, proof: CloseOutItem) -> bool:
    """Return True where every reading of a proof was taken since the last repair and since it was last proved."""
    state = draft.state
    if state.phase != "proving":
        return True
    before = state.proofs.get(proof.id)
    since = before.seq if before is not None else 0
    return all(name in state.takes and state.takes[name][-1].seq > since for name in proof.reads)


def _is_three_phase(draft: Draft) -> bool:
    unit = draft.kb.units.get(draft.state.unit_kind)
    return unit is not None and any(element.kind == "phase" for element in unit.elements)


def _tell_of_three(
    draft: Draft, limit_id: str, checks: tuple[str, ...], readings: Mapping[str, float | None],
    rule: Callable[[float, float, float], float],
) -> None:  # fmt: skip
    """Say how far three readings lie apart, in percent, and what that means; nothing where one is OL or zero."""
    values = [value for value in (readings.get(check) for check in checks) if value]
    limit = limit_for(draft.kb, limit_id, plate_values(draft.state))
    if len(values) != len(checks) or limit is None:
        return
    found, verdict = rule(*values), judge(limit, rule(*values))
    draft.tell("three_alike", name=draft.kb.limits[limit_id].name, value=draft.amount("percent", round(found, 1)))
    _tell(draft, verdict)
    if limit_id == _LEGS_LIMIT and draft.state.phase == "proving":
        draft.emit(
            e.ProofRecorded,
            item=_LEGS_PROOF,
            verdict="bad" if verdict.ok is False else "good",
            value=round(found, 1),
            unit=draft.kb.quantities["percent"].unit,
            words=verdict.sentence,
        )


def tell_fuse(draft: Draft) -> None:
    """After a plate value: a fitted fuse or breaker above the plate's maximum is said at once."""
    plate = plate_values(draft.state)
    fitted = max((plate[item] for item in _FITTED if item in plate), default=None)
    if fitted is not None and "mocp" in plate:
        _tell(draft, fuse_check(draft.kb, fitted, plate))


def tell_split(draft: Draft) -> None:
    """With return and supply air read since the last repair: the split, as proof of cooling while proving."""
    since = draft.state.repairs[-1].seq if draft.state.repairs else 0
    air = {
        reading.about: reading.value
        for reading in draft.state.readings
        if reading.about in AIR and reading.seq > since and reading.value is not None
    }
    if len(air) == len(AIR) and draft.state.phase == "proving":
        prove_split(draft, air["return_air"] - air["supply_air"])


def prove_split(draft: Draft, split_f: float) -> None:
    """Record a temperature split in degrees F as the proof of cooling."""
    limit = limit_for(draft.kb, _SPLIT_LIMIT, plate_values(draft.state))
    verdict = judge(limit, split_f) if limit is not None else None
    draft.tell("split_is", value=draft.amount("temperature_difference", split_f))
    if verdict is not None:
        _tell(draft, verdict)
    draft.emit(
        e.ProofRecorded,
        item=_SPLIT_PROOF,
        verdict="bad" if verdict is not None and verdict.ok is False else "good",
        value=round(split_f, 1),
        unit=draft.kb.quantities["temperature_difference"].unit,
        words=draft.text.strip(),
    )


def _under_load(draft: Draft, proof: CloseOutItem, amps: float, volts: float) -> None:
    value, verdict = load_capacitance(draft.kb, proof.limit or "", amps, volts, plate_values(draft.state))
    if value is None:
        _tell(draft, verdict)
        return
    draft.tell("load_capacitance", value=draft.amount("capacitance", value))
    _tell(draft, verdict)
    if draft.state.phase == "proving":
        good = verdict.ok is not False
        draft.emit(
            e.ProofRecorded,
            item=proof.id,
            verdict="good" if good else "bad",
            value=round(value, 2),
            unit=draft.kb.quantities["capacitance"].unit,
            words=verdict.sentence,
        )


def _tell(draft: Draft, verdict: Verdict) -> None:
    if verdict.sentence:
        signal = "caution" if verdict.ok is False else None
        draft.remarks.append(Said(verdict.sentence, verdict.sentence, signal))

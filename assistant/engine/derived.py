"""Numbers that follow from several readings together: capacitance under load, the winding rule, fuse against plate."""

from __future__ import annotations

from assistant.dialogue.sentences import Said
from assistant.reasoning.limits import Verdict, fuse_check, judge, limit_for, load_capacitance, winding_check
from assistant.session import events as e

from .context import measured_values, plate_values
from .draft import Draft

_WINDINGS = ("r_c_r", "r_c_s", "r_s_r")
AIR = frozenset({"return_air", "supply_air"})
_SPLIT_PROOF, _SPLIT_LIMIT = "prove_cooling", "air_split"
_LOAD_AMPS, _LOAD_VOLTS, _LOAD_PROOF = "a_herm", "v_herm_c", "prove_cap_load"


def tell_derived(draft: Draft, check_id: str) -> None:
    """After a reading: say what it gives together with those already there."""
    readings = measured_values(draft.state)
    if check_id in _WINDINGS and all(pair in readings for pair in _WINDINGS):
        _tell(draft, winding_check(draft.kb, *(readings[pair] for pair in _WINDINGS)))
    if check_id in {_LOAD_AMPS, _LOAD_VOLTS}:
        amps, volts = readings.get(_LOAD_AMPS), readings.get(_LOAD_VOLTS)
        if amps is not None and volts is not None:
            _under_load(draft, amps, volts)


def tell_fuse(draft: Draft) -> None:
    """After a plate value: a fitted fuse above the plate's maximum is said at once."""
    plate = plate_values(draft.state)
    fitted = plate.get("fuse_rating")
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


def _under_load(draft: Draft, amps: float, volts: float) -> None:
    value, verdict = load_capacitance(draft.kb, amps, volts, plate_values(draft.state))
    if value is None:
        _tell(draft, verdict)
        return
    draft.tell("load_capacitance", value=draft.amount("capacitance", value))
    _tell(draft, verdict)
    if draft.state.phase == "proving":
        good = verdict.ok is not False
        draft.emit(
            e.ProofRecorded,
            item=_LOAD_PROOF,
            verdict="good" if good else "bad",
            value=round(value, 2),
            unit=draft.kb.quantities["capacitance"].unit,
            words=verdict.sentence,
        )


def _tell(draft: Draft, verdict: Verdict) -> None:
    if verdict.sentence:
        signal = "caution" if verdict.ok is False else None
        draft.remarks.append(Said(verdict.sentence, verdict.sentence, signal))

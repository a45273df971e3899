"""Numbers that follow from several readings together: capacitance under load, the winding rule, fuse against plate."""

from __future__ import annotations

from assistant.dialogue.numbers import amount
from assistant.dialogue.sentences import Said
from assistant.reasoning.limits import Verdict, fuse_check, load_capacitance, winding_check
from assistant.session import events as e

from .context import measured_values, plate_values
from .draft import Draft

_WINDINGS = ("r_c_r", "r_c_s", "r_s_r")
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


def _under_load(draft: Draft, amps: float, volts: float) -> None:
    value, verdict = load_capacitance(draft.kb, amps, volts, plate_values(draft.state))
    if value is None:
        _tell(draft, verdict)
        return
    draft.tell("load_capacitance", value=amount(draft.kb, "capacitance", value))
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

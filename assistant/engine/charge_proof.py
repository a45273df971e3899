"""Superheat or subcooling as a proof of performance: judged against its target, or why it could not be."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.dialogue.sentences import sentence
from assistant.reasoning.gauges.derive import Derived, residuals
from assistant.session import events as e
from knowledge.models.signature import Device

from .draft import Draft

PROOF = "prove_charge"
_JUDGED: dict[Device, tuple[str, str]] = {
    "orifice": ("superheat", "superheat_orifice"),
    "txv": ("subcooling", "subcooling_valve"),
}
"""Metering device -> what tells its charge, and the limit that says how far that may be off."""


def prove_charge(draft: Draft, stand: Sequence[Derived], device: Device | None) -> None:
    """Record how the feature that tells the charge stands, where it was read while the unit is proved."""
    kb, asked = draft.kb, draft.state.asked
    if draft.state.phase != "proving" or PROOF not in kb.close_out:
        return
    feature, limit_id = _JUDGED[device or "txv"]
    listed = residuals(kb)
    found = next((one for one in stand if listed[one.check].of == feature and one.compared is not None), None)
    if found is None or found.compared is None:
        return
    limit, compared = kb.limits[limit_id], found.compared
    off = abs(compared.measured - compared.target)
    shown = draft.amount("temperature_difference", round(compared.measured, 1))
    name = kb.signatures.says[feature]
    if found.because or compared.assumed:
        if asked is None or asked.id != PROOF:
            return  # it is asked for later, and may be judged by then
        why = found.because or sentence(kb, "charge_no_target").screen
        verdict, words = "not done", sentence(kb, "charge_not_judged", name=name, value=shown, why=why).screen
    else:
        verdict = "good" if off <= limit.constants["tolerance_f"] + limit.meter_abs else "bad"
        target = draft.amount("temperature_difference", round(compared.target, 1))
        words = sentence(kb, "charge_judged", name=name, value=shown, target=target).screen
    draft.emit(e.ProofRecorded, item=PROOF, verdict=verdict, words=words)

"""What gauge and thermometer readings add up to, said right after the reading that completed it."""

from __future__ import annotations

from assistant.dialogue.sentences import sentence
from assistant.reasoning.gauges.derive import derived_evidence, residuals
from assistant.reasoning.gauges.fit import Fit, fit_of
from assistant.reasoning.gauges.targets import Compared
from knowledge.models.check import Gauge

from .charge_proof import prove_charge
from .context import plate_values, plate_words
from .draft import Draft
from .history import history_of


def tell_gauges(draft: Draft, check_id: str) -> None:
    """Say every feature that the reading of ``check_id`` completes, beside its target, and why it may not count yet."""
    kb, state = draft.kb, draft.state
    if not isinstance(kb.checks[check_id].measure, Gauge):
        return
    history = history_of(state, kb)
    _, stand, _, device = derived_evidence(kb, history, plate_values(state), plate_words(state))
    listed = residuals(kb)
    made = [one for one in stand if check_id in one.inputs and not one.missing]
    for one in made:
        if one.compared is not None:
            _tell(draft, listed[one.check].of, one.compared)
    charts = [one for one in stand if listed[one.check].from_chart.get(check_id) in one.missing]
    waits = [one.because for one in (*charts, *made) if one.because]
    prove_charge(draft, stand, device)
    said = {remark.screen for remark in draft.remarks}
    for because in dict.fromkeys(waits):
        if sentence(kb, "gauges_wait", because=because).screen not in said:
            draft.remark("gauges_wait", signal="notice", because=because)
    now = fit_of(kb, stand, device)
    if now is not None:
        _, earlier, _, before = derived_evidence(kb, history[:-1], plate_values(state), plate_words(state))
        if now != fit_of(kb, earlier, before):
            _tell_fit(draft, now)


def _tell_fit(draft: Draft, now: Fit) -> None:
    """Say what the readings by themselves fit."""
    names = draft.kb.signatures.fit.names
    told = [names[name] for name in now.names[:_MOST_TOLD]]
    more = len(now.names) - len(told)
    last = sentence(draft.kb, "and_more", count=more).screen if more else told.pop()
    joined = f" {draft.kb.reasoning.sentences['and']} ".join([", ".join(told), last] if told else [last])
    draft.tell(f"gauges_{now.verdict}", names=joined)


_MOST_TOLD = 4


def _tell(draft: Draft, feature: str, compared: Compared) -> None:
    kb = draft.kb
    degrees = "temperature_difference" if feature in kb.signatures.differences else "temperature"
    quantity = "ratio" if feature == "ratio" else degrees
    draft.tell(
        "gauge_typical" if compared.assumed else "gauge_target",
        name=kb.signatures.says[feature],
        value=draft.amount(quantity, round(compared.measured, 1)),
        target=draft.amount(quantity, round(compared.target, 1)),
    )

"""Proof of performance and securing: a fixed list, each item recorded as good, bad or not done with its reason."""

from __future__ import annotations

from typing import Literal

from assistant.language.models import Heard
from assistant.reasoning.limits import LimitResult, judge
from assistant.session import events as e
from assistant.session.state import VisitState
from knowledge import KnowledgeBase
from knowledge.models.check import Check
from knowledge.models.visit import CloseOutItem

from .draft import Draft

Verdict = Literal["good", "bad", "not done"]
PROVING = frozenset({"proving", "securing"})


def open_items(state: VisitState, kb: KnowledgeBase) -> tuple[CloseOutItem, ...]:
    """Return the close-out items of the current phase that are not recorded yet, in their order."""
    return tuple(
        item for item in kb.close_out.values() if item.phase.value == state.phase and item.id not in state.proofs
    )


def record_proof(
    draft: Draft, item: Heard, check: Check | None, limit: LimitResult | None, outcomes: tuple[str, ...] = ()
) -> None:
    """Record a reading or finding taken during proving as the close-out item it belongs to."""
    if draft.state.phase not in PROVING:
        return
    proof = _proof_for(draft, item, check)
    if proof is None:
        return
    verdict: Verdict = "good"
    if limit is not None:
        verdict = "bad" if judge(limit, item.value, item.over_limit).ok is False else "good"
    elif proof.good is not None and outcomes:
        verdict = "good" if outcomes == (proof.good,) else "bad"
    unit = draft.kb.quantities[item.quantity].unit if item.quantity else None
    draft.emit(e.ProofRecorded, item=proof.id, verdict=verdict, value=item.value, unit=unit, words=item.said)
    if verdict == "bad":
        draft.remark("proof_bad", signal="warning", name=proof.name)


def answer_proof(draft: Draft, verdict: Verdict, words: str) -> None:
    """Record a bare yes, no or "can't" to the close-out item that was asked."""
    asked = draft.state.asked
    if asked is None:
        return
    proof = draft.kb.close_out[asked.id]
    draft.emit(e.ProofRecorded, item=proof.id, verdict=verdict, words=words)
    if verdict == "bad":
        draft.remark("proof_bad", signal="warning", name=proof.name)


def _proof_for(draft: Draft, item: Heard, check: Check | None) -> CloseOutItem | None:
    state, kb = draft.state, draft.kb
    asked = state.asked
    if asked is not None and asked.kind == "close_out":
        proof = kb.close_out[asked.id]
        if item.about == proof.about or (check is not None and check.id == proof.check):
            return proof
    for proof in kb.close_out.values():
        if proof.phase.value == state.phase and proof.check is not None and check and check.id == proof.check:
            return proof
    return None

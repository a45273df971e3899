"""Proof of performance and securing: a fixed list, each item recorded as good, bad or not done with its reason."""

from __future__ import annotations

from typing import Literal

from assistant.dialogue.sentences import sentence
from assistant.language.models import Heard
from assistant.reasoning.evidence import Unwell
from assistant.reasoning.limits import LimitResult, judge, limit_for
from assistant.session import events as e
from assistant.session.state import VisitState
from assistant.session.steps import is_to_prove
from knowledge import KnowledgeBase
from knowledge.models.check import Check
from knowledge.models.visit import CloseOutItem

from .context import plate_values
from .draft import Draft

Verdict = Literal["good", "bad", "not done"]
PROVING = frozenset({"proving", "securing"})


def open_items(state: VisitState, kb: KnowledgeBase) -> tuple[CloseOutItem, ...]:
    """Return the close-out items of the current phase that are not recorded yet, in their order.

    A proof of performance that came out bad once is still open: one wrong reading must not condemn good work, nor one
    good reading after it prove bad work.
    """
    return tuple(
        item
        for item in kb.close_out.values()
        if item.phase.value == state.phase
        and is_to_prove(item, state, kb)
        and (item.id not in state.proofs or bad_once(state, item) or is_contested(state, item))
    )


def bad_once(state: VisitState, item: CloseOutItem) -> bool:
    """Return True where a proof of performance came out bad, and has to be taken again before that counts."""
    proof = state.proofs.get(item.id)
    bad = proof is not None and proof.verdict == "bad"
    return bad and item.phase.value == "proving" and not fails(state, item)


def is_contested(state: VisitState, item: CloseOutItem) -> bool:
    """Return True where a proof of performance came out bad and then good: a third take decides."""
    return item.phase.value == "proving" and item.id in state.contested and not item.bad_reopens


def fails(state: VisitState, item: CloseOutItem) -> bool:
    """Return True where a proof of performance is known to fail since the last repair."""
    return _failures(state, item) > 0


def unexplained(state: VisitState, kb: KnowledgeBase) -> tuple[CloseOutItem, ...]:
    """Return the proofs that failed, and failed again after a search which found nothing that explains it."""
    return tuple(
        item for item in _bad_items(state, kb) if _failures(state, item) > 1 and not _looks_good_now(state, item)
    )


def settling_check(state: VisitState, kb: KnowledgeBase) -> Check | None:
    """Return the check that is to settle a failed proof, can be done and was not since the last repair."""
    failed = [item for item in _bad_items(state, kb) if fails(state, item)]
    closed = {*state.takes, *state.skipped}
    checks = (kb.checks[item.settled_by] for item in failed if item.settled_by and item.settled_by not in closed)
    return next((check for check in checks if not state.tools_missing.intersection(check.tools)), None)


def _bad_items(state: VisitState, kb: KnowledgeBase) -> list[CloseOutItem]:
    """Return the proofs that came out bad since the last repair."""
    return [kb.close_out[name] for name in state.bad_proofs if name in kb.close_out]


def _failures(state: VisitState, item: CloseOutItem) -> int:
    """Return how often a proof of performance failed since the last repair: what is bad once is taken again first."""
    if item.phase.value != "proving" or (item.bad_reopens and item.id in state.contested):
        return 0  # its looks were taken again in the search
    enough = 1 if item.bad_reopens else 2
    return max(0, state.bad_proofs.get(item.id, 0) - enough + 1)


def unwell(state: VisitState, kb: KnowledgeBase) -> Unwell:
    """Return whether the unit does what it should, whatever single readings say; if not, a root fault is left.

    A proof by looks is over once all of them were taken again and are good.
    """
    left = [item for item in _bad_items(state, kb) if fails(state, item) and not _looks_good_now(state, item)]
    if not left:
        return Unwell.NO
    return Unwell.LOOKS if all(item.good_when for item in left) else Unwell.UNIT


def _looks_good_now(state: VisitState, item: CloseOutItem) -> bool:
    """Return True where every look of an item that was taken reads good by now."""
    seen = {name: state.latest[name] for name in item.good_when if name in state.latest}
    good = [isinstance(found, e.FindingMade) and item.good_when[name] in found.outcomes for name, found in seen.items()]
    return bool(good) and all(good)


def record_proof(
    draft: Draft, item: Heard, check: Check | None, limit: LimitResult | None, outcomes: tuple[str, ...] = ()
) -> None:
    """Record a reading or finding taken during proving as the close-out item it belongs to."""
    if draft.state.phase not in PROVING:
        _record_settled(draft, item, check, limit)
        return
    if outcomes and check is not None:
        _record_look(draft, item, check)
        return
    proof = _proof_for(draft, item, check)
    if proof is None or item.quantity is None or proof.reads:
        return  # what several readings prove together is worked out of them
    if limit is None and proof.limit is not None:
        limit = limit_for(draft.kb, proof.limit, plate_values(draft.state))
    bad = limit is not None and judge(limit, item.value, item.over_limit).ok is False
    unit = draft.kb.quantities[item.quantity].unit
    _record(draft, proof, "bad" if bad else "good", item.said, item.value, unit)


def _record_settled(draft: Draft, item: Heard, check: Check | None, limit: LimitResult | None) -> None:
    """A proof that failed is good after all where the better measurement says so."""
    if check is None or item.quantity is None or limit is None or judge(limit, item.value, item.over_limit).ok is False:
        return
    unit = draft.kb.quantities[item.quantity].unit
    for proof in draft.kb.close_out.values():
        if proof.settled_by == check.id and fails(draft.state, proof):
            _record(draft, proof, "good", item.said, item.value, unit)


def _record_look(draft: Draft, item: Heard, check: Check) -> None:
    """The asked item is good when all looks of one of its sets are good, bad as soon as one look is not."""
    asked = draft.state.asked
    if asked is None or asked.kind != "close_out":
        return
    proof = draft.kb.close_out[asked.id]
    wanted = next((looks for looks in (proof.good_when, proof.or_when) if check.id in looks), None)
    if wanted is None:
        return
    since = draft.state.repairs[-1].seq if draft.state.repairs else 0
    seen = {
        check_id: found.outcomes
        for check_id, found in draft.state.latest.items()
        if check_id in wanted and isinstance(found, e.FindingMade) and found.seq > since
    }
    if any(wanted[check_id] not in outcomes for check_id, outcomes in seen.items()):
        _record(draft, proof, "bad", item.said)
    elif len(seen) == len(wanted):
        _record(draft, proof, "good", item.said)


def _record(
    draft: Draft, proof: CloseOutItem, verdict: Verdict, words: str, value: float | None = None, unit: str | None = None
) -> None:
    draft.emit(e.ProofRecorded, item=proof.id, verdict=verdict, value=value, unit=unit, words=words)


def pass_over_unmeasurable(draft: Draft) -> None:
    """Record the proofs whose tool is not at hand as not done, with that reason: nobody is asked for them in vain."""
    state, kb = draft.state, draft.kb
    for proof in open_items(state, kb):
        checks = (*([proof.check] if proof.check else []), *proof.reads)
        missing = {tool for check in checks for tool in kb.checks[check].tools} & state.tools_missing
        if missing and proof.id not in state.proofs:
            names = ", ".join(sorted(kb.tools[tool].name for tool in missing))
            _record(draft, proof, "not done", sentence(kb, "tool_not_at_hand", names=names).screen)


def record_unable(draft: Draft, item_id: str, words: str) -> None:
    """Record a close-out item as not done in the technician's words."""
    _record(draft, draft.kb.close_out[item_id], "not done", words)


def answer_proof(draft: Draft, verdict: Verdict, words: str) -> None:
    """Record a bare yes, no or "can't" to the close-out item that was asked."""
    asked = draft.state.asked
    if asked is None:
        return
    _record(draft, draft.kb.close_out[asked.id], verdict, words)


def proves_by_step(draft: Draft, step: str, item: Heard) -> bool:
    """Record a reported step that answers the close-out item asked; True where it does."""
    asked = draft.state.asked
    if asked is None or asked.kind != "close_out":
        return False
    proof = draft.kb.close_out[asked.id]
    if step not in (proof.steps_undone if item.negated else proof.steps_done):
        return False
    if proof.id not in draft.state.proofs:
        _record(draft, proof, "good", item.said)
    return True


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

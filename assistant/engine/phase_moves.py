"""Moves the visit through its phases by the transition table; a refusal is said, not swallowed."""

from __future__ import annotations

from assistant.session import events as e
from assistant.session.phases import Refusal, next_phase

from .draft import Draft


def move(draft: Draft, trigger: str, *, quiet: bool = False) -> bool:
    """Try one transition; return True where the phase changed. A guard's refusal becomes a remark unless quiet."""
    result = next_phase(draft.state, trigger, draft.kb)
    if isinstance(result, Refusal):
        if not quiet:
            draft.remark("phase_refused", signal="notice", because=result.sentence)
        return False
    if result.value == draft.state.phase:
        return False
    draft.emit(e.PhaseEntered, phase=result.value)
    return True

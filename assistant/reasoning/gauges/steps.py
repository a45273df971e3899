"""Which reading or look comes first when a residual is wanted, and which residuals can be had at all."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from assistant.reasoning.evidence import Evidence
from assistant.reasoning.results import CheckNext
from knowledge.base import KnowledgeBase
from knowledge.models.check import Residual
from knowledge.models.signature import Device

from .derive import Derived, gates_of, shut_gate


def usable(
    kb: KnowledgeBase, check: str, stand: Sequence[Derived], latest: Mapping[str, Evidence], device: Device | None,
    possible: Callable[[str], bool],
) -> bool:  # fmt: skip
    """Return True where every gate may still open and every reading can be taken."""
    gates = gates_of(kb, check)
    for gate in gates:
        seen = latest.get(gate.check)
        if seen is not None and not set(seen.outcomes) & set(gate.outcomes) and not gate.opens_later:
            return False
    wanted = [gate.check for gate in gates]
    how = kb.checks[check].measure
    if isinstance(how, Residual):
        now = _stands(stand, check)
        if now.evidence is None and not now.missing and now.shut is None:
            return False  # all was read and it still says nothing: outside its table, or said by others already
        inputs = now.inputs
        if any(name in latest and latest[name].value is None for name in inputs):
            return False  # answered in words: "empty" is no number to work with
        wanted += inputs
        if how.by_device and device is None:
            wanted.append(kb.signatures.device_check)
    return all(name in latest or possible(name) for name in wanted)


def _stands(stand: Sequence[Derived], check: str) -> Derived:
    """Return how a residual stands."""
    return next(one for one in stand if one.check == check)


def first_step(
    kb: KnowledgeBase, step: CheckNext, stand: Sequence[Derived], latest: Mapping[str, Evidence], device: Device | None
) -> CheckNext:
    """Return what to ask for a wanted residual: a gate not seen yet, the metering device, a reading not taken yet.

    Where everything was read, the first reading is taken again. Any other check is returned as it is.
    """
    shut = shut_gate(kb, step.check, latest)
    if shut is not None:
        return replace(step, check=shut.check, because=shut.because, retake=shut.check in latest)
    how = kb.checks[step.check].measure
    if not isinstance(how, Residual):
        return step
    because = kb.signatures.says["for"].format(name=kb.checks[step.check].name, why=step.because)
    if how.by_device and device is None:
        return replace(step, check=kb.signatures.device_check, because=kb.signatures.says["no_device"], retake=False)
    needed = _stands(stand, step.check).inputs
    for name in needed:
        if name not in latest:
            return replace(step, check=name, because=because, retake=False)
    again = next((name for name in needed if latest[name].times < 2), needed[0])
    return replace(step, check=again, because=because, retake=True)

"""From raw gauge readings to evidence: what each residual comes to, or why it does not count yet."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import hypot

from assistant.physics.errors import OutsideValidity
from assistant.reasoning.evidence import Evidence, Repaired
from knowledge.base import KnowledgeBase
from knowledge.models.check import Gauge, Residual, Sense
from knowledge.models.signature import Device, Gate

from .targets import Compared, Readings, compare


@dataclass(frozen=True)
class Derived:
    """One residual of the current readings: evidence, or the reason why there is none."""

    check: str
    evidence: Evidence | None = None
    compared: Compared | None = None
    """Also where the gate is shut: the number is right, it only proves nothing yet."""
    because: str = ""
    shut: str | None = None
    """Look of a gate that was answered otherwise, or not yet."""
    inputs: tuple[str, ...] = ()
    """Gauge checks it is worked out of, as this unit has them."""
    missing: tuple[str, ...] = ()
    """Those still to be read."""


def residuals(kb: KnowledgeBase) -> dict[str, Residual]:
    """Return how each check is worked out that is worked out of gauge readings."""
    return {check.id: check.measure for check in kb.checks.values() if isinstance(check.measure, Residual)}


def refrigerant_of(kb: KnowledgeBase, words: Mapping[str, str]) -> str | None:
    """Return the refrigerant that the plate's words name; None where they name none that is known."""
    said = _plain(words.get("refrigerant", ""))
    if not said:
        return None
    for known in kb.refrigerants.values():
        if said in {_plain(known.name), *(_plain(phrase) for phrase in known.phrases)}:
            return known.id
    return None


def _plain(text: str) -> str:
    return re.sub(r"[^a-z0-9]", "", text.lower())


def device_of(kb: KnowledgeBase, latest: Mapping[str, Evidence]) -> Device | None:
    """Return the metering device as far as it was looked at."""
    seen = latest.get(kb.signatures.device_check)
    found = {kb.signatures.device_outcomes[name] for name in seen.outcomes} if seen else set()
    return found.pop() if len(found) == 1 else None


def derive(
    kb: KnowledgeBase, latest: Mapping[str, Evidence], plate: Mapping[str, float], words: Mapping[str, str],
    device: Device | None = None,
) -> tuple[Derived, ...]:  # fmt: skip
    """Return every residual of the readings since the last repair, those that count and those that do not."""
    values = {
        name: e.value
        for name, e in latest.items()
        if e.value is not None and isinstance(kb.checks[name].measure, Gauge | Sense)
    }
    refrigerant = refrigerant_of(kb, words)
    without_table = bool(words.get("refrigerant")) and refrigerant not in kb.saturation
    readings = Readings(kb, values, plate, refrigerant, device, without_table)
    listed = residuals(kb)
    found = {name: _derive(name, how, readings, latest) for name, how in listed.items()}
    for name, how in listed.items():
        if any(found[other].evidence for other in how.only_without):
            found[name] = replace(found[name], evidence=None)
    return tuple(found.values())


def _derive(check: str, how: Residual, readings: Readings, latest: Mapping[str, Evidence]) -> Derived:
    kb = readings.kb
    needed = _inputs(how, readings)
    missing = tuple(name for name in needed if name not in readings.values)
    if how.needs_table and readings.without_table:
        return Derived(check, inputs=needed)  # a saturation temperature off a chart is no help here
    if missing:
        charted = set(missing) & set(how.from_chart.values())
        return Derived(check, inputs=needed, missing=missing, because=kb.signatures.says["no_table"] if charted else "")
    if how.by_device and readings.device is None:
        no_device = kb.signatures.says["no_device"]
        return Derived(check, inputs=needed, missing=(kb.signatures.device_check,), because=no_device)
    try:
        compared = compare(how.of, readings)
    except OutsideValidity as err:
        return Derived(check, inputs=needed, because=str(err))
    shut = shut_gate(kb, check, latest)
    if shut is not None:
        return Derived(check, compared=compared, because=shut.because, shut=shut.check, inputs=needed)
    spread = kb.signatures.spreads[how.of]
    sources = [latest[name] for name in needed]
    evidence = Evidence(
        check,
        value=round(compared.measured - compared.target, 2),
        trust=min(e.trust for e in sources),
        proved=all(e.proved for e in sources),
        times=max(e.times for e in sources),
        spread=hypot(spread.assumed if compared.assumed else 0.0, compared.spread),
    )
    return Derived(check, evidence, compared, inputs=needed)


def gates_of(kb: KnowledgeBase, check: str) -> tuple[Gate, ...]:
    """Return what must be seen before a check means anything."""
    gate = getattr(kb.checks[check].measure, "gate", None)
    return kb.signatures.gates[gate] if gate is not None else ()


def shut_gate(kb: KnowledgeBase, check: str, latest: Mapping[str, Evidence]) -> Gate | None:
    """Return the first gate of a check that was not seen open; None where all are open."""
    for gate in gates_of(kb, check):
        seen = latest.get(gate.check)
        if seen is None or not set(seen.outcomes) <= set(gate.outcomes):
            return gate
    return None


def _inputs(how: Residual, readings: Readings) -> tuple[str, ...]:
    """Return the gauge checks that a residual needs on this unit; what an instrument or a chart showed saves others."""
    needed = how.inputs + (how.orifice_inputs if readings.device == "orifice" else ())
    for shown, saved in how.instead.items():
        if shown in readings.values:
            needed = (shown, *(name for name in needed if name not in saved))
    for pressure, charted in how.from_chart.items():
        only_charted = charted in readings.values and pressure not in readings.values
        if readings.without_table or only_charted:
            needed = tuple(charted if name == pressure else name for name in needed)
    return needed


def _passing(kb: KnowledgeBase, item: Evidence) -> Evidence:
    """Return evidence marked where all that its words leave possible passes by itself."""
    passing = {answer.outcome for answer in kb.checks[item.check].answers if answer.passes}
    return replace(item, passing=True) if item.outcomes and set(item.outcomes) <= passing else item


def derived_evidence(
    kb: KnowledgeBase, history: Sequence[Evidence | Repaired], plate: Mapping[str, float], words: Mapping[str, str]
) -> tuple[tuple[Evidence | Repaired, ...], tuple[Derived, ...], Mapping[str, Evidence], Device | None]:
    """Return the history with gauge readings turned into residuals, without looks behind a shut gate.

    Besides: how each residual of the current segment stands, the current raw readings and looks, and the metering
    device (a look of any time: no repair here changes its kind).
    """
    out: list[Evidence | Repaired] = []
    part: list[Evidence] = []
    latest: dict[str, Evidence] = {}
    device: Device | None = None
    stand: tuple[Derived, ...] = ()
    for item in (*history, None):
        if isinstance(item, Evidence):
            before = latest.get(item.check)
            latest[item.check] = replace(item, times=max(item.times, before.times + 1)) if before else item
            device = device_of(kb, latest) or device
            if not isinstance(kb.checks[item.check].measure, Gauge):
                part.append(_passing(kb, item))
            continue
        out += [seen for seen in part if shut_gate(kb, seen.check, latest) is None]
        stand = derive(kb, latest, plate, words, device)
        out += [one.evidence for one in stand if one.evidence is not None]
        if item is not None:
            out.append(item)
            part, latest = [], {}
    return tuple(out), stand, latest, device

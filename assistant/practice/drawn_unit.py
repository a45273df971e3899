"""A unit drawn for practice and for closed-loop tests: component values, thresholds and looks of its own.

The numbers here are the simulator's own (common practice, no source) and are kept apart from the model's settings on
purpose: the diagnosis must cope with units that are not its model.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from knowledge.base import KnowledgeBase
from knowledge.models.fault import Fault
from knowledge.models.reasoning import FactRule, Physics
from knowledge.models.unit import Element, UnitKind

SPREAD = 0.08
THREE_PHASES = (1, 2, 3)
HIGH_WYE_V = 200.0
"""To neutral: 120 V make 208 V between the legs, 277 V make 480 V."""
HERM_SIZES, FAN_SIZES = (30.0, 35.0, 40.0, 45.0, 55.0), (3.0, 5.0, 7.5)


def drawn_unit(kind: UnitKind, rng: np.random.Generator) -> tuple[UnitKind, dict[str, float]]:
    """Return a unit like ``kind`` with drawn components and the plate that goes with it."""
    herm, fan = float(rng.choice(HERM_SIZES)), float(rng.choice(FAN_SIZES))
    size = herm / 45.0 * float(rng.uniform(0.9, 1.1))
    motor = fan / 5.0 * float(rng.uniform(0.9, 1.1))
    supply = float(rng.uniform(0.97, 1.03))
    elements = tuple(_drawn(e, rng, {"compressor": size, "fan": motor}, (herm, fan), supply) for e in kind.elements)
    plate = {
        "cap_herm_uf": herm, "cap_fan_uf": fan, "rla": round(kind.bases.get("rla", 14.5) * size, 1),
        "lra": round(kind.bases.get("lra", 80) * size, 0), "fan_fla": round(kind.bases.get("fan_fla", 1.1) * motor, 2),
        "rated_voltage": _rated(kind),
    }  # fmt: skip
    if all(element.id != "cap_herm" for element in kind.elements):
        del plate["cap_herm_uf"]
    return kind.model_copy(update={"elements": elements}), plate


def _rated(kind: UnitKind) -> float:
    """Return the voltage on the plate in V: 230 on one phase, 208 or 460 on three."""
    sources = [element.values["volts"] for element in kind.elements if element.kind == "source"]
    if len(sources) < len(THREE_PHASES):
        return 230.0
    return 460.0 if max(sources) > HIGH_WYE_V else 208.0


def _drawn(
    e: Element, rng: np.random.Generator, sizes: dict[str, float], caps: tuple[float, float], supply: float
) -> Element:
    size = sizes.get(e.motor or "", 1.0)
    v = _drawn_motor(dict(e.values), rng, size)
    if "start_share" in v:
        v["start_share"] = float(rng.uniform(0.35, 0.65) if e.motor == "compressor" else rng.uniform(0.2, 0.45))
    if "pull_in_v" in v:
        v["pull_in_v"] = float(rng.uniform(15.5, 19.0))
    if e.kind == "source":
        v["volts"] *= supply
    if e.kind == "transformer":
        v["secondary_v"] *= float(rng.uniform(0.96, 1.05))
    if "opens_a" in v:
        v["opens_a"] *= float(rng.uniform(1.0, 1.2)) * (sizes["compressor"] if v["rated_a"] > 10 else 1.0)
    if e.kind == "capacitor":
        v["uf"] = caps[0 if e.id == "cap_herm" else 1] * float(rng.uniform(0.96, 1.04))
    return e.model_copy(update={"values": v})


def _drawn_motor(v: dict[str, float], rng: np.random.Generator, size: float) -> dict[str, float]:
    """Return windings and coils of a motor ``size`` times the usual one, each value with its own spread."""
    power = {"rla_a": size, "lra_a": size, "run_a": size, "locked_ohm": 1 / size, "run_ohm": 1 / size, "turns": 1.0}
    for name, factor in {**power, "va_sealed": 1.0, "ohm_dc": float(rng.uniform(0.75, 1.35)) / size}.items():
        if name in v:
            v[name] *= factor * (1.0 if name == "rla_a" else float(np.exp(rng.normal() * SPREAD)))
    return v


@dataclass(frozen=True)
class Ways:
    """How this unit behaves and shows itself, where the model has settled for one number."""

    physics: Physics
    facts: dict[str, FactRule]
    faults: dict[str, Fault]


def drawn_ways(kb: KnowledgeBase, rng: np.random.Generator) -> Ways:
    """Return thresholds and looks of one unit, none of them the model's own."""
    physics = kb.reasoning.physics.model_copy(
        update={
            "energised_share": rng.uniform(0.45, 0.65), "hum_share": rng.uniform(0.1, 0.25),
            "slow_share": rng.uniform(0.45, 0.7), "slow_sure": rng.uniform(0.5, 0.85),
            "leak_ohm": 10 ** rng.uniform(8, 9.5), "open_ohm": 10 ** rng.uniform(8.5, 9.5),
        }
    )  # fmt: skip
    sure = {"heard": (0.6, 1.0), "sure": (0.75, 0.98)}
    facts = {
        name: rule.model_copy(update={k: rng.uniform(*ends) for k, ends in sure.items() if hasattr(rule, k)})
        for name, rule in kb.reasoning.facts.items()
    }
    faults = {name: _drawn_shows(fault, rng) for name, fault in kb.faults.items()}
    return Ways(physics, facts, faults)


def _drawn_shows(fault: Fault, rng: np.random.Generator) -> Fault:
    """Return a fault that shows itself more or less clearly than the model has it: odds up to doubled or halved."""
    shows = {}
    for check, shares in fault.shows.items():
        odds = {name: share * float(np.exp(rng.uniform(-0.7, 0.7))) for name, share in shares.items()}
        shows[check] = {name: value / sum(odds.values()) for name, value in odds.items()}
    return fault.model_copy(update={"shows": shows})

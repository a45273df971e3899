"""How well gauges and thermometers alone tell the faults apart, on units that are not the model of the table.

The truth has its own constants, refrigerant, weather, degree of the fault, and reading errors, drawn at random; it goes
through the whole diagnosis as a technician's readings would. It is still a simulation: field accuracy is lower.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
import psychrolib

from assistant.physics.refrigerant import Curve, SaturationTable, saturation_psia
from assistant.reasoning.case import Case
from assistant.reasoning.diagnosis import Diagnosis, Evidence
from assistant.reasoning.gauges.fit import SOUND, Fit, fit_of
from assistant.reasoning.tables import Tables, compile_tables
from knowledge import load
from knowledge.base import KnowledgeBase

from .model import Design, Faults, Shown, System, Weather
from .table import DEGREES, DEVICES, STATIC, Device

CASES = 20
"""Per fault and device."""
CONFIDENT, TELLS = 0.8, 0.5
SETTLED = {
    "look_fan": "turning", "hear_compressor": "running", "look_blower": "running", "look_filter": "clean",
    "look_indoor_coil": "clean", "ask_steady": "steady", "ask_thermostat": "calling",
}  # fmt: skip
IDS = {"R410A": "r_410a", "R22": "r_22"}
PARTING = (
    "dt_drier", "dt_liquid", "bulb_test", "look_bulb", "look_lines", "look_service_valves", "look_condenser",
    "look_condenser_air", "dt_reversing", "pump_down", "look_airflow", "find_leak",
)  # fmt: skip
"""Tests and looks that part what gauges cannot; with the standing pressure, what the program itself asks for next."""
HEALTHY = "healthy"
PLATE = {"rla": 14.5}
AMPS = 11.9
"""Of a sound unit with that plate at the rating point, near what the wiring model gives."""


@dataclass(frozen=True)
class Outcome:
    """What the diagnosis made of one drawn unit."""

    truth: str
    said: str
    probability: float
    """Of what it said, among all signatures."""
    fit: Fit | None = None
    """What the gauges by themselves fit."""


def drawn_system(device: Device, rng: np.random.Generator) -> System:
    """Return a sound unit with constants of its own."""
    name = str(rng.choice(list(IDS)))
    swept = {"R410A": 1.85e-3, "R22": 2.75e-3}[name]
    f = lambda spread: float(np.exp(rng.normal() * spread))  # noqa: E731
    base = Design(refrigerant=name, device=device, swept=swept * f(0.05))
    return System(
        replace(
            base,
            ua_evap=base.ua_evap * f(0.1), ua_cond=base.ua_cond * f(0.1), ua_vapour=base.ua_vapour * f(0.2),
            ua_liquid=base.ua_liquid * f(0.2), isentropic=float(rng.uniform(0.62, 0.75)),
            clearance=base.clearance * f(0.2),
            air_evap=base.air_evap * f(0.06), air_cond=base.air_cond * f(0.1), volume_cond=base.volume_cond * f(0.1),
            volume_evap=base.volume_evap * f(0.1), superheat=float(rng.uniform(4.0, 7.0)),
            txv_reserve=float(rng.uniform(1.2, 1.6)), design_superheat=float(rng.uniform(4.5, 8.5)),
            design_subcooling=float(rng.uniform(4.5, 6.7)), air_exponent=float(rng.uniform(0.45, 0.65)),
        )
    )  # fmt: skip


def between(fault: str, rng: np.random.Generator) -> Faults:
    """Return a fault of a degree anywhere between slight and severe."""
    slight, _, severe = DEGREES[fault]
    share = float(rng.uniform(0.1, 1.0))
    return Faults(**{n: getattr(slight, n) * (1 - share) + getattr(severe, n) * share for n in vars(slight)})


def drawn_readings(
    kb: KnowledgeBase, system: System, weather: Weather, shown: Shown, rng: np.random.Generator
) -> dict[str, float]:
    """Return what is written down: gauges within a few psi, thermometers within a degree or two."""
    found = kb.saturation[IDS[system.design.refrigerant]]
    table = SaturationTable(found.id, found.first_f, found.step_f, found.bubble_psia, found.dew_psia)
    fahrenheit = lambda kelvin: kelvin * 1.8 - 459.67  # noqa: E731
    air = 14.696 * weather.density
    psychrolib.SetUnitSystem(psychrolib.IP)
    wet = psychrolib.GetTWetBulbFromRelHum(fahrenheit(weather.indoor), weather.humidity, air)
    noise = lambda spread: float(rng.normal() * spread)  # noqa: E731
    low = saturation_psia(table, Curve.DEW, max(shown.suction, found.first_f + 1)) - air
    high = saturation_psia(table, Curve.BUBBLE, min(shown.condensing, 150.0)) - air
    return {
        "g_suction": round(low + noise(1.5), 0), "g_liquid": round(high + noise(4), 0),
        "g_suction_line": round(shown.suction + shown.superheat + noise(1.2), 0),
        "g_liquid_line": round(shown.condensing - shown.subcooling + noise(1.2), 0),
        "g_discharge_line": round(shown.discharge - 6 + noise(5), 0),
        "t_outdoor": round(fahrenheit(weather.outdoor) + noise(1), 0),
        "t_return": round(fahrenheit(weather.indoor) + noise(0.7), 0), "t_wet_bulb": round(wet + noise(0.7), 0),
        "a_compressor": round(AMPS * shown.amps * (1 + noise(0.08)), 1),
        "t_supply": round(fahrenheit(weather.indoor) - shown.split + noise(0.8), 0),
    }  # fmt: skip


def judged(
    tables: Tables,
    readings: dict[str, float],
    device: Device,
    refrigerant: str,
    plate: Mapping[str, float] | None = None,
) -> tuple[str, float]:
    """Return the likeliest signature and its probability among all of them and a sound unit."""
    return _likeliest(tables, _diagnosed(tables, readings, device, refrigerant, plate))


def plate_of(system: System) -> dict[str, float]:
    """Return what the plate says of the charge: with an expansion valve its subcooling, in degrees F."""
    if system.design.device == "txv":
        return {"target_subcooling": float(round(system.design.design_subcooling * 1.8))}
    return {}


def parted(kb: KnowledgeBase, truth: str, device: Device, rng: np.random.Generator) -> list[Evidence]:
    """Return what the parting tests find on one unit, wrong as often as the knowledge says of its faults."""
    faults = [fault for fault in kb.faults.values() if fault.signature == truth]
    weight = np.array([fault.prior for fault in faults], dtype=float)
    shows = faults[int(rng.choice(len(faults), p=weight / weight.sum()))].shows if faults else {}
    found = []
    for check in PARTING:
        if device == "orifice" and check in {"bulb_test", "look_bulb"}:
            continue
        chances = shows.get(check) or getattr(kb.checks[check].measure, "normally", {})
        outcome = str(rng.choice(list(chances), p=list(chances.values())))
        found.append(Evidence(check, outcomes=(outcome,)))
    return found


def standing(kb: KnowledgeBase, refrigerant: str, truth: str, weather: Weather, rng: np.random.Generator) -> float:
    """Return the pressure in psig at standstill: over saturation by what air in it adds."""
    found = kb.saturation[refrigerant]
    table = SaturationTable(found.id, found.first_f, found.step_f, found.bubble_psia, found.dew_psia)
    over = STATIC[truth][1] if truth in STATIC else 0.0
    warm = weather.outdoor * 1.8 - 459.67 + over + float(rng.normal() * 0.8)
    return saturation_psia(table, Curve.BUBBLE, warm) - 14.696 * weather.density


def _diagnosed(
    tables: Tables, readings: dict[str, float], device: Device, refrigerant: str, plate: Mapping[str, float] | None,
    tests: Sequence[Evidence] = (),
) -> Case:  # fmt: skip
    history = [Evidence(check, outcomes=(outcome,)) for check, outcome in SETTLED.items()]
    history.append(Evidence("look_metering", outcomes=(device,)))
    history += [Evidence(check, value) for check, value in readings.items()]
    history += tests
    return Diagnosis(tables, history, plate=PLATE | dict(plate or {}), words={"refrigerant": refrigerant}).case


def _likeliest(tables: Tables, case: Case) -> tuple[str, float]:
    mass: Counter[str] = Counter()
    for row, p in zip(tables.rows, case.probability, strict=True):
        named = {tables.kb.faults[name].signature for name in row.faults} - {None}
        for signature in named or {HEALTHY}:
            mass[signature or HEALTHY] += float(p) / max(len(named), 1)
    said, weight = mass.most_common(1)[0]
    return said, weight / sum(mass.values())


def outcomes(
    tables: Tables, device: Device, cases: int = CASES, seed: int = 7, *, with_tests: bool = False
) -> list[Outcome]:
    """Return what comes of ``cases`` drawn units per fault and as many sound ones, by gauges alone or with tests."""
    drawn = np.random.default_rng(seed + 1)  # of the tests, so that the units stay the same
    rng = np.random.default_rng(seed)
    out = []
    for truth in [*DEGREES, HEALTHY]:
        done = 0
        while done < cases:
            system = drawn_system(device, rng)
            weather = Weather(float(rng.uniform(298, 312)), float(rng.uniform(296, 301)), float(rng.uniform(0.4, 0.65)))
            shown = system.run(weather, Faults() if truth == HEALTHY else between(truth, rng))
            if shown is None:
                continue
            readings = drawn_readings(tables.kb, system, weather, shown, rng)
            refrigerant = IDS[system.design.refrigerant].replace("_", "-")
            tests: list[Evidence] = []
            if with_tests:
                still = standing(tables.kb, IDS[system.design.refrigerant], truth, weather, drawn)
                tests = [
                    Evidence("ask_equalised", outcomes=("equal",)),
                    Evidence("p_standing", round(still, 0), outcomes=("present",)),
                ]
                tests += parted(tables.kb, truth, device, drawn)
            case = _diagnosed(tables, readings, device, refrigerant, plate_of(system), tests)
            out.append(Outcome(truth, *_likeliest(tables, case), fit_of(tables.kb, case.gauges, device)))
            done += 1
    return out


SAME = (frozenset({"liquid_restriction", "metering_starves"}), frozenset({"low_outdoor_air", "recirculated_air"}))
"""What gauges cannot part and a look does: the drop over the drier, the coil and its surroundings."""


def alike(one: str, other: str) -> bool:
    """Return True where two signatures are the same, or such that only a look tells them apart."""
    return one == other or any({one, other} <= group for group in SAME)


def report() -> str:
    """Return accuracy, share of confident errors and of "cannot tell", per device and fault."""
    tables = compile_tables(load(), "split_psc_240")
    lines = []
    for device in DEVICES:
        found = outcomes(tables, device)
        faulty = [one for one in found if one.truth != HEALTHY]
        top = np.mean([one.said == one.truth for one in faulty])
        group = np.mean([alike(one.said, one.truth) for one in faulty])
        sure = [one for one in found if one.probability >= CONFIDENT and not alike(one.said, one.truth)]
        wrong = len([one for one in sure if one.said != HEALTHY]) / len(found)
        missed = np.mean([one.said == HEALTHY for one in faulty])
        open_ = np.mean([one.probability < TELLS for one in found])
        alarm = np.mean([one.said != HEALTHY for one in found if one.truth == HEALTHY])
        lines.append(
            f"{device}: first of {len(DEGREES)} right {top:.2f}, with look-alikes as one {group:.2f}; "
            f"a wrong fault for sure {wrong:.3f}; missed {missed:.2f}; cannot tell {open_:.2f}; "
            f"false alarms on sound units {alarm:.2f}"
        )
        lines.append("    gauges alone: " + fits(found))
        tested = [one for one in outcomes(tables, device, with_tests=True) if one.truth != HEALTHY]
        right = np.mean([one.said == one.truth for one in tested])
        missed = np.mean([one.said == HEALTHY for one in tested])
        lines.append(f"    with the tests that part them: first right {right:.2f}; missed {missed:.2f}")
        for truth in [*DEGREES, HEALTHY]:
            said = Counter(one.said for one in found if one.truth == truth)
            lines.append(f"    {truth:20} " + ", ".join(f"{name} {count}" for name, count in said.most_common(4)))
    return "\n".join(lines)


def fits(found: Sequence[Outcome]) -> str:
    """Return how often gauges alone name a fault: right, wrong, and left open inside the band."""
    named = [one for one in found if one.fit is not None and one.fit.verdict == "fault"]
    right = sum(alike(one.fit.names[0], one.truth) for one in named if one.fit is not None)
    faulty = [one for one in found if one.truth != HEALTHY and one.fit is not None]
    told = [one for one in faulty if one.fit is not None and any(alike(name, one.truth) for name in one.fit.names)]
    open_ = [one for one in found if one.fit is None or one.fit.verdict in {"cannot_tell", "none_fit"}]
    sound = [one for one in faulty if one.fit is not None and one.fit.names == (SOUND,)]
    return (
        f"one fault named {len(named) / len(found):.2f}, of these right {right / max(len(named), 1):.2f}; "
        f"the fault among what fits {len(told) / len(faulty):.2f}; cannot tell {len(open_) / len(found):.2f}; "
        f"called sound {len(sound) / len(faulty):.2f}"
    )

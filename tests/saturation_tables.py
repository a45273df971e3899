"""The saturation tables and compression exponents: ``python -m tests.saturation_tables [--write]``.

Both are made from equations of state.

Without ``--write`` the shipped tables are compared with the equations: every node, and every whole degree between
the nodes, both ways. Exit status 1 where a node differs or the interpolation is off by more than its promise.

Needs CoolProp (a development dependency). Substances and pseudo-pure blends are asked by their own name; other
blends as mixtures of the composition in ``refrigerants.yaml``. The mixture solver fails at isolated temperatures:
such a node is read between the nearest whole degrees that work (ln p cubic in 1/T) and is listed in ``filled_f``;
above the last temperature that works the table ends.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable
from math import exp, log
from typing import Any, NamedTuple

from assistant.physics.refrigerant import Curve, SaturationTable, saturation_psia, saturation_temperature_f
from assistant.physics.units import KPA_PER_PSI, celsius_from_fahrenheit
from knowledge.base import DATA, KnowledgeBase, load
from knowledge.models.refrigerant import Refrigerant, Saturation
from tests.compression import EFFICIENCY, compression

FILE = DATA / "refrigerants" / "saturation.yaml"
FIRST_F, LAST_F, STEP_F = -60, 160, 5
ACROSS_F = 12
"""A gap of the solver is filled from whole degrees not farther away than this."""
PROMISE_F = 0.03
"""Largest error of the interpolation that ``saturation_psia`` promises."""
QUALITY = {Curve.BUBBLE: 0, Curve.DEW: 1}
BY_NAME = {
    "R-22": ("R22", "coolprop"),
    "R-32": ("R32", "coolprop"),
    "R-134a": ("R134a", "coolprop"),
    "R-290": ("n-Propane", "coolprop"),
    "R-410A": ("R410A", "lemmon_2003"),
    "R-407C": ("R407C", "lemmon_2003"),
    "R-404A": ("R404A", "lemmon_2003"),
    "R-507A": ("R507A", "lemmon_2003"),
}
"""Refrigerants with an equation of their own, and its source."""
COMPONENTS = {"R-600a": "IsoButane", "R-600": "n-Butane", "R-1234ze(E)": "R1234ze(E)"}

Pressure = Callable[[Curve, float], float | None]
"""psia at a temperature in degrees F; None where the solver fails."""


class Made(NamedTuple):
    bubble_psia: tuple[float, ...]
    dew_psia: tuple[float, ...]
    filled_f: tuple[int, ...]


def equation(refrigerant: Refrigerant) -> Pressure:
    """Return the saturation pressure of a refrigerant by its equation of state."""
    import CoolProp  # two seconds to import, and only wanted here

    state: Any
    if refrigerant.name in BY_NAME:
        state = CoolProp.AbstractState("HEOS", BY_NAME[refrigerant.name][0])
    else:
        names = [COMPONENTS.get(part, part.replace("-", "")) for part in refrigerant.mass_pct]
        state = CoolProp.AbstractState("HEOS", "&".join(names))
        state.set_mass_fractions([share / 100 for share in refrigerant.mass_pct.values()])

    def pressure_psia(curve: Curve, temp_f: float) -> float | None:
        try:
            state.update(CoolProp.QT_INPUTS, QUALITY[curve], celsius_from_fahrenheit(temp_f) + 273.15)
        except ValueError:  # the solver's way of saying that it found nothing
            return None
        return float(state.p()) / 1000 / KPA_PER_PSI

    return pressure_psia


def make(refrigerant: Refrigerant) -> Made:
    """Return both curves of a refrigerant at the nodes, to five significant digits."""
    ask = equation(refrigerant)
    curves: dict[Curve, list[float]] = {curve: [] for curve in Curve}
    filled: set[int] = set()
    for temp_f in range(FIRST_F, LAST_F + 1, STEP_F):
        row: list[float] = []
        for curve in Curve:
            pressure = ask(curve, temp_f)
            if pressure is None:
                pressure = _between(ask, curve, temp_f)
                filled.add(temp_f)
            if pressure is not None:
                row.append(pressure)
        if len(row) < len(Curve):
            filled.discard(temp_f)
            break
        for curve, pressure in zip(Curve, row, strict=True):
            curves[curve].append(float(f"{pressure:.5g}"))
    return Made(tuple(curves[Curve.BUBBLE]), tuple(curves[Curve.DEW]), tuple(sorted(filled)))


def _between(ask: Pressure, curve: Curve, temp_f: int) -> float | None:
    """The pressure read between the two nearest working whole degrees on each side; None at the end."""
    points: list[tuple[float, float]] = []
    for side in (-1, 1):
        near = [(temp_f + side * away, ask(curve, temp_f + side * away)) for away in range(1, ACROSS_F)]
        points += [(1 / (at + 459.67), log(p)) for at, p in near if p is not None][:2]
    if len(points) < 4:
        return None
    x = 1 / (temp_f + 459.67)
    total = 0.0
    for i, (xi, yi) in enumerate(points):
        weight = 1.0
        for j, (xj, _) in enumerate(points):
            weight *= (x - xj) / (xi - xj) if i != j else 1.0
        total += weight * yi
    return exp(total)


def table_of(refrigerant: Refrigerant, saturation: Saturation) -> SaturationTable:
    """Return the shipped table as the physics takes it."""
    return SaturationTable(
        refrigerant.name, saturation.first_f, saturation.step_f, saturation.bubble_psia, saturation.dew_psia
    )


def worst_error_f(table: SaturationTable, ask: Pressure) -> float:
    """Return the largest error of the shipped table in degrees F, over whole degrees where the solver works."""
    worst = 0.0
    for curve in Curve:
        for temp_f in range(round(table.first_f), round(table.last_f) + 1):
            pressure = ask(curve, temp_f)
            if pressure is None:
                continue
            near = min(max(pressure, table.pressures_psia(curve)[0]), table.pressures_psia(curve)[-1])
            worst = max(worst, abs(saturation_temperature_f(table, curve, near) - temp_f))
            slope = (saturation_psia(table, curve, temp_f) / pressure - 1) / 0.017  # 1.7 % of pressure to a degree
            worst = max(worst, abs(slope))
    return worst


def differences(kb: KnowledgeBase, refrigerants: Iterable[Refrigerant]) -> list[str]:
    """Return what of the shipped tables of these refrigerants is not as it is made now."""
    found: list[str] = []
    for refrigerant in refrigerants:
        shipped, made = kb.saturation[refrigerant.id], make(refrigerant)
        for curve, now in (("bubble", made.bubble_psia), ("dew", made.dew_psia)):
            before = shipped.bubble_psia if curve == "bubble" else shipped.dew_psia
            if len(now) != len(before):
                found.append(f"{refrigerant.name} {curve}: {len(before)} nodes shipped, {len(now)} made")
                continue
            found += [
                f"{refrigerant.name} {curve} at {FIRST_F + STEP_F * node} °F: {old} shipped, {new} made"
                for node, (old, new) in enumerate(zip(before, now, strict=True))
                if abs(old / new - 1) > 2e-5
            ]
    return found


def fluid_name(refrigerant: Refrigerant) -> str:
    """Return what CoolProp calls a refrigerant: its own name, or the mixture of its composition in moles."""
    import CoolProp

    if refrigerant.name in BY_NAME:
        return BY_NAME[refrigerant.name][0]
    names = [COMPONENTS.get(part, part.replace("-", "")) for part in refrigerant.mass_pct]
    state = CoolProp.AbstractState("HEOS", "&".join(names))
    state.set_mass_fractions([share / 100 for share in refrigerant.mass_pct.values()])
    shares = zip(names, state.get_mole_fractions(), strict=True)
    return "&".join(f"{name}[{share:.6f}]" for name, share in shares)


def text(refrigerants: Iterable[Refrigerant]) -> str:
    """Return the file of tables, made anew."""
    import CoolProp

    lines = [
        "# Generated by `python -m tests.saturation_tables --write`; do not edit.",
        f"# Made with CoolProp {CoolProp.__version__}.",
        f"# psia from first_f in steps of step_f degrees F. Read as ln p linear in 1/T: within {PROMISE_F} °F.",
        f"# compression_exponent: m of T2 = T1 (p2 / p1)^m at {EFFICIENCY:.0%} isentropic efficiency: compression.py",
        "saturation:",
    ]
    for refrigerant in refrigerants:
        made, squeezed = make(refrigerant), compression(refrigerant, fluid_name(refrigerant))
        source = BY_NAME.get(refrigerant.name, ("", "coolprop"))[1]
        lines += [
            f"  - id: {refrigerant.id}",
            f"    first_f: {FIRST_F}",
            f"    step_f: {STEP_F}",
            f"    compression_exponent: {squeezed.exponent:g}",
            f"    compression_within_f: {squeezed.within_f:g}",
            *_wrapped("bubble_psia", made.bubble_psia),
            *_wrapped("dew_psia", made.dew_psia),
            *(_wrapped("filled_f", made.filled_f) if made.filled_f else ()),
            f"    source: {source}",
        ]
    return "\n".join(lines) + "\n"


def _wrapped(key: str, values: Iterable[float]) -> list[str]:
    listed = [f"{value:g}" for value in values]
    rows = [", ".join(listed[at : at + 15]) for at in range(0, len(listed), 15)]
    return [f"    {key}: [{rows[0]}" + ("," if len(rows) > 1 else "]")] + [
        f"      {row}" + ("," if at < len(rows) - 2 else "]") for at, row in enumerate(rows[1:])
    ]


def main() -> int:
    if "--write" in sys.argv:
        from knowledge.models.refrigerant import RefrigerantFile
        from knowledge.reader import read_model

        known = read_model(DATA / "refrigerants" / "refrigerants.yaml", RefrigerantFile).refrigerants
        FILE.write_text(text(r for r in known if not r.no_table), encoding="utf-8")
        return 0
    kb = load()
    with_table = [r for r in kb.refrigerants.values() if r.id in kb.saturation]
    wrong = differences(kb, with_table)
    for refrigerant in with_table:
        worst = worst_error_f(table_of(refrigerant, kb.saturation[refrigerant.id]), equation(refrigerant))
        print(f"{refrigerant.name:8} worst error between nodes {worst:.4f} °F")
        if worst > PROMISE_F:
            wrong.append(f"{refrigerant.name}: off by {worst:.4f} °F, promised {PROMISE_F}")
    print("\n".join(wrong) or "all nodes as shipped")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())

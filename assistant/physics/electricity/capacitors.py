"""Capacitors: capacitance from running amps and volts, tolerance, combinations, stored charge, discharge.

Volts and amps are r.m.s. unless a name says ``crest``.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import inf, log, pi, sqrt

from assistant.physics.errors import OutsideValidity, above, within

_UF_PER_F = 1e6


def capacitance_uf(current_a: float, voltage_v: float, frequency_hz: float) -> float:
    """Return the capacitance in µF that draws ``current_a`` at ``voltage_v``: C = I / (2 pi f V).

    I is the current in the lead to the capacitor, V the voltage across that capacitor section, both running.
    Valid for sinusoidal quantities, I >= 0, V > 0, f > 0; losses neglected. Source: reactance.
    """
    within("current", current_a, 0, inf, "A")
    above("voltage", voltage_v, 0, "V")
    above("frequency", frequency_hz, 0, "Hz")
    return _UF_PER_F * current_a / (2 * pi * frequency_hz * voltage_v)


def capacitance_band_uf(
    current_a: float, voltage_v: float, frequency_hz: float, current_error_pct: float, voltage_error_pct: float
) -> tuple[float, float]:
    """Return the least and most capacitance in µF that two meters with these errors leave possible.

    The errors are the worst case in percent of reading: C (1 - uI) / (1 + uV) to C (1 + uI) / (1 - uV).
    Validity of ``capacitance_uf``; each error 0 to 10 %. Source: derived.
    """
    middle_uf = capacitance_uf(current_a, voltage_v, frequency_hz)
    amps = within("ammeter error", current_error_pct, 0, 10, "%") / 100
    volts = within("voltmeter error", voltage_error_pct, 0, 10, "%") / 100
    return middle_uf * (1 - amps) / (1 + volts), middle_uf * (1 + amps) / (1 - volts)


def capacitor_current_a(capacitance_uf: float, voltage_v: float, frequency_hz: float) -> float:
    """Return the current in A through a good capacitor: I = 2 pi f C V.

    Valid for sinusoidal voltage, C >= 0, V >= 0, f > 0. Source: reactance.
    """
    within("capacitance", capacitance_uf, 0, inf, "µF")
    within("voltage", voltage_v, 0, inf, "V")
    above("frequency", frequency_hz, 0, "Hz")
    return 2 * pi * frequency_hz * capacitance_uf / _UF_PER_F * voltage_v


def worst_case_uncertainty_pct(*parts_pct: float) -> float:
    """Return the worst-case uncertainty in percent of a product or quotient: the parts added up.

    First order, so each part must be small: 0 to 10 %. Source: derived.
    """
    return sum(within("uncertainty", part, 0, 10, "%") for part in parts_pct)


def capacitance_bounds_uf(marked_uf: float, tolerance_pct: float) -> tuple[float, float]:
    """Return the lowest and highest capacitance in µF that the marking allows: C (1 -/+ t/100).

    Valid for C > 0, 0 <= t < 100 %, a symmetric tolerance. Source: iec_60252_1.
    """
    above("marked capacitance", marked_uf, 0, "µF")
    within("tolerance", tolerance_pct, 0, 99.9, "%")
    return marked_uf * (1 - tolerance_pct / 100), marked_uf * (1 + tolerance_pct / 100)


def parallel_uf(*sections_uf: float) -> float:
    """Return the capacitance in µF of sections in parallel: the sum. Each > 0. Source: reactance."""
    return sum(above("capacitance", section, 0, "µF") for section in sections_uf)


def parallel_tolerance_pct(sections_uf: Sequence[float], tolerances_pct: Sequence[float]) -> float:
    """Return the worst-case tolerance in percent of sections in parallel: sum(C t) / sum(C).

    Never worse than the worst section. As many tolerances as sections, at least one; C > 0, t 0 to 99.9 %.
    Source: derived.
    """
    if not sections_uf or len(sections_uf) != len(tolerances_pct):
        counts = f"{len(sections_uf)} sections and {len(tolerances_pct)} tolerances"
        raise OutsideValidity(f"{counts}: must be equally many and at least 1")
    pairs = zip(sections_uf, tolerances_pct, strict=True)
    return sum(c * within("tolerance", t, 0, 99.9, "%") for c, t in pairs) / parallel_uf(*sections_uf)


def series_uf(*sections_uf: float) -> float:
    """Return the capacitance in µF of sections in series: 1 / sum(1/C).

    HERM to FAN of a dual capacitor reads this. Each > 0, at least one. Source: reactance.
    """
    if not sections_uf:
        raise OutsideValidity("no section given: series capacitance needs at least 1")
    return 1 / sum(1 / above("capacitance", section, 0, "µF") for section in sections_uf)


def crest_v(voltage_v: float) -> float:
    """Return the crest of a sinusoidal voltage, sqrt(2) V, in V. V >= 0. Source: derived."""
    return sqrt(2) * within("voltage", voltage_v, 0, inf, "V")


def stored_energy_j(capacitance_uf: float, voltage_v: float) -> float:
    """Return the most energy in J a capacitor can hold: C Vpk^2 / 2, Vpk the crest of ``voltage_v``.

    Worst case: opened at the crest. C >= 0, V >= 0. Source: derived.
    """
    within("capacitance", capacitance_uf, 0, inf, "µF")
    return capacitance_uf / _UF_PER_F * crest_v(voltage_v) ** 2 / 2


def discharge_time_s(capacitance_uf: float, resistor_ohm: float, voltage_v: float, target_v: float) -> float:
    """Return the seconds until the voltage has fallen to ``target_v`` (DC): t = R C ln(Vpk / Vt).

    Starts from the crest of ``voltage_v`` (r.m.s.), the worst case. C > 0, R > 0, V > 0, target > 0; 0 s
    where the crest is already below the target. Dielectric absorption (re-charging afterwards) is not in it.
    Source: derived.
    """
    above("capacitance", capacitance_uf, 0, "µF")
    above("resistor", resistor_ohm, 0, "Ω")
    above("voltage", voltage_v, 0, "V")
    above("target", target_v, 0, "V")
    return max(0.0, resistor_ohm * capacitance_uf / _UF_PER_F * log(crest_v(voltage_v) / target_v))


def largest_discharge_resistor_ohm(capacitance_uf: float, voltage_v: float, target_v: float, time_s: float) -> float:
    """Return the largest resistor in ohm that takes the crest of ``voltage_v`` to ``target_v`` in ``time_s``.

    The inverse of ``discharge_time_s``; needs a crest above the target. Source: derived.
    """
    above("time", time_s, 0, "s")
    per_ohm_s = discharge_time_s(capacitance_uf, 1.0, voltage_v, target_v)
    if per_ohm_s == 0:
        raise OutsideValidity(f"target {target_v:g} V: must be below the crest of {crest_v(voltage_v):g} V")
    return time_s / per_ohm_s


def resistor_peak_power_w(voltage_v: float, resistor_ohm: float) -> float:
    """Return the power in W as a discharge begins: Vpk^2 / R. V >= 0, R > 0. Source: derived."""
    return crest_v(voltage_v) ** 2 / above("resistor", resistor_ohm, 0, "Ω")


def resistor_peak_current_a(voltage_v: float, resistor_ohm: float) -> float:
    """Return the current in A as a discharge begins: Vpk / R. V >= 0, R > 0. Source: derived."""
    return crest_v(voltage_v) / above("resistor", resistor_ohm, 0, "Ω")

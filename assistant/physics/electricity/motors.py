"""Motors against their plate: locked-rotor current, circuit ampacity, largest fuse, insulation.

The percentages of the code are arguments; they live in the knowledge, with the edition they belong to.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import inf

from assistant.physics.errors import OutsideValidity, above, within


def scaled_locked_rotor_a(lra_a: float, voltage_v: float, rated_v: float) -> float:
    """Return the locked-rotor current in A to expect at another voltage: LRA V / Vr.

    Constant impedance assumed (saturation neglected). LRA > 0, V >= 0, Vr > 0. Source: derived.
    """
    above("LRA", lra_a, 0, "A")
    within("voltage", voltage_v, 0, inf, "V")
    return lra_a * voltage_v / above("rated voltage", rated_v, 0, "V")


def assumed_locked_rotor_a(rla_a: float, multiple: float) -> float:
    """Return the locked-rotor current in A to assume where the plate prints none: a multiple of RLA.

    For sizing a disconnect, not for judging a start. RLA > 0, multiple 1 to 10. Source: nec_440 (440.12(C)).
    """
    return above("RLA", rla_a, 0, "A") * within("multiple", multiple, 1, 10, "")


def starting_torque_share(voltage_v: float, rated_v: float) -> float:
    """Return the starting torque of an induction motor as a share of that at rated voltage: (V / Vr)^2.

    Rated frequency; V 0 to 110 % of Vr, the range the motor is made for and below. Source: nema_mg1_12_44.
    """
    above("rated voltage", rated_v, 0, "V")
    return (within("voltage", voltage_v, 0, 1.1 * rated_v, "V") / rated_v) ** 2


def plate_share_pct(measured_a: float, plate_a: float) -> float:
    """Return a running current in percent of the plate's RLA or FLA: 100 I / plate.

    RLA is set for circuit sizing: under 100 % is no proof of health. Measured >= 0, plate > 0.
    Source: nec_440 (440.4, 440.6).
    """
    return 100 * within("measured current", measured_a, 0, inf, "A") / above("plate current", plate_a, 0, "A")


def overload_ceiling_a(rla_a: float, pct: float) -> float:
    """Return the most current in A that a running-overload device of this kind may let flow for good.

    ``pct`` depends on the kind of device and stands in the knowledge. RLA > 0, pct 100 to 200.
    Source: nec_440 (440.52).
    """
    return above("RLA", rla_a, 0, "A") * within("percentage", pct, 100, 200, "%") / 100


def fuse_stress_multiple(locked_a: float, fuse_a: float) -> float:
    """Return what a start asks of a fuse: locked-rotor current as a multiple of the fuse's rating.

    A time-delay fuse carries the multiple of its standard for some seconds. Both > 0. Source: ul_248_12.
    """
    return above("locked-rotor current", locked_a, 0, "A") / above("fuse rating", fuse_a, 0, "A")


def minimum_circuit_ampacity_a(motor_currents_a: Sequence[float], largest_pct: float) -> float:
    """Return MCA in A: the sum of all motor currents, the largest one counted ``largest_pct`` percent.

    Compressors enter with RLA (or branch-circuit selection current), fans with FLA. At least one, each > 0,
    largest_pct 100 to 200. Source: nec_440 (440.33).
    """
    currents = _currents(motor_currents_a)
    within("percentage of the largest motor", largest_pct, 100, 200, "%")
    return sum(currents) + max(currents) * (largest_pct / 100 - 1)


def minimum_disconnect_a(motor_currents_a: Sequence[float], pct: float) -> float:
    """Return the least disconnect rating in A: ``pct`` percent of the summed currents.

    At least one current, each > 0, pct 100 to 200. Source: nec_440 (440.12).
    """
    within("percentage", pct, 100, 200, "%")
    return sum(_currents(motor_currents_a)) * pct / 100


def maximum_protection_a(largest_a: float, other_currents_a: Sequence[float], pct: float) -> float:
    """Return the ceiling in A for fuse or breaker: ``pct`` percent of the largest motor plus the others.

    Not yet a standard size: editions of the code differ in whether the next size up may be taken
    (``next_size_up_a``) or not (``next_size_down_a``). In service the plate's own maximum governs.
    Largest > 0, others >= 0, pct 100 to 300. Source: nec_440 (440.22).
    """
    above("largest motor current", largest_a, 0, "A")
    within("percentage", pct, 100, 300, "%")
    return largest_a * pct / 100 + sum(within("other current", x, 0, inf, "A") for x in other_currents_a)


def next_size_down_a(calculated_a: float, standard_sizes_a: Sequence[float]) -> float:
    """Return the largest standard size in A that is not above the calculated value. Source: nec_240_6."""
    sizes = [size for size in standard_sizes_a if size <= calculated_a]
    if not sizes:
        raise OutsideValidity(f"{calculated_a:g} A: must be {_ends(standard_sizes_a)}")
    return max(sizes)


def next_size_up_a(calculated_a: float, standard_sizes_a: Sequence[float]) -> float:
    """Return the smallest standard size in A that is not below the calculated value. Source: nec_240_6."""
    sizes = [size for size in standard_sizes_a if size >= calculated_a]
    if not sizes:
        raise OutsideValidity(f"{calculated_a:g} A: must be {_ends(standard_sizes_a)}")
    return min(sizes)


def insulation_at_40_c_ohm(resistance_ohm: float, winding_c: float) -> float:
    """Return an insulation resistance in ohm corrected to 40 degrees C: R 0.5^((40 - T) / 10).

    Rule of halving per 10 K for thermoplastic insulation. R > 0, T 0 to 100 degrees C. Source: ieee_43.
    """
    above("insulation resistance", resistance_ohm, 0, "Ω")
    within("winding temperature", winding_c, 0, 100, "°C")
    return float(resistance_ohm * 0.5 ** ((40 - winding_c) / 10))


def _currents(motor_currents_a: Sequence[float]) -> list[float]:
    if not motor_currents_a:
        raise OutsideValidity("no motor current given: must be at least 1")
    return [above("motor current", x, 0, "A") for x in motor_currents_a]


def _ends(standard_sizes_a: Sequence[float]) -> str:
    if not standard_sizes_a:
        return "compared with at least 1 standard size"
    return f"within the standard sizes {min(standard_sizes_a):g} to {max(standard_sizes_a):g} A"

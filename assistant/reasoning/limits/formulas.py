"""The rules behind the limits, by the name that the knowledge calls them. No numbers of the trade in here.

A rule takes its inputs (plate values, readings, constants) and returns a window. It declares the constants
and the sentences it reads, so that a knowledge file with an unknown or missing one is found by a test.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from assistant.physics import electricity
from assistant.physics.grid import Grid


@dataclass(frozen=True, slots=True)
class Window:
    """Bounds in the limit's unit; None where there is none."""

    low: float | None = None
    high: float | None = None
    warn_low: float | None = None
    warn_high: float | None = None
    far_high: float | None = None
    meter_pct: float | None = None
    """Where the rule knows the meter error better than the knowledge file."""


@dataclass(frozen=True, slots=True)
class Inputs:
    constants: Mapping[str, float]
    plate: Mapping[str, float]
    """Known and typical plate values by item id."""
    needs: tuple[str, ...]
    """The limit's plate items in order: the rule's first, second ... plate argument."""
    optional: tuple[str, ...] = ()
    readings: Mapping[str, float | None] = field(default_factory=dict)
    """Readings by the rule's own input names; None = open."""
    about: str | None = None
    table: Grid | None = None
    """The printed table that the limit names."""
    table_inputs: tuple[str, str] = ("", "")
    """Names of the readings that pick its row and its column."""

    def plate_value(self, place: int = 0) -> float:
        return self.plate[self.needs[place]]

    def reading(self, name: str, otherwise: float | None = None) -> float | None:
        value = self.readings.get(name)
        return otherwise if value is None else value

    def bound(self, name: str) -> float | None:
        """The constant ``name`` with whatever unit suffix it carries: ``low`` finds ``low_v``."""
        return next((v for k, v in self.constants.items() if k.rpartition("_")[0] == name), None)


Rule = Callable[[Inputs], Window]


@dataclass(frozen=True, slots=True)
class Formula:
    rule: Rule
    constants: frozenset[str]
    """Constants it cannot do without."""
    optional: frozenset[str]
    says: frozenset[str]
    """Outcomes, beyond those of ``judge``, whose sentences it needs."""
    bounds: bool
    """True where constants are bounds with any unit suffix: ``low_v``, ``high_ohm``."""


FORMULAS: dict[str, Formula] = {}


def _formula(needs: str = "", may: str = "", says: str = "", *, bounds: bool = False) -> Callable[[Rule], Rule]:
    """Register a rule under its own name; the words are ids parted by spaces."""

    def register(rule: Rule) -> Rule:
        constants, optional, outcomes = (frozenset(words.split()) for words in (needs, may, says))
        FORMULAS[rule.__name__] = Formula(rule, constants, optional, outcomes, bounds)
        return rule

    return register


@_formula(bounds=True)
def fixed_window(x: Inputs) -> Window:
    """Bounds that depend on nothing."""
    return Window(x.bound("low"), x.bound("high"), x.bound("warn_low"), x.bound("warn_high"), x.bound("far_high"))


@_formula(needs="low_pct high_pct")
def percent_window(x: Inputs) -> Window:
    """A plate value minus and plus a percentage of itself."""
    plate = x.plate_value()
    return Window(plate * (1 - x.constants["low_pct"] / 100), plate * (1 + x.constants["high_pct"] / 100))


@_formula(needs="tolerance_pct")
def capacitor_window(x: Inputs) -> Window:
    """Marked capacitance with the printed tolerance, else the default one."""
    return Window(*electricity.capacitance_bounds_uf(x.plate_value(), _tolerance_pct(x)))


@_formula()
def printed_range(x: Inputs) -> Window:
    """From the lower to the upper end of a range that is printed."""
    return Window(x.plate_value(0), x.plate_value(1))


@_formula(needs="frequency_hz clamp_pct voltmeter_pct tolerance_pct", may="clamp_a section_v", says="no_volts")
def capacitance_under_load(x: Inputs) -> Window:
    """The same window, with the error of a clamp and a voltmeter together.

    Wider by what a clamp is off whatever it reads: next to nothing of six amps, an eighth of the amps of 3 µF.
    """
    error_pct = electricity.worst_case_uncertainty_pct(x.constants["clamp_pct"], x.constants["voltmeter_pct"])
    low_uf, high_uf = electricity.capacitance_bounds_uf(x.plate_value(), _tolerance_pct(x))
    off_a, frequency_hz = x.constants.get("clamp_a", 0.0), x.constants["frequency_hz"]
    off_uf = electricity.capacitance_uf(off_a, x.constants["section_v"], frequency_hz) if off_a else 0.0
    return Window(low_uf - off_uf, high_uf + off_uf, meter_pct=error_pct)


@_formula(says="fits other_uf other_kind lower_volts volts_fit unmarked")
def same_rating(x: Inputs) -> Window:
    """Nothing but the marked value."""
    return Window(x.plate_value(), x.plate_value())


@_formula(says="fits high low unmarked")
def plate_maximum(x: Inputs) -> Window:
    """Nothing above the plate value; below the optional second one is worth watching."""
    return Window(high=x.plate_value(), warn_low=x.plate.get(x.optional[0]) if x.optional else None)


@_formula(needs="high_pct idle_pct", may="locked_pct")
def motor_amps(x: Inputs) -> Window:
    """Up to a percentage of the plate current; next to nothing means not running, near LRA means locked."""
    plate_a = x.plate_value()
    lra_a = x.plate.get(x.optional[0]) if x.optional else None
    locked_pct = x.constants.get("locked_pct")
    far_a = None if lra_a is None or locked_pct is None else lra_a * locked_pct / 100
    low_a, high_a = plate_a * x.constants["idle_pct"] / 100, plate_a * x.constants["high_pct"] / 100
    return Window(low_a, high_a, far_high=far_a)


@_formula(needs="band_pct", says="inside")
def locked_amps(x: Inputs) -> Window:
    """Locked-rotor current at the voltage of the attempt (plate voltage while it was not measured)."""
    rated_v = x.plate_value(1)
    volts = x.reading("voltage", rated_v) or rated_v
    centre_a = electricity.scaled_locked_rotor_a(x.plate_value(0), volts, rated_v)
    band = x.constants["band_pct"] / 100
    return Window(centre_a * (1 - band), centre_a * (1 + band))


@_formula(needs="band_ohm band_pct", says=" ".join(electricity.Windings))
def winding_sum(x: Inputs) -> Window:
    """The window for the pair in question from the two others; none until both are known and not open."""
    c_r, c_s, s_r = (x.reading(pair) for pair in ("c_r", "c_s", "s_r"))
    expected = {
        "c_r": None if s_r is None or c_s is None else s_r - c_s,
        "c_s": None if s_r is None or c_r is None else s_r - c_r,
    }.get(x.about or "", None if c_r is None or c_s is None else c_r + c_s)
    if expected is None or expected <= 0:
        return Window()
    whole = expected if x.about not in {"c_r", "c_s"} or s_r is None else s_r
    band = electricity.winding_sum_band_ohm(whole, x.constants["band_ohm"], x.constants["band_pct"])
    return Window(max(0.0, expected - band), expected + band)


@_formula(needs="resistor_ohm target_v hold_min_s")
def discharge_time(x: Inputs) -> Window:
    """Seconds to hold the resistor on the larger section."""
    largest_uf = max(x.plate_value(0), *(x.plate[item] for item in x.optional if item in x.plate), 0.0)
    time_s = electricity.discharge_time_s(
        largest_uf, x.constants["resistor_ohm"], x.plate_value(1), x.constants["target_v"]
    )
    return Window(low=max(time_s, x.constants["hold_min_s"]))


@_formula(
    needs="target_f min_readings min_span_min min_excess_f read_error_f new_rise_f",
    says="ready forecast forecast_open need_air need_readings not_falling air_too_warm",
)
def cool_down(x: Inputs) -> Window:  # noqa: ARG001  # every rule has the same shape
    """No window: the forecast is made from the shell readings, see ``cooling``."""
    return Window()


@_formula(needs="high_pct", may="warn_high_pct", says="rose")
def voltage_drop(x: Inputs) -> Window:
    """Percent of the voltage at rest."""
    return Window(0.0, x.constants["high_pct"], warn_high=x.constants.get("warn_high_pct"))


def _tolerance_pct(x: Inputs) -> float:
    """What is printed beats the default."""
    printed = next((x.plate[item] for item in x.optional if item in x.plate), None)
    return x.constants["tolerance_pct"] if printed is None else printed

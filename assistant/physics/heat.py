"""Heat: how a hot shell cools (Newton's law, fitted) and what the heat of the day means to the worker."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, inf, isfinite, log, sqrt

from .curves import Curve, on_curve
from .errors import OutsideValidity, above, within


@dataclass(frozen=True, slots=True)
class CoolingFit:
    """T(t) = Ta + (T0 - Ta) e^(-t/tau), fitted; t in minutes on the clock of the readings."""

    minutes: tuple[float, ...]
    temps_f: tuple[float, ...]
    ambient_f: float
    start_f: float
    """T0, the fitted temperature at t = 0."""
    tau_min: float
    largest_residual_f: float
    residual_f: float
    """Standard deviation of the residuals with n - 2 degrees of freedom."""

    def temperature_f(self, at_min: float) -> float:
        """Return the fitted temperature in degrees F at a time in minutes."""
        return self.ambient_f + (self.start_f - self.ambient_f) * exp(-at_min / self.tau_min)

    def minutes_to(self, target_f: float) -> float:
        """Return the minutes at which the fit reaches ``target_f``; OutsideValidity if it never does."""
        above("target", target_f, self.ambient_f, "°F (the air temperature)")
        return self.tau_min * log((self.start_f - self.ambient_f) / (target_f - self.ambient_f))


def fit_cooling(
    minutes: Sequence[float],
    temps_f: Sequence[float],
    ambient_f: float,
    *,
    min_readings: int,
    min_span_min: float,
    min_excess_f: float,
) -> CoolingFit:
    """Return the exponential through shell readings: ln(T - Ta) against t by least squares, the air fixed.

    At least ``min_readings`` (and 3) readings over at least ``min_span_min`` minutes, each more than
    ``min_excess_f`` above the air, falling. One time constant is an approximation. Source: newton_cooling.
    """
    _enough(minutes, temps_f, ambient_f, max(3, min_readings), min_span_min)
    logs = [log(above("shell over air", t - ambient_f, max(0.0, min_excess_f), "°F")) for t in temps_f]
    mean_t, mean_y = sum(minutes) / len(minutes), sum(logs) / len(logs)
    spread = sum((t - mean_t) ** 2 for t in minutes)
    slope = sum((t - mean_t) * (y - mean_y) for t, y in zip(minutes, logs, strict=True)) / spread
    if slope >= 0:
        raise OutsideValidity("the shell readings do not fall: must be cooling")
    start_f = ambient_f + exp(mean_y - slope * mean_t)
    fit = CoolingFit(tuple(minutes), tuple(temps_f), ambient_f, start_f, -1 / slope, 0.0, 0.0)
    residuals = [t - fit.temperature_f(m) for m, t in zip(minutes, temps_f, strict=True)]
    return CoolingFit(
        fit.minutes,
        fit.temps_f,
        ambient_f,
        start_f,
        fit.tau_min,
        max(abs(r) for r in residuals),
        sqrt(sum(r * r for r in residuals) / (len(residuals) - 2)),
    )


def minutes_to_band(fit: CoolingFit, target_f: float, read_error_f: float) -> tuple[float, float]:
    """Return the earliest and latest time in minutes at which the target is met: about two standard errors.

    Each reading is taken to be off by the residuals of the fit or by ``read_error_f`` (one standard
    deviation), whichever is more, and the air by ``read_error_f``; carried through the line to first order.
    The latest is infinite where the air may be as warm as the target. Source: derived.
    """
    within("reading error", read_error_f, 0, inf, "°F")
    best = fit.minutes_to(target_f)
    error_f = max(fit.residual_f, read_error_f)
    mean_t = sum(fit.minutes) / len(fit.minutes)
    spread = sum((t - mean_t) ** 2 for t in fit.minutes)
    variance = 0.0
    for minute, temp in zip(fit.minutes, fit.temps_f, strict=True):
        share = 1 / len(fit.minutes) + (best - mean_t) * (minute - mean_t) / spread
        variance += (fit.tau_min * share * error_f / (temp - fit.ambient_f)) ** 2
    warmer, cooler = (_shifted(fit, target_f, sign * read_error_f) for sign in (1, -1))
    half = 2 * sqrt(variance + ((warmer - cooler) / 2) ** 2) if isfinite(warmer) else inf
    early = best - 2 * sqrt(variance + (best - cooler) ** 2)
    return max(0.0, early), best + half


def _shifted(fit: CoolingFit, target_f: float, by_f: float) -> float:
    """The time to the target had the air been ``by_f`` warmer; infinite where that is never."""
    try:
        other = fit_cooling(
            fit.minutes, fit.temps_f, fit.ambient_f + by_f, min_readings=3, min_span_min=0, min_excess_f=0
        )
        return other.minutes_to(target_f)
    except OutsideValidity:
        return inf


def _enough(
    minutes: Sequence[float],
    temps_f: Sequence[float],
    ambient_f: float,
    min_readings: int,
    min_span_min: float,
) -> None:
    if len(minutes) != len(temps_f):
        raise OutsideValidity(f"{len(minutes)} times and {len(temps_f)} temperatures: must be equally many")
    if not all(isfinite(x) for x in (*minutes, *temps_f, ambient_f)):
        raise OutsideValidity("a time or temperature is not a number: all must be finite")
    if len(minutes) < min_readings:
        raise OutsideValidity(f"{len(minutes)} readings: must be at least {min_readings}")
    span = max(minutes) - min(minutes)
    if span < min_span_min or span <= 0:
        raise OutsideValidity(f"readings over {span:g} min: must span at least {max(min_span_min, 0):g} min")


def shell_time_constant_min(mass_kg: float, heat_j_per_kg_k: float, film_w_m2_k: float, area_m2: float) -> float:
    """Return the time constant in minutes of a body that cools by its surface: m c / (h A).

    Only the order of magnitude: one temperature all through, constant film coefficient. Each > 0.
    Source: newton_cooling.
    """
    above("mass", mass_kg, 0, "kg")
    above("specific heat", heat_j_per_kg_k, 0, "J/(kg K)")
    above("film coefficient", film_w_m2_k, 0, "W/(m2 K)")
    return mass_kg * heat_j_per_kg_k / (film_w_m2_k * above("area", area_m2, 0, "m2")) / 60


# The regression as the National Weather Service prints it: (power of T, power of R, coefficient).
_REGRESSION = (
    (0, 0, -42.379),
    (1, 0, 2.04901523),
    (0, 1, 10.14333127),
    (1, 1, -0.22475541),
    (2, 0, -0.00683783),
    (0, 2, -0.05481717),
    (2, 1, 0.00122874),
    (1, 2, 0.00085282),
    (2, 2, -0.00000199),
)


def heat_index_f(temp_f: float, humidity_pct: float) -> float:
    """Return the heat index in degrees F for air temperature (degrees F) and relative humidity (percent).

    The simple form 0.5 (T + 61 + 1.2 (T - 68) + 0.094 R) decides: below 80 it is the answer, else the
    regression with the dry and humid adjustments. The text says the simple result is "averaged with the
    temperature"; its factor 0.5 already is that average, so it is not averaged a second time here. The
    printed chart leaves the humid adjustment out. Shade and light wind; full sun adds up to 15 degrees F.
    Valid 40 to 125 degrees F, 0 to 100 %; the chart covers 80 to 110 degrees F and 40 to 100 %.
    Source: nws_heat_index.
    """
    within("air temperature", temp_f, 40, 125, "°F")
    within("relative humidity", humidity_pct, 0, 100, "%")
    simple_f = 0.5 * (temp_f + 61 + 1.2 * (temp_f - 68) + 0.094 * humidity_pct)
    if simple_f < 80:
        return simple_f
    return heat_index_regression_f(temp_f, humidity_pct) + _adjustment_f(temp_f, humidity_pct)


def heat_index_regression_f(temp_f: float, humidity_pct: float) -> float:
    """Return the bare regression in degrees F, as the printed chart has it: no adjustments, no simple form.

    Only meaningful from 80 degrees F up. Source: nws_heat_index.
    """
    return float(sum(k * temp_f**i * humidity_pct**j for i, j, k in _REGRESSION))


def _adjustment_f(temp_f: float, humidity_pct: float) -> float:
    if humidity_pct < 13 and 80 <= temp_f <= 112:
        return -(13 - humidity_pct) / 4 * sqrt((17 - abs(temp_f - 95)) / 17)
    if humidity_pct > 85 and 80 <= temp_f <= 87:
        return (humidity_pct - 85) / 10 * (87 - temp_f) / 5
    return 0.0


def adjusted_air_f(temp_f: float, humidity_pct: float, sun_f: float, humidity_f: Curve) -> float:
    """Return the adjusted air temperature in degrees F that work and rest tables are entered with: T + sun + humidity.

    ``sun_f``: what the table adds for this sun; ``humidity_f``: (humidity in percent, degrees F to add) in rising
    order, straight lines between. Temperature 60 to 125 degrees F, humidity inside the table. Source: niosh_2017_127.
    """
    within("air temperature", temp_f, 60, 125, "°F")
    within("addition for the sun", sun_f, 0, 20, "°F")
    return temp_f + sun_f + on_curve(humidity_f, humidity_pct, "relative humidity", "%")

"""When the compressor shell will be cool enough for ohms to count, forecast from the readings so far."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import ceil, floor, inf, isfinite

from assistant.physics.errors import OutsideValidity
from assistant.physics.heat import fit_cooling, minutes_to_band
from knowledge.base import KnowledgeBase

from .results import figure

Samples = Sequence[tuple[float, float]]
"""(minutes, degrees F), any order."""

COOL_DOWN = "cool_down"
TOUCH_COOL_DOWN = "touch_cool_down"


@dataclass(frozen=True, slots=True)
class Forecast:
    """Minutes are counted from the last reading."""

    target_f: float
    minutes: float
    """Best estimate; 0 where the shell is cool enough already."""
    earliest_min: float
    latest_min: float | None
    """None where it may never get there."""
    tau_min: float | None
    """Fitted time constant; None where no fit was needed."""
    residual_f: float | None
    readings: int
    """Shell readings the fit rests on."""
    sentence: str
    shown: str
    validity: str
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Missing:
    """Why there is no forecast yet, and what to do about it."""

    sentence: str


def cool_down_forecast(
    kb: KnowledgeBase, samples: Samples, ambient_f: float | None, limit_id: str = COOL_DOWN
) -> Forecast | Missing:
    """Return when the shell will reach the target of a cooling limit, or what is missing for a forecast.

    ``limit_id``: ``cool_down`` (ohms count) or ``touch_cool_down`` (it can be handled). ``samples`` are (minutes on
    any clock, degrees F); only those since the shell last got warmer count. Ask again with every new reading: the
    fit is made anew from all of them.
    """
    limit = kb.limits[limit_id]
    constants, says = limit.constants, limit.says
    target_f, excess_f = constants["target_f"], constants["min_excess_f"]
    falling = _since_last_rise(samples, constants["new_rise_f"])
    if falling and falling[-1][1] <= target_f:
        sentence = says["ready"].format(last=_degrees(falling[-1][1]), target=_degrees(target_f))
        return Forecast(target_f, 0.0, 0.0, 0.0, None, None, 0, sentence, limit.shown, limit.validity, limit.sources)
    if ambient_f is None or not isfinite(ambient_f):
        return Missing(says["need_air"])
    if ambient_f >= target_f:
        return Missing(says["air_too_warm"].format(air=_degrees(ambient_f), target=_degrees(target_f)))
    usable = [(minute, temp_f) for minute, temp_f in falling if temp_f - ambient_f > excess_f]
    if len(usable) < constants["min_readings"] or usable[-1][0] - usable[0][0] < constants["min_span_min"]:
        return Missing(_need_readings(constants, says, len(usable)))
    times, temps = zip(*usable, strict=True)
    try:
        fit = fit_cooling(
            times,
            temps,
            ambient_f,
            min_readings=round(constants["min_readings"]),
            min_span_min=constants["min_span_min"],
            min_excess_f=excess_f,
        )
    except OutsideValidity:
        return Missing(says["not_falling"])
    last = falling[-1][0]
    best = max(0.0, fit.minutes_to(target_f) - last)
    early, late = (max(0.0, t - last) for t in minutes_to_band(fit, target_f, constants["read_error_f"]))
    words = {
        "minutes": f"{best:.0f} min",
        "early": f"{floor(early)}",
        "late": "" if late == inf else f"{ceil(late)} min",
        "target": _degrees(target_f),
    }
    return Forecast(
        target_f=target_f,
        minutes=best,
        earliest_min=early,
        latest_min=None if late == inf else late,
        tau_min=fit.tau_min,
        residual_f=fit.residual_f,
        readings=len(usable),
        sentence=says["forecast_open" if late == inf else "forecast"].format(**words),
        shown=limit.shown,
        validity=limit.validity,
        sources=limit.sources,
    )


def _since_last_rise(samples: Samples, new_rise_f: float) -> list[tuple[float, float]]:
    """Readings in order of time, from the last one that was clearly warmer than the one before it."""
    ordered = sorted((m, t) for m, t in samples if isfinite(m) and isfinite(t))
    start = 0
    for place in range(1, len(ordered)):
        if ordered[place][1] - ordered[place - 1][1] > new_rise_f:
            start = place
    return ordered[start:]


def _need_readings(constants: Mapping[str, float], says: Mapping[str, str], have: int) -> str:
    return says["need_readings"].format(
        have=have,
        need=f"{constants['min_readings']:g}",
        span=figure(constants["min_span_min"], "min"),
        excess=_degrees(constants["min_excess_f"]),
    )


def _degrees(temp_f: float) -> str:
    return f"{temp_f:.0f} °F"

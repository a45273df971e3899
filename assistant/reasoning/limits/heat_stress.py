"""What the heat of the day means to the technician: heat index band, work and rest, water."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from typing import Literal

from assistant.physics.errors import OutsideValidity
from assistant.physics.heat import adjusted_air_f, heat_index_f
from knowledge.base import KnowledgeBase
from knowledge.models.heat_stress import HeatBand, Schedule

from .results import figure

SunKind = Literal["shade", "partly_cloudy", "full_sun"]
Effort = Literal["light", "moderate", "heavy"]
_F = "°F"


@dataclass(frozen=True, slots=True)
class HeatAdvice:
    """Temperatures in degrees F; minutes in an hour."""

    heat_index_f: float
    highest_f: float
    """Heat index if both readings are off to the worse side."""
    band: str
    """Of ``highest_f``, one band up in full sun or at heavy work: the stricter band counts inside the meters' error."""
    adjusted_f: float | None
    """Air temperature as the work and rest schedule counts it; None outside the schedule's humidity."""
    work_min: float | None
    """None: no schedule protects, or none holds for this humidity."""
    rest_min: float | None
    water_oz_per_h: tuple[float, float]
    sentence: str
    validity: str
    sources: tuple[str, ...]


def heat_advice(
    kb: KnowledgeBase, temp_f: float, humidity_pct: float, sun: SunKind = "full_sun", effort: Effort = "moderate"
) -> HeatAdvice:
    """Return the advice for this air (shade temperature in degrees F, relative humidity in percent).

    Raises OutsideValidity, naming the range, for air that the heat index does not hold for.
    """
    data = kb.heat_stress
    index_f = heat_index_f(temp_f, humidity_pct)
    highest_f = heat_index_f(min(125, temp_f + data.read_error_f), min(100, humidity_pct + data.read_error_rh_pct))
    harder = sun == "full_sun" or effort == "heavy"
    band = _band(data.bands, highest_f, up=harder)
    schedule = next(one for one in data.schedules if one.effort == effort)
    added = next(one for one in data.sun if one.kind == sun)
    adjusted, work_min, words = _schedule(kb, schedule, temp_f, humidity_pct, added.add_f)
    water = data.water
    least, most = (60 / minutes * water.cup_oz for minutes in reversed(water.every_min))
    sentence = " ".join(
        part
        for part in (
            f"Heat index {index_f:.0f} {_F}, risk {band.name}. {band.says}",
            data.near_next if _band(data.bands, index_f) != _band(data.bands, highest_f) else "",
            data.one_band_up if harder else "",
            words,
            (
                f"Water: {figure(water.cup_oz, 'oz')} every {water.every_min[0]:g} to {water.every_min[1]:g} min,"
                f" at most {figure(water.most_oz_per_h, 'oz')} an hour."
            ),
        )
        if part
    )
    sources = (band.source, "nws_heat_index", schedule.source, added.source, data.humidity.source, water.source)
    return HeatAdvice(
        index_f,
        highest_f,
        band.name,
        adjusted,
        work_min,
        None if work_min is None else 60 - work_min,
        (least, most),
        sentence,
        data.validity,
        tuple(dict.fromkeys(sources)),
    )


def _band(bands: tuple[HeatBand, ...], index_f: float, *, up: bool = False) -> HeatBand:
    place = max((n for n, band in enumerate(bands) if index_f >= band.from_f), default=0)
    return bands[min(place + up, len(bands) - 1)]


def _schedule(
    kb: KnowledgeBase, schedule: Schedule, temp_f: float, humidity_pct: float, sun_f: float
) -> tuple[float | None, float | None, str]:
    """Adjusted temperature, minutes of work, and the sentence; the table is entered at the next whole degree up."""
    try:
        adjusted = adjusted_air_f(temp_f, humidity_pct, sun_f, kb.heat_stress.humidity.points)
    except OutsideValidity as err:
        return None, None, f"No work and rest schedule holds here ({err}): go by the heat index."
    degree = ceil(adjusted - 1e-9)
    if degree >= schedule.caution_from_f:
        return adjusted, None, f"No schedule protects at {schedule.effort} work: stop what can wait."
    work = 60.0 if degree <= schedule.normal_to_f else schedule.work_min[str(degree)]
    rest = f"work {work:.0f} min, rest {60 - work:.0f} min in the shade" if work < 60 else "no fixed rest"
    return adjusted, work, f"At {schedule.effort} work: {rest}."

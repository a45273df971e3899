"""Rules of hot air and hot metal."""

from __future__ import annotations

from assistant.physics import heat

from .rules import Answer, Given, rule


@rule
def heat_index(x: Given) -> Answer:
    """With both adjustments."""
    return Answer(heat.heat_index_f(x["shade_air"], x["air_humidity"]))


@rule
def touch_temperature(x: Given) -> Answer:
    """As read."""
    return Answer(x["metal"])

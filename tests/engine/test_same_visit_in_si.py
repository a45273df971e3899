"""The same visit told in SI gives the same diagnosis, whoever tells it: in the technician's units or note by note.

What is told is converted here with the exact definitions of NIST SP 811, appendix B.9: 1 psi = 6.894757 kPa,
1 °F = 5/9 K, 1 in. of water (4 °C) = 249.082 Pa, 1 cfm = 0.4719474 L/s.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from assistant.dialogue.quantities import System
from assistant.engine.core import Engine
from assistant.session import events as e
from assistant.session.fold import Visit
from knowledge import load
from tests.engine.clock import SteppingClock

TO_SI = {
    "psi": (6.894757, 0.0, "kpa"),
    "f": (5 / 9, -160 / 9, "c"),
    "f difference": (5 / 9, 0.0, "kelvin"),
    "inches wc": (249.082, 0.0, "pascals"),
    "feet": (0.3048, 0.0, "meters"),
    "volts": (1.0, 0.0, "volts"),
    "amps": (1.0, 0.0, "amps"),
    "uf": (1.0, 0.0, "uf"),
}


@dataclass(frozen=True)
class Told:
    """A note with one number in it; ``bare``: its unit may be left away."""

    words: str
    unit: str
    low: float
    high: float
    bare: bool = True

    def us(self, share: float) -> str:
        return self.words.format(f"{self.value(share):g} {self.unit.split()[0] if 'diff' in self.unit else self.unit}")

    def si(self, share: float, *, bare: bool) -> str:
        factor, offset, unit = TO_SI[self.unit]
        number = f"{self.value(share) * factor + offset:.4f}"
        return self.words.format(number if bare and self.bare else f"{number} {unit}")

    def value(self, share: float) -> float:
        return round(self.low + share * (self.high - self.low))


READINGS = (
    Told("suction pressure is {}", "psi", 45, 140),
    Told("liquid pressure is {}", "psi", 180, 420),
    Told("suction line is {}", "f", 40, 75),
    Told("suction saturation is {}", "f", 20, 60),
    Told("liquid saturation is {}", "f", 90, 130),
    Told("liquid line is {}", "f", 80, 115),
    Told("outdoor air is {}", "f", 75, 108),
    Told("return air is {}", "f", 70, 82),
    Told("return wet bulb is {}", "f", 58, 70),
    Told("supply air is {}", "f", 50, 68),
    Told("discharge line is {}", "f", 140, 230),
    Told("compressor shell is {}", "f", 100, 200, bare=False),
    Told("target subcooling on the plate is {}", "f difference", 6, 14),
    Told("we are at {}", "feet", 1000, 8000, bare=False),
    Told("compressor draws {}", "amps", 6, 20),
    Told("leg to leg {} at the disconnect", "volts", 205, 250),
)
LOOKS = (
    "not cooling", "plate says r410a", "it has a txv", "it has a piston", "both fans run, compressor runs",
    "running 30 minutes", "filter is clean", "indoor coil is clean", "strong air from the vents",
)  # fmt: skip
NOTES = st.one_of(st.sampled_from(LOOKS), st.tuples(st.sampled_from(READINGS), st.floats(0, 1)))


@pytest.fixture(scope="module")
def engines(tmp_path_factory: pytest.TempPathFactory) -> dict[System, Engine]:
    cache: Path = tmp_path_factory.mktemp("cache")
    return {units: Engine(load(), SteppingClock(), "test", cache, units) for units in ("us", "si")}


def values(visit: Visit) -> list[tuple[str, str | None, float | None]]:
    """What the log holds of numbers, in canonical units."""
    kept = [event for event in visit.events if isinstance(event, e.ReadingTaken | e.PlateRead)]
    return [(type(one).__name__, one.check if isinstance(one, e.ReadingTaken) else one.item, one.value) for one in kept]


@settings(deadline=None, max_examples=15, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(told=st.lists(NOTES, min_size=4, max_size=12))
def test_the_same_visit_told_in_si_gives_the_same_diagnosis(
    engines: dict[System, Engine], told: list[str | tuple[Told, float]]
) -> None:
    ways = {"us": "us", "si, bare": "si", "si, note by note": "us"}
    turns = {way: engines[units].open(way, "split_psc_240") for way, units in ways.items()}  # type: ignore[index]
    for one in told:
        if isinstance(one, str):
            notes = dict.fromkeys(ways, one)
        else:
            reading, share = one
            notes = {
                "us": reading.us(share),
                "si, bare": reading.si(share, bare=True),
                "si, note by note": reading.si(share, bare=False),
            }
        for way, units in ways.items():
            turns[way] = engines[units].handle(turns[way].visit, notes[way])  # type: ignore[index]
        us = turns["us"]
        for way in ("si, bare", "si, note by note"):
            other = turns[way]
            assert [one[:2] for one in values(other.visit)] == [one[:2] for one in values(us.visit)], notes
            for (_, _, one_value), (_, _, us_value) in zip(values(other.visit), values(us.visit), strict=True):
                assert one_value == pytest.approx(us_value, abs=0.01), notes
            assert {s.id for s in other.reply.suspects[:2]} == {s.id for s in us.reply.suspects[:2]}, notes
            for suspect, same in zip(other.reply.suspects, us.reply.suspects, strict=False):
                assert suspect.probability == pytest.approx(same.probability, abs=0.02)
            assert other.visit.state.power == us.visit.state.power
            assert len(other.reply.stops) == len(us.reply.stops)


US_UNITS = ("°F", "psi", " ft", "cfm", "in. w.c.", "Btu/h")


@settings(deadline=None, max_examples=12, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(told=st.lists(st.tuples(st.sampled_from(READINGS), st.floats(0, 1)), min_size=2, max_size=5))
def test_who_works_in_si_is_told_nothing_in_other_units_alone(
    engines: dict[System, Engine], told: list[tuple[Told, float]]
) -> None:
    turn = engines["si"].open("si", "split_psc_240")
    for note in ("not cooling, r22, piston", *(reading.si(share, bare=True) for reading, share in told)):
        turn = engines["si"].handle(turn.visit, note)
        for line in turn.reply.reply.split("\n"):
            told_alone = [unit for unit in US_UNITS if unit in line and "°C" not in line and " m)" not in line]
            assert not told_alone, line

"""The forecast of a cooling compressor in a visit: three readings, then new with each one.

Worked example (derived: Newton's law, fitted by hand): air 95 °F, shell 208, 181, 160, 145, 133 °F every 15 minutes,
time constant 55.1 min, 120 °F 83.0 minutes after the first reading.
"""

from __future__ import annotations

import re
from datetime import timedelta
from pathlib import Path

import pytest

from assistant.engine.core import Engine
from knowledge import load
from tests.engine.clock import SteppingClock

SHELL_F = ((0, 208), (15, 181), (30, 160), (45, 145), (60, 133))
READY_MIN = 83.0
FORECAST = re.compile(r"About (\d+) min to 120 °F \(between (\d+) and (\d+) min\)")


def test_the_forecast_needs_three_readings_and_is_new_with_each(tmp_path: Path) -> None:
    clock = SteppingClock(step_s=0)
    began = clock.now
    engine = Engine(load(), clock, "test", tmp_path / "cache")
    turn = engine.open("cooling", "split_psc_240")
    for note in ("not cooling", "95 outside"):
        turn = engine.handle(turn.visit, note)
    forecasts = {}
    for minute, shell_f in SHELL_F:
        clock.now = began + timedelta(minutes=minute)
        turn = engine.handle(turn.visit, f"shell is {shell_f} degrees")
        forecasts[minute] = FORECAST.search(turn.reply.reply)

    assert [minute for minute, found in forecasts.items() if found is None] == [0, 15]
    for minute, found in forecasts.items():
        if found is not None:
            about, early, late = map(int, found.groups())
            assert about == pytest.approx(READY_MIN - minute, abs=1.5)
            assert early < READY_MIN - minute < late
    asked = engine.handle(turn.visit, "how long until I can touch it").reply.reply
    assert "when you can handle it (between" in asked

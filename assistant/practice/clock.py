"""The time in an exercise: it passes by what is done, not by the clock on the wall."""

from __future__ import annotations

from datetime import datetime, timedelta


class ExerciseClock:
    """Starts when the exercise does."""

    def __init__(self, start: datetime) -> None:
        self._now = start

    def __call__(self) -> datetime:
        return self._now

    def pass_minutes(self, minutes: float) -> None:
        self._now += timedelta(minutes=minutes)

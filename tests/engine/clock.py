"""A clock that goes on by itself, the same every time."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta


class SteppingClock:
    """Every look at it is half a minute later."""

    def __init__(self, start: datetime = datetime(2026, 7, 14, 14, 0, tzinfo=UTC), step_s: float = 30) -> None:
        self.now = start
        self._step = timedelta(seconds=step_s)

    def __call__(self) -> datetime:
        self.now += self._step
        return self.now

"""Times of a visit, short: the day is named once, and again only where it changes."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from .sections import JobNote


@dataclass(frozen=True, slots=True)
class Clock:
    day: date
    """Day of the visit in office time."""

    @classmethod
    def of(cls, note: JobNote) -> Clock:
        return cls((note.header.opened or note.made_at).date())

    def __call__(self, at: datetime) -> str:
        """Return ``13:05``; with the date where it is another day."""
        return f"{at:%H:%M}" if at.date() == self.day else self.dated(at)

    def dated(self, at: datetime) -> str:
        return f"{at:%Y-%m-%d %H:%M}"

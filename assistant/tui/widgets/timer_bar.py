"""The running waits, counting down."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from textual.widgets import Static

from assistant.dialogue.reply import TimerItem
from assistant.tui.rows import stacked
from assistant.tui.side_rows import is_over, timer_rows

_TALL = 20
"""From this many rows of screen on, three waits are shown, else one and how many more."""


class TimerBar(Static):
    """No row while nothing is waited for; rings once when a wait runs out."""

    def __init__(self) -> None:
        super().__init__(id="timers", markup=False)
        self._counting: frozenset[str] = frozenset()

    def show(self, timers: Sequence[TimerItem], now: datetime) -> None:
        width = self.app.size.width - self.gutter.width
        rows = timer_rows(timers, now, width, 3 if self.app.size.height > _TALL else 1)
        self.set_class(bool(rows), "-on")
        self.update(stacked(rows))
        running = frozenset(timer.id for timer in timers if not is_over(timer, now))
        if any(timer.id in self._counting and is_over(timer, now) for timer in timers):
            self.app.bell()
        self._counting = running

"""The standing stops, always under the power state."""

from __future__ import annotations

from collections.abc import Sequence

from textual.widgets import Static

from assistant.dialogue.reply import StopItem
from assistant.tui.rows import stacked
from assistant.tui.side_rows import stop_rows

_SHARE = 5
"""The stops take at most this part of the screen's height, unless the worst alone needs more."""


class StopBar(Static):
    """No row while no stop stands."""

    def __init__(self) -> None:
        super().__init__(id="stops", markup=False)
        self._stops: Sequence[StopItem] = ()

    def show(self, stops: Sequence[StopItem]) -> None:
        self._stops = stops
        self.set_class(bool(stops), "-on")
        self._draw()

    def on_resize(self) -> None:
        self._draw()

    def _draw(self) -> None:
        width = self.app.size.width - self.gutter.width
        self.update(stacked(stop_rows(self._stops, width, self.app.size.height // _SHARE)))

"""A scrolling panel whose rows are made for its size."""

from __future__ import annotations

from collections.abc import Callable

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Static

from assistant.tui.rows import Rows, stacked

RowMaker = Callable[[int, int], Rows]
"""Makes rows for a width in columns and a height in rows."""


class Panel(VerticalScroll, can_focus=False):
    """Shows rows, made anew whenever its size or its content changes."""

    def __init__(self, title: str, *, panel_id: str) -> None:
        super().__init__(id=panel_id, classes="panel")
        self.border_title = title
        self._maker: RowMaker | None = None

    def compose(self) -> ComposeResult:
        yield Static(markup=False)

    def show(self, maker: RowMaker) -> None:
        """Show the rows of ``maker`` from now on, from the top."""
        self._maker = maker
        self._make()
        self.scroll_home(animate=False)

    def on_resize(self) -> None:
        self._make()

    def _make(self) -> None:
        width, height = self.scrollable_content_region.size
        if self._maker and width and height:
            self.query_one(Static).update(stacked(self._maker(width, height)))

"""A running app over an invented visit, and its screen as text."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, suppress
from datetime import UTC, datetime
from typing import Any

from rich.cells import cell_len
from textual.pilot import Pilot
from textual.strip import Strip
from textual.worker import WorkerFailed

from assistant.tui.app import PadsideApp
from assistant.tui.widgets.note_line import NoteLine
from tests.plain.invented_visit import PlayedDesk, as_desk

SIZES = ((40, 14), (40, 20), (80, 24), (130, 40))
STEADY = 4
"""A screen stands when so many frames are alike."""
NOON = datetime(2026, 7, 1, 15, 0, tzinfo=UTC)


class Clock:
    """A clock that stands still until it is set."""

    def __init__(self) -> None:
        self.now = NOON

    def __call__(self) -> datetime:
        return self.now


class Screen:
    """The app under test with its pilot."""

    def __init__(self, app: PadsideApp, pilot: Pilot[None], clock: Clock) -> None:
        self.app = app
        self.pilot = pilot
        self.clock = clock

    async def settle(self) -> None:
        """Wait until the desk has answered everything and the screen stands."""
        while True:
            with suppress(WorkerFailed):  # the app shows it
                await self.app.workers.wait_for_complete()
            await self.pilot.pause()
            if not self.app.visit_screen.is_working:
                break
        await self._stand()

    async def _stand(self) -> None:
        """Wait until the layout stands: a row that folds changes the height of others in the next frame."""
        same, frame = 0, ""
        while same < STEADY:
            await self.pilot.pause()
            shown = self.text()
            same = same + 1 if shown == frame else 0
            frame = shown

    async def say(self, note: str) -> None:
        self.app.query_one(NoteLine).put(note)
        await self.pilot.press("enter")
        await self.settle()

    async def press(self, *keys: str) -> None:
        await self.pilot.press(*keys)
        await self.settle()

    def strips(self) -> list[Strip]:
        return list(self.app.screen._compositor.render_strips())

    def text(self) -> str:
        """Return the visible screen as plain text (the one place that touches a private name)."""
        return "\n".join(strip.text.rstrip() for strip in self.strips()) + "\n"

    def flat(self, selector: str = "") -> str:
        """Return the words in a widget's part of the screen (or all of it), whatever rows they are on."""
        if not selector:
            return " ".join(self.text().split())
        area = self.app.query_one(selector).content_region
        rows = self.strips()[area.y : area.bottom]
        return " ".join(" ".join(row.crop(area.x, area.right).text for row in rows).split())

    def widths(self) -> set[int]:
        return {cell_len(strip.text) for strip in self.strips()}


@asynccontextmanager
async def running(
    desk: PlayedDesk | None = None, size: tuple[int, int] = (80, 24), **options: Any
) -> AsyncIterator[Screen]:
    """Run the app at ``size`` over ``desk`` with a clock that stands still."""
    clock = Clock()
    app = PadsideApp(as_desk(desk or PlayedDesk()), clock=clock, **options)
    async with app.run_test(size=size) as pilot:
        app.query_one(NoteLine).cursor_blink = False
        screen = Screen(app, pilot, clock)
        await screen.settle()
        yield screen

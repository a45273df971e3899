"""Make the README picture from a scripted, invented visit: ``python -m assistant.tui.picture OUT.svg``."""

from __future__ import annotations

import asyncio
import sys
import tempfile
from datetime import UTC, datetime
from pathlib import Path

from assistant.open_visit import open_new
from knowledge import load

from .app import PadsideApp

NOTES = (
    "nothing running outside, stat is calling, blower runs",
    "cap is a 45/5",
    "compressor runs now but the fan just hums",
    "pulled the disconnect, locked and tagged",
)


async def picture() -> str:
    """Say the notes, wait for the last answer, and return the screen as SVG."""
    with tempfile.TemporaryDirectory() as home:
        desk = open_new(load(), Path(home), clock=lambda: datetime(2026, 7, 14, 19, 5, tzinfo=UTC))
        app = PadsideApp(desk)
        async with app.run_test(size=(120, 36)) as pilot:
            await app.workers.wait_for_complete()
            for note in NOTES:
                await app.screen.run_action(f"say({note!r})")
                await pilot.pause()
                await app.workers.wait_for_complete()
                await pilot.pause()
            drawn = app.export_screenshot(title="Padside, invented visit")
        desk.close()
    return drawn


if __name__ == "__main__":
    Path(sys.argv[1]).write_text(asyncio.run(picture()), encoding="utf-8")

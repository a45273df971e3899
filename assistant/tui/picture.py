"""Make the README picture from a scripted, invented visit: ``python -m assistant.tui.picture OUT.svg``."""

from __future__ import annotations

import asyncio
import re
import sys
import tempfile
from datetime import UTC, datetime
from pathlib import Path

from assistant.open_visit import open_new
from assistant.paths import atomic_write
from knowledge import load

from .app import PadsideApp
from .widgets.note_line import NoteLine

NOTES = (
    "nothing running outside, stat is calling, blower runs",
    "cap is a 45/5",
    "compressor runs now but the fan just hums",
    "pulled the disconnect, locked and tagged",
)
_FONT_DOWNLOAD = re.compile(r"@font-face\s*\{.*?\}\s*", re.DOTALL)
_WINDOW_BUTTONS = re.compile(r"<g transform=\"translate\(26,22\)\">.*?</g>", re.DOTALL)


async def picture() -> str:
    """Say the notes, wait for the last answer, and return the screen as SVG that loads nothing from anywhere."""
    with tempfile.TemporaryDirectory() as home:
        desk = open_new(load(), Path(home), clock=lambda: datetime(2026, 7, 14, 19, 5, tzinfo=UTC))
        app = PadsideApp(desk)
        async with app.run_test(size=(120, 36)) as pilot:
            app.visit_screen.query_one(NoteLine).cursor_blink = False
            for note in NOTES:
                app.visit_screen.action_say(note)
            while app.visit_screen.is_working:
                await app.workers.wait_for_complete()
                await pilot.pause()
            await pilot.pause()
            drawn = app.export_screenshot(title="Padside, invented visit")
        desk.close()
    return _WINDOW_BUTTONS.sub("", _FONT_DOWNLOAD.sub("", drawn))


if __name__ == "__main__":
    atomic_write(Path(sys.argv[1]), asyncio.run(picture()))

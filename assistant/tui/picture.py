"""Draws the picture of the screen for the README from a demo session: ``python -m assistant.tui.picture``.

The visit is played through the real engine at the demo's own times, so the same files give the same picture.
"""

from __future__ import annotations

import argparse
import asyncio
import re
import sys
import tempfile
from collections.abc import Sequence
from datetime import timedelta
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, cast

from textual.pilot import Pilot

from assistant.demo import DemoVisit, ReplayClock, find_demo, read_demo
from assistant.open_visit import Visits
from assistant.paths import atomic_write, places
from knowledge import load

from .app import PadsideApp
from .palette import SUNLIGHT, THEMES
from .widgets.note_line import NoteLine

if TYPE_CHECKING:
    from textual.app import AutopilotCallbackType

USUAL_FILE = Path(__file__).with_name("screen.svg")
USUAL_DEMO = "fan_capacitor_chain"
USUAL_NOTES = 6
"""So many notes in, every part of the screen has something to show."""
USUAL_SIZE = (124, 36)

_FONT_DOWNLOAD = re.compile(r"@font-face\s*\{.*?\}\s*", re.DOTALL)
_WINDOW_BUTTONS = re.compile(r"<g transform=\"translate\(26,22\)\">.*?</g>", re.DOTALL)
_TITLE = "Padside, an invented visit"


def draw(demo: DemoVisit, notes: int, *, size: tuple[int, int] = USUAL_SIZE, theme: str = SUNLIGHT) -> str:
    """Return the screen after the first ``notes`` notes of ``demo`` as SVG that loads nothing from anywhere."""
    clock = ReplayClock(demo.starts)
    pictures: list[str] = []
    with tempfile.TemporaryDirectory() as home:
        visits = Visits(load(), Path(home, "visits"), Path(home, "notes"), cache=places().cache, clock=clock)
        desk = visits.new()
        app = PadsideApp(desk, theme=theme, clock=clock)
        pilot = partial(_play, app, clock, demo, notes, pictures)
        try:
            app.run(headless=True, size=size, auto_pilot=cast("AutopilotCallbackType", pilot))
        finally:
            desk.close()
    (picture,) = pictures
    return _WINDOW_BUTTONS.sub("", _FONT_DOWNLOAD.sub("", picture))


async def _play(
    app: PadsideApp,
    clock: ReplayClock,
    demo: DemoVisit,
    notes: int,
    pictures: list[str],
    pilot: Pilot[None],
) -> None:
    line = app.visit_screen.query_one(NoteLine)
    line.cursor_blink = False
    await _settle(app, pilot)
    for note in demo.notes[:notes]:
        clock.now += timedelta(minutes=note.after_min)
        line.put(note.say)
        await pilot.press("enter")
        await _settle(app, pilot)
    pictures.append(app.export_screenshot(title=_TITLE))
    app.exit()


async def _settle(app: PadsideApp, pilot: Pilot[None]) -> None:
    await pilot.pause()
    while app.visit_screen.is_working:
        await asyncio.sleep(0.01)
    await pilot.pause()
    await pilot.pause()


def main(argv: Sequence[str] | None = None) -> int:
    """Draw one picture; return the exit code."""
    parser = argparse.ArgumentParser(prog="python -m assistant.tui.picture", description=__doc__)
    parser.add_argument("file", type=Path, nargs="?", default=USUAL_FILE, help="SVG file to write")
    parser.add_argument("--demo", default=USUAL_DEMO, help="demo session to play")
    parser.add_argument("--notes", type=int, default=USUAL_NOTES, help="how many of its notes")
    parser.add_argument("--theme", choices=[theme.name for theme in THEMES], default=SUNLIGHT)
    parser.add_argument("--size", type=int, nargs=2, default=USUAL_SIZE, metavar=("COLUMNS", "ROWS"))
    options = parser.parse_args(argv)
    demo = read_demo(find_demo(options.demo))
    picture = draw(demo, options.notes, size=tuple(options.size), theme=options.theme)
    atomic_write(options.file, picture)
    print(options.file)
    return 0


if __name__ == "__main__":
    sys.exit(main())

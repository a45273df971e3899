"""The terminal application: themes, screen sizes, and one visit on the screen."""

from __future__ import annotations

import os
from collections.abc import Callable
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from textual import on
from textual.app import App
from textual.driver import Driver
from textual.screen import Screen

from .keyboard import NotText, forgiving
from .palette import SUNLIGHT, THEMES
from .visit_screen import VisitScreen

if TYPE_CHECKING:
    from assistant.desk import Desk

    from .ears import Ears


def utc_now() -> datetime:
    return datetime.now(UTC)


class PadsideApp(App[None]):
    """One open visit in the terminal. Whoever makes the desk closes it after ``run``."""

    CSS_PATH = "screen.tcss"
    TITLE = "Padside"
    ENABLE_COMMAND_PALETTE = False
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (72, "-normal"), (118, "-wide")]  # noqa: RUF012 - as in App
    VERTICAL_BREAKPOINTS = [(0, "-low"), (18, "-mid"), (30, "-tall")]  # noqa: RUF012 - as in App

    def __init__(
        self,
        desk: Desk,
        *,
        theme: str = SUNLIGHT,
        clock: Callable[[], datetime] = utc_now,
        ears: Ears | None = None,
    ) -> None:
        # with NO_COLOR only the terminal's own two colours are used; Textual alone would still send greys
        super().__init__(ansi_color=True if os.environ.get("NO_COLOR") else None)
        for choice in THEMES:
            self.register_theme(choice)
        self.theme = theme
        self.failure: BaseException | None = None
        """What ended the program, where that was an error: whoever ran it tells the technician."""
        self.visit_screen = VisitScreen(desk, clock, ears)

    def get_default_screen(self) -> Screen[None]:
        return self.visit_screen

    def get_driver_class(self) -> type[Driver]:
        return forgiving(super().get_driver_class())

    def get_theme_variable_defaults(self) -> dict[str, str]:
        return THEMES[0].variables

    async def action_quit(self) -> None:
        """Leave once every note that was sent has been answered and saved; asked again, leave at once."""
        self.visit_screen.leave()

    def action_help_quit(self) -> None:
        self.visit_screen.tell_how_to_leave()

    @on(NotText)
    def _not_text(self) -> None:
        self.visit_screen.tell_not_text()

    def _fatal_error(self) -> None:
        """Close the screen without the traceback that Textual would print over the technician's work."""
        self.failure = self._exception
        self.panic()

"""All keys on one screen."""

from __future__ import annotations

from textual import events
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Static

KEYS = (
    ("Enter", "send the note; empty: talk"),
    ("Escape", "clear the line; close this page"),
    ("Up, Down", "earlier notes"),
    ("F1", "this page"),
    ("F2", "next view: now, talk, safety, suspects, readings"),
    ("F3", "what now"),
    ("F4", "why"),
    ("F5", "other check"),
    ("F6", "take back the last note"),
    ("F7", "write the job note"),
    ("F8", "sunlight or night colours"),
    ("F9, F10", "scroll up, down (also Page up, Page down)"),
    ("Ctrl+Q", "leave; everything is kept and goes on next time"),
)


_SCROLLING = frozenset({"up", "down", "pageup", "pagedown", "home", "end"})


class KeysScreen(ModalScreen[None]):
    """Any key but the scrolling ones, or a touch, closes it."""

    def compose(self) -> ComposeResult:
        with VerticalScroll():
            lines = [Content.assemble((f"{key:<9}", "bold"), f" {words}") for key, words in KEYS]
            yield Static(Content("\n").join([Content.styled("KEYS", "bold"), *lines]), markup=False)

    def on_key(self, event: events.Key) -> None:
        if event.key not in _SCROLLING:
            event.stop()
            self.dismiss()

    def on_click(self) -> None:
        self.dismiss()

"""The line where notes are typed; it always has the focus."""

from __future__ import annotations

from typing import ClassVar

from textual import events
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.widgets import Input

from assistant.dialogue.clean import clean

LONGEST = 20_000
"""Characters; far more than a note, few enough to stay quick while typing."""
_KEPT_NOTES = 50


class NoteLine(Input):
    """Enter sends, escape clears, up and down recall; what was being typed is kept while looking back."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "recall(-1)", show=False),
        Binding("down", "recall(1)", show=False),
        Binding("escape", "clear_line", show=False),
    ]

    class Cut(Message):
        """Pasted text was longer than a note can be."""

    def __init__(self) -> None:
        super().__init__(id="note", placeholder="Type what you see, read or did", select_on_focus=False)
        self._sent: list[str] = []
        self._place = 0
        self._draft = ""

    def remember(self, note: str) -> None:
        """Keep a sent note for recall."""
        if note.strip() and (not self._sent or self._sent[-1] != note):
            self._sent = [*self._sent, note][-_KEPT_NOTES:]
        self._place = len(self._sent)

    def put(self, text: str) -> None:
        """Replace the line and put the cursor at its end."""
        self.value = text
        self.cursor_position = len(text)

    def action_clear_line(self) -> None:
        self.put("")
        self._place = len(self._sent)

    def action_recall(self, step: int) -> None:
        if self._place == len(self._sent):
            self._draft = self.value
        self._place = min(max(self._place + step, 0), len(self._sent))
        self.put(self._sent[self._place] if self._place < len(self._sent) else self._draft)

    def on_paste(self, event: events.Paste) -> None:
        """Take all lines of a paste as one note; Input itself would drop all but the first."""
        event.stop()
        event.prevent_default()
        text = clean(" ".join(event.text.split()))
        room = max(LONGEST - len(self.value), 0)
        self.replace(text[:room], *self.selection)
        if len(text) > room:
            self.post_message(self.Cut())

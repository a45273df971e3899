"""Big keys for fingers in gloves; each says what a typed note or a function key would."""

from __future__ import annotations

from dataclasses import dataclass

from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.content import Content
from textual.message import Message
from textual.widgets import Static


@dataclass(frozen=True, slots=True)
class Touch:
    """One key: its label, the shorter one for narrow screens, its keyboard key, and what it does."""

    id: str
    label: str
    short: str
    key: str
    note: str | None = None
    """Note it sends; None where it runs ``action``."""
    action: str | None = None


ANSWERS = (
    Touch("yes", "Yes", "Yes", "", note="yes"),
    Touch("no", "No", "No", "", note="no"),
    Touch("cannot", "Can't", "Can't", "", note="can't"),
)
WISHES = (
    Touch("what_now", "What now", "Now?", "F3", note="what next"),
    Touch("why", "Why", "Why", "F4", note="why"),
    Touch("other", "Other check", "Other", "F5", note="something else"),
    Touch("take_back", "Take back", "Undo", "F6", note="take that back"),
)
VIEW = Touch("view", "View", "View", "F2", action="next_view")
MORE = Touch("more", "More", "More", "", action="more_keys")
KEYS = (*ANSWERS, *WISHES, VIEW, MORE)


class TouchKey(Static):
    """At least three rows high; never takes the focus from the note line."""

    @dataclass
    class Pressed(Message):
        """A key was touched."""

        touch: Touch

    def __init__(self, touch: Touch) -> None:
        super().__init__(markup=False, id=f"touch-{touch.id}", classes="touch")
        self.touch = touch

    def on_resize(self) -> None:
        label, key = self.touch.label, self.touch.key
        if Content(label).cell_length > self.content_size.width:
            label = self.touch.short
        self.update(Content(f"{label}\n{key}"))

    def on_click(self) -> None:
        self.post_message(self.Pressed(self.touch))


class TouchRow(Horizontal):
    """All keys side by side; on a narrow screen either the answers or the wishes, swapped with More."""

    def __init__(self) -> None:
        super().__init__(id="touch")

    def compose(self) -> ComposeResult:
        for touch in KEYS:
            yield TouchKey(touch)

    def on_mount(self) -> None:
        for touch in ANSWERS:
            self._key(touch).add_class("-answer")
        for touch in WISHES:
            self._key(touch).add_class("-wish")

    def offer(self, *, answers: bool) -> None:
        """Allow yes, no and can't only while something is asked."""
        for touch in ANSWERS:
            self._key(touch).disabled = not answers
        self.set_class(not answers, "-wishing")

    def swap(self) -> None:
        self.toggle_class("-wishing")

    def _key(self, touch: Touch) -> TouchKey:
        return self.query_one(f"#touch-{touch.id}", TouchKey)

"""The conversation: what the technician said, what was heard in it, what was answered."""

from __future__ import annotations

from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from assistant.dialogue.clean import clean
from assistant.dialogue.reply import HeardItem, Reply
from assistant.dialogue.wording import (
    doubt_words,
    heard_words,
    is_read_back,
    shortened,
    signal_words,
    split_signal,
)
from assistant.tui.rows import signal_style

KEPT_ENTRIES = 200
"""Older entries leave the screen (the log on disk keeps everything), so that a long visit stays quick."""


class TalkLog(VerticalScroll, can_focus=False):
    """Newest last; a new answer is shown from its first row."""

    def __init__(self) -> None:
        super().__init__(id="talk", classes="panel")
        self.border_title = "Talk"

    def add_note(self, note: str) -> None:
        self._add(Static(Content.assemble(("YOU ", "bold"), shortened(clean(note))), classes="note"))

    def add_reply(self, reply: Reply) -> None:
        self._add(Static(_answer(reply), classes="answer"))

    def add_notice(self, sentence: str) -> None:
        self._add(Static(_spoken_line(f"NOTICE: {sentence}"), classes="notice"))

    def on_resize(self) -> None:
        self.call_after_refresh(self._show_last)

    def _add(self, entry: Static) -> None:
        old = len(self.children) + 1 - KEPT_ENTRIES
        for child in self.children[: max(old, 0)]:
            child.remove()
        self.mount(entry)
        self.call_after_refresh(self._show_last)

    def _show_last(self) -> None:
        if self.children:
            self.scroll_to_widget(self.children[-1], top=True, animate=False, force=True)


def _answer(reply: Reply) -> Content:
    lines = [_heard(item) for item in reply.heard if heard_words(item)]
    body = [line for line in reply.reply.split("\n") if not is_read_back(line, reply)]
    unsaid = [words for words in reply.not_understood if words not in reply.reply]
    if unsaid:
        lines.append(Content.assemble(("NOT UNDERSTOOD ", "bold"), shortened(", ".join(unsaid))))
    return Content("\n").join([*lines, *map(_spoken_line, body)])


def _spoken_line(line: str) -> Content:
    signal, words = split_signal(line)
    label = Content.styled(signal_words(signal), signal_style(signal)) + " " if signal else Content()
    return label + words


def _heard(item: HeardItem) -> Content:
    doubt = Content.assemble("  ", (f" {doubt_words(item.doubt)} ", "bold reverse")) if item.doubt else ""
    return Content.assemble(("HEARD ", "bold"), heard_words(item), doubt)

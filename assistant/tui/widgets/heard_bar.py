"""What was made of the last note, right above the line where the next one is typed."""

from __future__ import annotations

from textual.widgets import Static

from assistant.dialogue.clean import clean
from assistant.dialogue.reply import Reply
from assistant.dialogue.wording import doubt_words, heard_words, shortened, signal_words
from assistant.tui.now_rows import MORE
from assistant.tui.rows import Rows, hanging, signal_style, stacked

_MOST_ROWS = ((30, 4), (18, 2), (0, 1))
"""Screen height from which on how many rows are taken at most."""


class HeardBar(Static):
    """Working, heard, or a notice; doubtful things come first."""

    def __init__(self) -> None:
        super().__init__(id="heard", markup=False)
        self._label = ""
        self._words = ""
        self._style = "bold"

    def working(self, note: str) -> None:
        self._show("WORKING ...", shortened(clean(note)), urgent=True)

    def notice(self, sentence: str) -> None:
        self._show(signal_words("notice"), sentence, signal_style("notice"), urgent=True)

    def heard(self, reply: Reply) -> None:
        doubtful_first = sorted(reply.heard, key=lambda item: item.doubt is None)
        items = [_item(item.doubt, heard_words(item)) for item in doubtful_first if heard_words(item)]
        if reply.not_understood:
            items.append(f"NOT UNDERSTOOD: {shortened(', '.join(reply.not_understood))}")
        self._show("HEARD", " | ".join(items)) if items else self._show("", "")

    def on_resize(self) -> None:
        self._draw()

    def _show(self, label: str, words: str, style: str = "bold", *, urgent: bool = False) -> None:
        self.set_class(urgent, "-urgent")
        self._label, self._words, self._style = label, words, style
        self._draw()

    def _draw(self) -> None:
        self.set_class(bool(self._label), "-on")
        self.update(stacked(self._rows()))

    def _rows(self) -> Rows:
        width = self.app.size.width - self.gutter.width
        most = next(rows for height, rows in _MOST_ROWS if self.app.size.height >= height)
        rows = hanging(self._label, self._words, width, label_style=self._style)
        if len(rows) <= most:
            return rows
        ending = f" ... {MORE}"
        return [*rows[: most - 1], rows[most - 1].truncate(width - len(ending)) + ending]


def _item(doubt: str | None, words: str) -> str:
    return f"{doubt_words(doubt)} {words}" if doubt else words

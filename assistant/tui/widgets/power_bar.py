"""Power state and phase, always on top."""

from __future__ import annotations

from textual.content import Content
from textual.widgets import Static

from assistant.dialogue.wording import phase_words, power_words
from assistant.session.state import Power

_LOOKS = {Power.ISOLATED: "-isolated", Power.PROVED_DEAD: "-dead", Power.DISCHARGED: "-dead"}
_LOOK_NAMES = ("-isolated", "-dead")


class PowerBar(Static):
    """One row: symbol, power state in words, what it means for the hands; at the right the phase."""

    def __init__(self) -> None:
        super().__init__(id="power", markup=False)
        self._power = Power.UNKNOWN.value
        self._phase = ""

    def show(self, power: str, phase: str) -> None:
        self._power, self._phase = power, phase
        look = _LOOKS.get(Power(power)) if power in list(Power) else None
        for name in _LOOK_NAMES:
            self.set_class(name == look, name)
        self._draw()

    def on_resize(self) -> None:
        self._draw()

    def _draw(self) -> None:
        symbol, word, meaning = power_words(self._power)
        left = f"{symbol} {word}: {meaning}" if meaning else f"{symbol} {word}"
        right = phase_words(self._phase)
        gap = self.content_size.width - Content(left).cell_length - Content(right).cell_length
        self.update(Content(f"{left}{' ' * gap}{right}" if gap > 0 else f"{left} {right}"))

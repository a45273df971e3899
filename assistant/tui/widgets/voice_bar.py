"""What the ears are doing: always visible while the voice is on."""

from __future__ import annotations

from textual.widgets import Static

from assistant.voice.listening import Moment

_QUIETEST_DB = -60.0
_CELLS = 10
_WORDS = {
    "off": "VOICE OFF",
    "idle": "( ) IDLE    Enter on the empty line: talk",
    "starting": "(.) STARTING the ears ...",
    "listening": "(o) LISTENING    Enter: that is all",
    "thinking": "(?) THINKING ...",
    "speaking": "(<) SPEAKING    Enter: be still and listen",
}


class VoiceBar(Static):
    """One row; state as a sign and a word, beside it how loud you are and how loud the place is."""

    def __init__(self) -> None:
        super().__init__(id="voice", markup=False)
        self.state = "idle"

    def show(self, moment: Moment) -> None:
        """Show a moment; without a level the meter is left out."""
        self.state = moment.state
        words = _WORDS.get(moment.state, moment.state.upper())
        if moment.level_db is not None:
            words = f"{words}    {meter(moment.level_db)} noise {meter(moment.noise_db or _QUIETEST_DB)}"
        self.update(words)


def meter(level_db: float) -> str:
    """Return a level between -60 and 0 dB as ten signs."""
    share = min(max(1 - level_db / _QUIETEST_DB, 0.0), 1.0)
    full = round(share * _CELLS)
    return "|" * full + "." * (_CELLS - full)

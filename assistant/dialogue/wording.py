"""How the parts of a reply read in both front ends: signal words, power, limits, doubts and errors.

Signal words and their order follow ANSI Z535.4 / ISO 3864 (from memory, not opened): the alert triangle
stands before DANGER, WARNING and CAUTION, which are about people; NOTICE is about property and carries none.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Protocol, TypeVar

from assistant.dialogue.reply import HeardItem, LimitItem, Reply
from assistant.session.state import Power

SIGNALS = ("danger", "warning", "caution", "notice")
"""Worst first."""
_TRIANGLE = "/!\\"
_INFORMATION = "[i]"

_POWER = {
    Power.UNKNOWN: ("?", "POWER UNKNOWN", "treat as live"),
    Power.LIVE: ("!", "POWER LIVE", "shock hazard"),
    Power.ISOLATED: ("/", "ISOLATED", "not proved dead"),
    Power.PROVED_DEAD: ("0 V~", "PROVED DEAD", "a charge may be left"),
    Power.DISCHARGED: ("0 V=", "DEAD, CHARGE REMOVED", ""),
}
"""Symbol, word, what it means for the hands. The zero-volt symbols are those of a meter's dial."""

_NEXT_WORDS = {
    "check": "CHECK",
    "question": "TELL ME",
    "plate": "READ THE PLATE",
    "close_out": "PROVE",
    "wait": "WAIT",
}

_SHORT_NOTE = 400
"""Characters of a long note that are shown back; the log holds all of it."""


class Signalled(Protocol):
    """Anything that is shown with a signal word (stops and cautions)."""

    @property
    def signal(self) -> str: ...


S = TypeVar("S", bound=Signalled)


def signal_words(signal: str) -> str:
    """Return symbol and signal word: ``/!\\ DANGER``, ``[i] NOTICE``."""
    word = signal.upper()
    return f"{_INFORMATION if word == 'NOTICE' else _TRIANGLE} {word}"


def split_signal(line: str) -> tuple[str, str]:
    """Return signal and words of a line like ``WARNING: ...``; the signal is empty for any other line."""
    word, colon, rest = line.partition(": ")
    return (word.lower(), rest) if colon and word.lower() in SIGNALS and word.isupper() else ("", line)


def announcements(reply: Reply) -> list[tuple[str, str]]:
    """Return (signal, words) of what the answer says with a signal word outside its stops and cautions."""
    known = {stop.say for stop in reply.stops} | {caution.say for caution in reply.cautions}
    lines = map(split_signal, reply.reply.split("\n"))
    return [(signal, words) for signal, words in lines if signal and words not in known]


def worst_first(items: Iterable[S]) -> list[S]:
    """Sort by signal word, DANGER first; an unknown word counts as the worst, for safety."""
    return sorted(items, key=lambda item: SIGNALS.index(item.signal) if item.signal in SIGNALS else -1)


def power_words(power: str) -> tuple[str, str, str]:
    """Return symbol, word and meaning of a power state; a state not known here reads as unknown."""
    return _POWER[Power(power)] if power in list(Power) else _POWER[Power.UNKNOWN]


def power_sentence(power: str) -> str:
    """Return the power state for the ear and the line: ``Power unknown: treat as live.``"""
    _, word, meaning = power_words(power)
    words = word.capitalize()
    return f"{words}: {meaning}." if meaning else f"{words}."


def phase_words(phase: str) -> str:
    """Return the phase as a heading: ``Finding``."""
    return phase.replace("_", " ").capitalize()


def next_words(kind: str) -> str:
    """Return the heading for a kind of next thing: ``CHECK``, ``READ THE PLATE``."""
    return _NEXT_WORDS.get(kind, kind.replace("_", " ").upper())


def limit_words(limit: LimitItem, *, source: bool = True, named: bool = False) -> str:
    """Return a limit: ``4.7 to 5.3 µF (printed tolerance, common practice)``.

    ``source`` adds the pedigree, in its short form where there is one; ``named`` puts subject and quantity first.
    """
    text = limit.window or limit.note or limit.formula
    pedigree = limit.rests_on or limit.source
    if source and limit.window and pedigree:
        text = f"{text} ({pedigree})"
    if named:
        about = " ".join(part.replace("_", " ") for part in (limit.about, limit.quantity) if part)
        text = f"{about}: {text}"
    return text


def heard_words(item: HeardItem) -> str:
    """Return the read-back of one item: ``fan side: 1.2 µF (low)``; empty for a mere request."""
    shown = item.shown.removeprefix("? ")  # the doubt has its own mark
    return shown or ("" if item.kind == "request" else item.name or item.said)


def is_read_back(line: str, reply: Reply) -> bool:
    """Return True for a line of the answer that only says back what was heard."""
    shown = [item.shown for item in reply.heard if item.shown]
    return bool(shown) and all(words in line for words in shown)


def doubt_words(doubt: str) -> str:
    """Return the mark of a doubtful item: symbol and word, never colour alone."""
    return f"(?) {doubt.upper()}"


def minutes_words(minutes: float) -> str:
    """Return a duration: ``about 2 min``."""
    return f"about {minutes:.0f} min" if minutes >= 1 else "under 1 min"


def shortened(note: str) -> str:
    """Return a note for showing back: very long ones are cut, and say so."""
    if len(note) <= _SHORT_NOTE:
        return note
    return f"{note[:_SHORT_NOTE]} ... ({len(note):,} characters in all)"


def error_sentence(error: BaseException) -> str:
    """Return what to tell the technician about an error: its own sentence, or one made here."""
    text = " ".join(str(error).split())
    if isinstance(error, OSError) and error.strerror:
        where = f" ({error.filename})" if error.filename else ""
        return f"The computer refused: {error.strerror.lower()}{where}. What was logged before is safe."
    if " " in text and text.endswith((".", "!", "?")):
        return text
    inside = f"{type(error).__name__}: {text}" if text else type(error).__name__
    return f"That could not be done ({inside}). What was logged before is safe. Say it in other words."

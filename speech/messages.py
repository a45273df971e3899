"""What the two processes say to each other: one JSON object per line, ``do`` downwards, ``event`` upwards.

Commands: ``teach``, ``listen``, ``audio``, ``audio_end``, ``stop``, ``speak``, ``devices``, ``quit``.
Events: ``ready``, ``state``, ``level``, ``heard``, ``nothing_heard``, ``taken``, ``spoken``, ``ended``, ``devices``,
``trouble``.
"""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass, field
from typing import Any, BinaryIO

Message = dict[str, Any]


class SpeechError(Exception):
    """Something about hearing or speaking that the technician can do something about.

    ``remedy`` says what to do; typing always goes on.
    """

    def __init__(self, kind: str, say: str, remedy: str) -> None:
        super().__init__(f"{say} {remedy}")
        self.kind = kind
        self.say = say
        self.remedy = remedy


@dataclass(frozen=True, slots=True)
class Hypothesis:
    """One way to write down what was heard."""

    text: str
    score: float
    """Log score against the most likely one: 0 or less; only differences within one phrase mean something."""


@dataclass(frozen=True, slots=True)
class Phrase:
    """One phrase as it was heard."""

    hypotheses: tuple[Hypothesis, ...]
    """Most likely first; empty where nothing was made of the sound."""
    fit: float
    """How well the sound fits the words, 0 (not at all) to 1 (as well as speech ever does)."""
    sure: float
    """How little else the least certain word could be, 0 to 1."""
    speech_s: float
    """Seconds of speech."""
    snr_db: float
    """Speech over the noise measured before it."""
    noise_db: float
    """Noise before the phrase, in dB below full scale."""
    cut: bool = False
    """True where the phrase was cut off at the longest time."""
    lost: bool = False
    """True where sound was lost on the way (overflow)."""
    talk: float = 0.0
    """Share of the sound that is more like ordinary talk than like a note, 0 to 1."""
    dictated: str | None = None
    """Words of a free note, from the large vocabulary; may be wrong."""
    recognise_s: float = 0.0
    """Time from the end of the sound to the words."""
    place_s: float = 0.0
    """Where in the audio the speech ended, in seconds from the beginning of the source."""
    compared: bool = True
    """False where the recogniser gives one hypothesis only, so that a lone one says nothing of others."""

    def as_message(self) -> Message:
        """Return the event that carries it."""
        return {"event": "heard", **asdict(self)}

    @classmethod
    def from_message(cls, message: Message) -> Phrase:
        """Return the phrase of a ``heard`` event; raises KeyError or TypeError for anything else."""
        fields = {key: value for key, value in message.items() if key not in {"event", "hypotheses"}}
        return cls(tuple(Hypothesis(**one) for one in message["hypotheses"]), **fields)


@dataclass(frozen=True, slots=True)
class Lesson:
    """What the recogniser is taught: how notes sound and which words follow which."""

    sentences: tuple[str, ...]
    """Example notes; a token may be several words joined with ``_``."""
    pronunciations: dict[str, tuple[str, ...]] = field(default_factory=dict)
    """Word -> its sounds in ARPAbet, where the recogniser's own dictionary has not the word."""
    openers: tuple[str, ...] = ()
    """Words that open a free note."""

    def words(self) -> list[str]:
        """Return every single word, sorted."""
        return sorted({word for sentence in self.sentences for token in sentence.split() for word in token.split("_")})


def write_message(stream: BinaryIO, message: Message) -> None:
    """Write one message as one line and send it off at once."""
    stream.write(json.dumps(message, ensure_ascii=True).encode() + b"\n")
    stream.flush()


def read_message(line: bytes) -> Message | None:
    """Return the message of a line; None for anything that is not a JSON object (a library wrote to the stream)."""
    try:
        message = json.loads(line)
    except ValueError:
        return None
    return message if isinstance(message, dict) else None

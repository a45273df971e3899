"""What the recogniser is taught: how notes are built, usual numbers, how words of the trade sound."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, StringConstraints

from .entry import Closed, Id

Sounds = Annotated[str, StringConstraints(pattern=r"^[A-Z]{1,2}( [A-Z]{1,2})*$")]


class Frames(Closed):
    """How notes are built.

    Places in braces: subject, state, complaint, number, small, rating, capacity, unit, item, one, two, ``measured``
    (words that mark a value as measured), and ``the``.
    """

    reading: tuple[str, ...]
    over_limit: tuple[str, ...]
    finding: tuple[str, ...]
    complaint: tuple[str, ...]
    bare: tuple[str, ...]
    plate: tuple[str, ...]
    rating: tuple[str, ...]
    """Values printed in pairs on a capacitor."""
    limit: tuple[str, ...]
    join: tuple[str, ...]


class Span(Closed):
    """A run of numbers that is usual for a quantity, in its first unit."""

    quantity: Id
    """Quantity id, or ``small``: the second number of a pair."""
    least: float = Field(ge=0)
    most: float
    step: float = Field(gt=0)


class Pronunciation(Closed):
    """How one word sounds, in ARPAbet without stress; several ways are possible."""

    word: Annotated[str, StringConstraints(pattern=r"^[a-z']+$")]
    sounds: tuple[Sounds, ...] = Field(min_length=1)


class Trust(Closed):
    """From which signs on a hearing is believed, asked back, or rejected. Chosen by the speech benchmark."""

    fit_reject: float = Field(ge=0, le=1)
    fit_accept: float = Field(ge=0, le=1)
    fit_word: float = Field(ge=0, le=1)
    """A note of one word is taken at once only from here on: it has little sound to be told by."""
    sure_accept: float = Field(ge=0, le=1)
    sure_alone: float = Field(ge=0, le=1)
    """In noise a lone hypothesis is taken at once only from here on."""
    sure_long: float = Field(ge=0, le=1)
    long_words: int = Field(gt=0)
    fit_long: float = Field(ge=0, le=1)
    """A note of so many words or more that fits less than that and has a word less sure than ``sure_long`` is talk."""
    talk_long: float = Field(ge=0, le=1)
    """So is one with such a word, however well it fits, of whose sound so much is talk."""
    ahead_quiet: float = Field(ge=0)
    """So much must what is taken at once be ahead, in the recogniser's log score, of all that means something else."""
    ahead_clear: float = Field(ge=0)
    """The same in noise, or where another number is as likely or something was left out."""
    snr_least_db: float
    """Below it everything is asked back."""
    snr_loud_db: float
    """Below it what is not heard is blamed on the noise."""
    snr_ask_db: float
    """Below it a place is noisy.

    As the cutter measures it: loud parts of the speech over the noise before it, about 3 dB more than the mean.
    """


class Spoken(Closed):
    trust: Trust
    controls: dict[Id, tuple[str, ...]]
    """Words for the voice itself, which always work: stop, quiet, aloud, slower, faster."""
    shares: dict[Id, int]
    """Notes of each form out of a hundred."""
    often: dict[Id, int] = Field(default_factory=dict)
    """Answers that come so many times while another one comes once."""
    also_said: dict[Id, tuple[Id, ...]] = Field(default_factory=dict)
    """Subject -> states that are usually said of it, though no check asks for them."""
    frames: Frames
    spans: tuple[Span, ...]
    pronunciations: tuple[Pronunciation, ...]
    unspoken: tuple[str, ...] = ()
    """Words, or whole phrases, that are typed but never taught as said."""


class SpokenFile(Closed):
    spoken: Spoken

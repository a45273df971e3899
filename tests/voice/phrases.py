"""Phrases as the child would tell them, for tests without sound."""

from __future__ import annotations

from pathlib import Path

from assistant.desk import Desk
from assistant.open_visit import open_new
from knowledge import load
from speech.messages import Hypothesis, Phrase


def phrase(
    *texts: str, fit: float = 0.95, sure: float = 0.95, snr_db: float = 30.0, ahead: float = 0.05, **more: object
) -> Phrase:
    """Return a phrase with these hypotheses, each ``ahead`` of the next; clearly heard unless said otherwise."""
    hypotheses = tuple(Hypothesis(text, -ahead * rank) for rank, text in enumerate(texts))
    return Phrase(hypotheses, fit, sure, speech_s=1.5, snr_db=snr_db, noise_db=-60.0, **more)  # type: ignore[arg-type]


def desk_at(home: Path) -> Desk:
    """Return a new visit below ``home``."""
    return open_new(load(), home, cache=home / "cache")

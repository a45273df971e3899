"""Ordinary talk, as the rival of the notes: common words in the order of the large model inside the recogniser's wheel.

A recogniser that knows notes only makes a note of everything. Taught some talk beside them, it hears talk as talk.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
from pocketsphinx import Config, LogMath, NGramModel

MARK = "~"
"""Stands before a word of ordinary talk, so that "on" in a note and "on" in talk stay two tokens."""
_WORDS = 600
"""Common words that are taught. Chosen on the development sentences: 98 % of their talk is told by it, clean."""
_SENTENCES = 16_000
"""Against 128 000 notes: one in nine of what is said at a unit is not for us. With fewer, more talk is asked back."""
_SHORTEST, _LONGEST = 3, 11
_LOG_BASE = 1.0001
_SEED = 1


def small_talk(word_order: Path, sounds: dict[str, tuple[str, ...]]) -> tuple[list[str], dict[str, tuple[str, ...]]]:
    """Return made-up talk, its words marked, and how the marked words sound.

    ``word_order``: the large model of the wheel; ``sounds``: its dictionary.
    """
    model = NGramModel(Config(lm=None, hmm=None, dict=None), LogMath(_LOG_BASE), str(word_order))
    alone = {word: model.prob([word]) for word in sounds if word[0].isalpha()}
    words = sorted(alone, key=alone.__getitem__, reverse=True)[:_WORDS]
    first = _running(np.array([[alone[word] for word in words]]))
    # the model wants the word before its history
    after = _running(np.array([[model.prob([word, before]) for word in words] for before in words]))
    random = np.random.default_rng(_SEED)
    sentences = []
    for length in random.integers(_SHORTEST, _LONGEST, _SENTENCES, endpoint=True):
        spoken = [_drawn(first[0], random.random())]
        for chance in random.random(length - 1):
            spoken.append(_drawn(after[spoken[-1]], chance))
        sentences.append(" ".join(MARK + words[nth] for nth in spoken))
    return sentences, {MARK + word: sounds[word] for word in words}


def _running(logs: np.ndarray) -> np.ndarray:
    """Return the running sums of each row's shares."""
    shares = np.exp(logs * np.log(_LOG_BASE))
    return np.asarray(np.cumsum(shares / shares.sum(axis=1, keepdims=True), axis=1))


def _drawn(running: np.ndarray, chance: float) -> int:
    return min(int(np.searchsorted(running, chance)), running.size - 1)

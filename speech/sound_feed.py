"""Gives the sound of one phrase to PocketSphinx while it is spoken, so that little is left at its end."""

from __future__ import annotations

import numpy as np
from pocketsphinx import Decoder

from .levels import FRAME, RATE, Samples
from .wiener import NoiseRemover, Sound

_FLOOR_RMS = 40.0
"""Noise put under every phrase: the model never met digital silence (helped 4 % of clean synthetic notes)."""
_NOISE_SEED = 1
_SETTLE = RATE
"""So many samples tell how voice and microphone colour the sound; a shorter phrase tells by all of it."""


class SoundFeed:
    """One phrase on its way into a decoder: one searches wide, for quiet places, two as noise has time for.

    Over a whole phrase the decoder takes out the mean of the cepstra of all of it, which is only known at its end.
    Here the mean of the first second begins, and goes on from there in the library's own way. The library is given
    equal pieces whatever comes in, and its mean is set for each phrase: so the same sound is always heard alike.
    The mean comes from a second decoder, the ``meter``: one that was ever given pieces takes no mean of a whole again.
    """

    def __init__(self, quiet: Decoder, noisy: Decoder, loud: Decoder, meter: Decoder) -> None:
        self._quiet, self._noisy, self._loud = quiet, noisy, loud
        self._decoder = quiet
        """The one that this phrase is given to, chosen when enough of it is there to tell how loud the place is."""
        self._meter = meter
        self._remover = NoiseRemover()
        self._noise = np.random.default_rng(_NOISE_SEED)
        self._waiting = bytearray()
        """Cleaned, but not yet given to the decoder; 16-bit."""
        self._given = bytearray()
        self._running = False

    def take(self, samples: Samples) -> None:
        """Take the next piece of the phrase."""
        self._clean(self._remover.take(samples))
        if not self._running and len(self._waiting) >= 2 * _SETTLE:
            self._begin()
        while self._running and len(self._waiting) >= 2 * FRAME:
            self._give(FRAME)

    def finish(self) -> tuple[Decoder, bytes]:
        """End the search and return the decoder that has the words, and the whole sound as it got it, 16-bit."""
        self._clean(self._remover.finish())
        if not self._running:
            self._begin()
        while self._waiting:
            self._give(FRAME)
        self._decoder.end_utt()
        self._running = False
        return self._decoder, bytes(self._given)

    def drop(self) -> None:
        """Leave the phrase; the decoder is free for another one."""
        if self._running:
            self._decoder.end_utt()
            self._running = False

    def _clean(self, sound: Sound) -> None:
        loud = sound + self._noise.standard_normal(sound.size) * _FLOOR_RMS
        self._waiting += np.clip(loud, -32768, 32767).astype("<i2").tobytes()

    def _begin(self) -> None:
        noisy = self._loud if self._remover.is_loud else self._noisy
        self._decoder = self._quiet if self._remover.is_quiet else noisy
        self._meter.start_utt()
        self._meter.process_raw(bytes(self._waiting[: 2 * _SETTLE]), full_utt=True)
        self._meter.end_utt()
        self._decoder.set_cmn(self._meter.get_cmn(False))
        self._decoder.start_utt()
        self._running = True
        self._give(_SETTLE)

    def _give(self, count: int) -> None:
        piece = bytes(self._waiting[: 2 * count])
        del self._waiting[: 2 * count]
        self._given += piece
        self._decoder.process_raw(piece, full_utt=False)

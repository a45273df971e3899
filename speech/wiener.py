"""Takes the noise of the place out of a phrase while it is spoken: a Wiener filter on the noise before it.

The gain follows the decision-directed estimate of Ephraim and Malah (1984), from memory; constants chosen on the
development sentences of the benchmark.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from .levels import RATE, Samples

LEAD_S = 0.18
"""At least that much of the place is kept before the speech of a phrase: the cutter's share, less the loud frames that
it waits for and one for a soft first sound. Speech in it would be taken for noise, and out of the whole phrase.
"""
_DECIDE_S = 1.0
"""So much of a phrase tells how loud it is over the place; a shorter one is taken as it is in the end."""
_QUIET_DB = 35.0
"""Over so much quieter a place nothing is taken out: on clean speech the filter cost more notes than it won."""
_LOUD_DB = 16.0
"""Up to so little over its place a phrase is hardly told from it."""
_FRAME, _HOP = 512, 256
_SMOOTH = 0.92
"""Weight of the frame before in the estimate of speech over noise."""
_LEAST_GAIN = 0.1
"""20 dB down and no further: holes in the sound fit no phone."""
_BANDS = 5
"""Neighbouring frequencies that the noise is averaged over."""
_TINY = 1e-9
_WINDOW = np.sqrt(np.hanning(_FRAME + 1)[:-1])
"""Used twice, its squares add up to one at half a frame's hop."""

Sound = NDArray[np.float64]


class NoiseRemover:
    """Takes out of one phrase the noise measured in its first moment; a quiet one is left as it is.

    However the phrase is cut into pieces, the same sound comes out.
    """

    def __init__(self) -> None:
        self._held: Sound = np.zeros(0)
        """Taken, but not yet given."""
        self._filter: _Filter | None = None
        self.is_loud = False
        """True where the phrase is hardly above the place."""
        self._decided = False

    @property
    def is_quiet(self) -> bool:
        """True where nothing is taken out, or too little of the phrase is there to tell."""
        return self._filter is None

    def take(self, samples: Samples) -> Sound:
        """Take the next samples; return what of the sound is ready: some 30 ms less than was taken."""
        self._held = np.concatenate([self._held, samples.astype(np.float64)])
        if not self._decided:
            if self._held.size < RATE * _DECIDE_S:
                return np.zeros(0)
            self._decide(self._held[: int(RATE * _DECIDE_S)])
        if self._filter is None:
            ready, self._held = self._held, np.zeros(0)
            return ready
        return self._cleaned(self._filter)

    def finish(self) -> Sound:
        """Return the rest of the sound."""
        if not self._decided:
            self._decide(self._held)
        if self._filter is None:
            return self._held
        left = self._held.size
        self._held = np.concatenate([self._held, np.zeros(_FRAME)])
        return self._cleaned(self._filter)[:left]

    def _decide(self, sound: Sound) -> None:
        self._decided = True
        if sound.size >= RATE * LEAD_S + _FRAME and (over_db := _speech_over_noise_db(sound)) <= _QUIET_DB:
            self._filter, self.is_loud = _Filter(sound), over_db <= _LOUD_DB

    def _cleaned(self, through: _Filter) -> Sound:
        ready = []
        start = 0
        while start + _FRAME <= self._held.size:
            ready.append(through.next(self._held[start : start + _FRAME]))
            start += _HOP
        self._held = self._held[start:]
        return np.concatenate(ready) if ready else np.zeros(0)


def without_noise(samples: Samples) -> Sound:
    """Return a whole phrase without the noise measured in its first moment; a quiet one as it is."""
    remover = NoiseRemover()
    return np.concatenate([remover.take(samples), remover.finish()])


class _Filter:
    """The gain of every frequency, from frame to frame."""

    def __init__(self, sound: Sound) -> None:
        starts = range(0, (int(LEAD_S * RATE) // _HOP - 1) * _HOP, _HOP)
        lead = np.fft.rfft([sound[start : start + _FRAME] * _WINDOW for start in starts])
        wide = np.pad((np.abs(lead) ** 2).mean(axis=0), _BANDS // 2, mode="edge")
        self._noise = np.maximum(np.convolve(wide, np.full(_BANDS, 1 / _BANDS), "valid"), _TINY)
        self._gain, self._before = np.ones(self._noise.size), np.zeros(self._noise.size)
        self._overlap = np.zeros(_HOP)
        self.next(np.concatenate([np.zeros(_HOP), sound[:_HOP]]))  # the half frame before the sound

    def next(self, frame: Sound) -> Sound:
        """Return the next half frame of cleaned sound."""
        spectrum = np.fft.rfft(frame * _WINDOW)
        now = np.abs(spectrum) ** 2 / self._noise
        prior = _SMOOTH * self._gain**2 * self._before + (1 - _SMOOTH) * np.maximum(now - 1, 0)
        self._gain, self._before = np.maximum(prior / (1 + prior), _LEAST_GAIN), now
        cleaned = np.fft.irfft(spectrum * self._gain) * _WINDOW
        ready = self._overlap + cleaned[:_HOP]
        self._overlap = cleaned[_HOP:]
        return np.asarray(ready)


def _speech_over_noise_db(sound: Sound) -> float:
    frames = sound[: sound.size // 480 * 480].reshape(-1, 480)
    loud = np.percentile(np.mean(frames**2, axis=1), 85)
    noise = np.mean(sound[: int(LEAD_S * RATE)] ** 2)
    return float(10 * np.log10((loud + _TINY) / (noise + _TINY)))

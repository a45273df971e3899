"""Takes the noise of the place out of a phrase: a Wiener filter on the noise before it.

The gain follows the decision-directed estimate of Ephraim and Malah (1984), from memory; constants chosen on the
development sentences of the benchmark.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from .levels import RATE, Samples

LEAD_S = 0.25
"""Before the speech of a phrase at least that much of the place is kept."""
_QUIET_DB = 35.0
"""Over so much quieter a place nothing is taken out: on clean speech the filter cost more notes than it won."""
_FRAME, _HOP = 512, 256
_SMOOTH = 0.92
"""Weight of the frame before in the estimate of speech over noise."""
_LEAST_GAIN = 0.1
"""20 dB down and no further: holes in the sound fit no phone."""
_BANDS = 5
"""Neighbouring frequencies that the noise is averaged over."""
_TINY = 1e-9

Sound = NDArray[np.float64]


def without_noise(samples: Samples) -> Sound:
    """Return a phrase without the noise measured in its first quarter of a second; a quiet one as it is."""
    sound = samples.astype(np.float64)
    if sound.size < RATE * LEAD_S + _FRAME or _speech_over_noise_db(sound) > _QUIET_DB:
        return sound
    window = np.sqrt(np.hanning(_FRAME + 1)[:-1])  # used twice, its squares add up to one at half a frame's hop
    padded = np.concatenate([np.zeros(_FRAME), sound, np.zeros(_FRAME)])
    starts = range(0, padded.size - _FRAME, _HOP)
    spectra = np.fft.rfft([padded[start : start + _FRAME] * window for start in starts])
    cleaned = np.fft.irfft(spectra * _gains(np.abs(spectra) ** 2))
    out = np.zeros_like(padded)
    for start, frame in zip(starts, cleaned, strict=True):
        out[start : start + _FRAME] += frame * window
    return np.asarray(out[_FRAME : _FRAME + sound.size])


def _speech_over_noise_db(sound: Sound) -> float:
    frames = sound[: sound.size // 480 * 480].reshape(-1, 480)
    loud = np.percentile(np.mean(frames**2, axis=1), 85)
    noise = np.mean(sound[: int(LEAD_S * RATE)] ** 2)
    return float(10 * np.log10((loud + _TINY) / (noise + _TINY)))


def _gains(power: Sound) -> Sound:
    """Return the gain of every frame and frequency."""
    first = _FRAME // _HOP  # the frames before hold padding
    noise = power[first : first + int(LEAD_S * RATE) // _HOP - 1].mean(axis=0)
    wide = np.pad(noise, _BANDS // 2, mode="edge")
    noise = np.maximum(np.convolve(wide, np.full(_BANDS, 1 / _BANDS), "valid"), _TINY)
    over = power / noise
    gains = np.empty_like(power)
    gain, before = np.ones(power.shape[1]), over[0]
    for nth, now in enumerate(over):
        prior = _SMOOTH * gain**2 * before + (1 - _SMOOTH) * np.maximum(now - 1, 0)
        gain = np.maximum(prior / (1 + prior), _LEAST_GAIN)
        gains[nth], before = gain, now
    return gains

"""Loudness of 16-bit sound, and where a phrase begins and ends."""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

RATE = 16_000
"""Samples per second that the recognisers want."""
FRAME = 480
"""Samples per frame: 30 ms."""
FRAME_S = FRAME / RATE
SILENT_DB = -96.0
"""Loudness of no sound at all: the range of 16 bits."""

_LEAST_FRAMES = 8
"""Frames of noise that tell something."""
_EVEN_DB = 3.0
"""Speech varies more than this in so many frames, a machine less."""

Samples = NDArray[np.int16]


def loudness_db(samples: Samples | NDArray[np.float64]) -> float:
    """Return the loudness in dB below full scale (0 dB = full scale; -96 dB = silence)."""
    if samples.size == 0:
        return SILENT_DB
    power = float(np.mean(np.square(samples.astype(np.float64))))
    return max(SILENT_DB, 10 * float(np.log10(power / 32768.0**2))) if power > 0 else SILENT_DB


def sharpness_db(samples: Samples) -> float:
    """Return the loudness of the differences between samples: hum and the wind of a fan lie low and count little."""
    return loudness_db(np.diff(samples.astype(np.float64)))


@dataclass(frozen=True, slots=True)
class Gate:
    """How a phrase is told from noise and silence."""

    over_noise_db: float = 4.0
    """Speech is at least this much sharper than the noise before it (``tests.benchmarks.gates``: 3 dB ends a phrase
    late at 10 dB, 5 dB misses one in ten there)."""
    least_db: float = -55.0
    """Nothing softer than this is speech, however quiet the place."""
    begin_s: float = 0.09
    """That much loud sound in a row begins a phrase; shorter is a click."""
    least_s: float = 0.15
    """Less speech than this is a knock or a cough."""
    end_s: float = 0.42
    """That much silence ends it: the answer is to come within half a second, and some of that is for making it."""
    pause_s: float = 0.18
    """After that much silence it may have ended: the hearing is finished, so that the words are there when it has."""
    before_s: float = 0.3
    """Kept from before the begin, so that soft first sounds are not lost."""
    longest_s: float = 30.0
    """The hard cut."""
    steady_db: float = 5.0
    """Sound that varies less than this over ``steady_s`` is a machine, not speech: a unit that starts meanwhile."""
    steady_s: float = 1.5
    unknown_db: float = -45.0
    """Noise assumed while there was no time yet to measure it."""
    give_up_s: float = 8.0
    """Without any speech the listening ends; only for the talk key."""


@dataclass(slots=True)
class Cut:
    """A phrase cut out of the stream."""

    samples: Samples
    speech_s: float
    snr_db: float
    noise_db: float
    too_long: bool


class PhraseCutter:
    """Cuts phrases out of a stream of frames. The noise is measured while nobody speaks."""

    def __init__(self, gate: Gate) -> None:
        self._gate = gate
        self._noise: deque[float] = deque(maxlen=round(1.5 / FRAME_S))
        self._sharp_noise: deque[float] = deque(maxlen=round(1.5 / FRAME_S))
        self._before: deque[Samples] = deque(maxlen=round(gate.before_s / FRAME_S))
        self._phrase: list[Samples] = []
        self._first: list[tuple[float, float, bool]] = []
        """Loudness and sharpness of the first frames of all, and whether they were taken for speech."""
        self._loud_run = 0
        self._quiet_run = 0
        self._speech_db: list[float] = []
        self._recent: deque[float] = deque(maxlen=round(gate.steady_s / FRAME_S))
        self._loud: deque[bool] = deque(maxlen=round(gate.steady_s / FRAME_S))
        self._recent_sharp: deque[float] = deque(maxlen=round(gate.steady_s / FRAME_S))
        self._noise_at_begin = SILENT_DB
        self._sharp_noise_at_begin = SILENT_DB
        self.level_db = SILENT_DB
        self._sharp_db = SILENT_DB

    @property
    def noise_db(self) -> float:
        """Loudness of the place while nobody speaks: the lower third of the last second and a half."""
        return self._usual(self._noise)

    def _usual(self, levels: deque[float]) -> float:
        if len(levels) < _LEAST_FRAMES:
            return max([self._gate.unknown_db, *levels])
        return float(np.percentile(levels, 35))

    @property
    def in_phrase(self) -> bool:
        """True between the begin and the end of a phrase."""
        return bool(self._phrase)

    @property
    def at_pause(self) -> bool:
        """True on the one frame of a silence on which a phrase may have ended."""
        return self.in_phrase and self._quiet_run == round(self._gate.pause_s / FRAME_S)

    @property
    def so_far(self) -> Samples:
        """The phrase up to now."""
        return np.concatenate(self._phrase)

    @property
    def is_quiet(self) -> bool:
        """True while the last frame of a phrase was silence."""
        return self._quiet_run > 0

    def take(self, frame: Samples) -> Cut | None:
        """Take the next frame; return the phrase that it ends, if it ends one."""
        self.level_db, self._sharp_db = loudness_db(frame), sharpness_db(frame)
        loud = self.is_speech(frame)
        if not self._phrase:
            self._wait_for_begin(frame, loud=loud)
            return None
        self._phrase.append(frame)
        self._quiet_run = 0 if loud else self._quiet_run + 1
        if loud:
            self._speech_db.append(self.level_db)
        self._recent.append(self.level_db)
        self._recent_sharp.append(self._sharp_db)
        self._loud.append(loud)
        too_long = len(self._phrase) * FRAME_S >= self._gate.longest_s
        steady = self._is_steady()
        if steady:
            loud_of_late = sum(self._loud)
            self._speech_db = self._speech_db[: len(self._speech_db) - loud_of_late]  # the machine, not the technician
        if too_long or steady or self._quiet_run * FRAME_S >= self._gate.end_s:
            quiet = len(self._recent) if steady else self._quiet_run
            if not too_long:
                # the silence behind a phrase is the newest that is known of the noise
                self._noise.extend([*self._recent][-quiet:])
                self._sharp_noise.extend([*self._recent_sharp][-quiet:])
            return self._cut(too_long=too_long)
        return None

    def finish(self) -> Cut | None:
        """Return the phrase under way: the source ended, or the technician tapped the key."""
        return self._cut(too_long=False) if self._phrase else None

    def is_speech(self, frame: Samples) -> bool:
        """Return whether a frame stands out of the place; ``tests.benchmarks.gates`` puts a library in here."""
        del frame  # its loudness is known already
        noise = self._sharp_noise_at_begin if self._phrase else self._usual(self._sharp_noise)
        return self._sharp_db > noise + self._gate.over_noise_db and self.level_db > self._gate.least_db

    def _is_steady(self) -> bool:
        full = len(self._recent) == self._recent.maxlen
        return full and float(np.ptp(np.percentile(self._recent, (5, 95)))) < self._gate.steady_db

    def _wait_for_begin(self, frame: Samples, *, loud: bool) -> None:
        self._before.append(frame)
        self._loud_run = self._loud_run + 1 if loud else 0
        if len(self._first) < _LEAST_FRAMES:
            self._first.append((self.level_db, self._sharp_db, loud))
            if len(self._first) < _LEAST_FRAMES:
                return  # what is said at once is kept, and begins a phrase then
            loud = self._stands_out_of_first() and loud
        if self._loud_run * FRAME_S >= self._gate.begin_s:
            self._noise_at_begin = self.noise_db
            self._sharp_noise_at_begin = self._usual(self._sharp_noise)
            self._phrase = list(self._before)
            self._speech_db = [self.level_db]
            self._quiet_run = self._loud_run = 0
        elif not loud:
            self._noise.append(self.level_db)
            self._sharp_noise.append(self._sharp_db)

    def _stands_out_of_first(self) -> bool:
        """Measure the noise in the first frames; False where they are nothing but noise.

        Taken for speech, the noise of a loud place would begin a phrase at once, and no silence would ever end it.
        """
        sharp = [one for _, one, _ in self._first]
        even = max(sharp) - min(sharp) <= _EVEN_DB
        for level, sharpness, loud in self._first[:-1]:  # the last one is dealt with by the caller
            if even or not loud:
                self._noise.append(level)
                self._sharp_noise.append(sharpness)
        if even:
            self._loud_run = 0
        return not even

    def _cut(self, *, too_long: bool) -> Cut | None:
        """Return the phrase; None where there was too little speech in it."""
        cut = None
        speech_s = len(self._speech_db) * FRAME_S
        if speech_s >= self._gate.least_s:
            snr_db = float(np.percentile(self._speech_db, 70)) - self._noise_at_begin
            cut = Cut(np.concatenate(self._phrase), speech_s, snr_db, self._noise_at_begin, too_long)
        self._phrase, self._speech_db = [], []
        self._before.clear()
        self._recent.clear()
        self._recent_sharp.clear()
        self._loud.clear()
        return cut

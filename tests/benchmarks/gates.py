"""Where phrases begin and end, by the energy gate and by a library: ``python -m tests.benchmarks.gates``.

The library is WebRTC's voice activity detector; both sit in the same cutter. Notes of the development set are said at
the unit at four levels; a minute of the unit's noise alone, and ten units that start meanwhile, tell false alarms.
Where speech really begins and ends is taken from the clean sound.

Figures stand in DEVELOPERS.md, "Decisions worth knowing".
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import webrtcvad

from knowledge.reader import read_model
from speech.levels import FRAME, RATE, Gate, PhraseCutter, Samples
from tests.benchmarks.speech import AUDIBLE, BEFORE_S, DEVELOPMENT, Notes
from tests.speech_sounds import PEAK, at_the_unit, said, unit_noise, voices

SLACK_S = 0.06
"""Two frames: so much of a soft begin or end may be cut off."""
ALONE_S = 60


class LibraryCutter(PhraseCutter):
    """The same cutter, told by WebRTC's detector what is speech; mode 3 calls the least speech."""

    def __init__(self, gate: Gate, mode: int) -> None:
        super().__init__(gate)
        self._detector: Any = webrtcvad.Vad(mode)

    def is_speech(self, frame: Samples) -> bool:
        return bool(self._detector.is_speech(frame.astype("<i2").tobytes(), RATE))


@dataclass
class Count:
    """What became of the notes of one level."""

    notes: int = 0
    missed: int = 0
    split: int = 0
    begins_cut: int = 0
    ends_cut: int = 0
    late_s: list[float] = field(default_factory=list)
    """From the last sound to the end of the phrase."""


def cuts(cutter: PhraseCutter, sound: Samples) -> list[tuple[int, int, int]]:
    """Return the phrases of a sound: first sample, last sample kept, sample at which each was known to be over."""
    found = []
    for start in range(0, sound.size - FRAME + 1, FRAME):
        cut = cutter.take(sound[start : start + FRAME])
        if cut is not None:
            found.append((start + FRAME - cut.samples.size, start + FRAME, start + FRAME))
    if (cut := cutter.finish()) is not None:
        found.append((sound.size - cut.samples.size, sound.size, sound.size))
    return found


def judged(make: Callable[[], PhraseCutter], texts: list[str], speakers: list[str], snr_db: float | None) -> Count:
    """Say the texts and count."""
    count = Count()
    for voice in speakers:
        for seed, text in enumerate(texts):
            clean = said(text, voice)
            audible = np.flatnonzero(np.abs(clean.astype(np.int32)) > AUDIBLE * np.abs(clean.astype(np.int32)).max())
            first, last = (int(BEFORE_S * RATE) + int(audible[end]) for end in (0, -1))
            found = cuts(make(), at_the_unit(clean, snr_db, seed, BEFORE_S))
            count.notes += 1
            count.missed += not found
            count.split += len(found) > 1
            if found:
                count.begins_cut += found[0][0] > first + SLACK_S * RATE
                count.ends_cut += found[-1][1] < last - SLACK_S * RATE
                count.late_s.append((found[-1][2] - last) / RATE)
    return count


def alarms(make: Callable[[], PhraseCutter], snr_db: float) -> tuple[int, int]:
    """Return the false phrases in a minute of the unit's noise, and in ten starts of the unit."""
    loud = PEAK / 4 / 10 ** (snr_db / 20)  # speech is about a quarter of its peak
    steady = (unit_noise(ALONE_S * RATE, 1) * loud).astype(np.int16)
    starts = 0
    for seed in range(10):
        sound = unit_noise(6 * RATE, seed) * loud
        sound[: 2 * RATE] *= 0.05
        starts += len(cuts(make(), sound.astype(np.int16)))
    return len(cuts(make(), steady)), starts


def main() -> int:
    """Print one line for each detector and level."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.gates", description=__doc__)
    parser.add_argument("--every", type=int, default=4, help="say every n-th note only")
    options = parser.parse_args()
    texts = [note.say for note in read_model(DEVELOPMENT, Notes).notes[:: options.every]]
    speakers = [voice for voice in voices() if voice in {"slt", "rms", "awb"}] or voices()
    makers: dict[str, Callable[[], PhraseCutter]] = {"energy": lambda: PhraseCutter(Gate())}
    for mode in (1, 2, 3):
        makers[f"webrtc {mode}"] = lambda mode=mode: LibraryCutter(Gate(), mode)
    heads = ("detector", "level", "notes", "missed", "split", "begin", "end", "late s", "noise", "starts")
    print(" ".join(f"{head:>9}" for head in heads))
    for snr_db in (None, 20.0, 15.0, 10.0):
        for name, make in makers.items():
            count = judged(make, texts, speakers, snr_db)
            noise, starts = ("", "") if snr_db is None else alarms(make, snr_db)
            late = np.median(count.late_s) if count.late_s else 0
            level = "clean" if snr_db is None else f"{snr_db:.0f} dB"
            row = (name, level, count.notes, count.missed, count.split, count.begins_cut, count.ends_cut)
            print(" ".join(f"{cell!s:>9}" for cell in (*row, f"{late:.2f}", noise, starts)), flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main())

"""Hearing with PocketSphinx and the English model inside its wheel: works offline right after installing."""

from __future__ import annotations

import hashlib
import json
import math
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
from pocketsphinx import Decoder, get_model_path, set_loglevel

from .levels import RATE, Samples
from .messages import Hypothesis, Lesson
from .pronounce import Pronouncer, read_dictionary
from .recogniser import Recognised
from .small_talk import MARK, small_talk
from .sound_feed import SoundFeed
from .word_order import write_word_order

_LANGUAGE_WEIGHT = 6.5
"""Weight of the word order against the sound, tuned on synthetic voices."""
_FORM = 10
"""Raise it when lessons are compiled in another way: what stands in caches is then left alone."""
_BEAMS: dict[str, float] = {
    "beam": 1e-52,
    "pbeam": 1e-52,
    "wbeam": 1e-32,
    "fwdflatbeam": 1e-64,
    "fwdflatwbeam": 1e-32,
    "maxhmmpf": 1200,
}
"""Beams a little wider than the library's own, for a noisy place.

Noise keeps everything alive: the most that is followed per frame bounds the time. Without it one answer in twenty took
a second at 10 dB.
"""
_LOUD_BEAMS = _BEAMS | {"fwdflatbeam": 1e-48, "fwdflatwbeam": 1e-24}
"""For a loud place, where all is asked back: one answer in twenty took 0.6 s with the second search as wide as above.

At 20 dB so narrow a one loses six notes in a hundred, and takes a wrong one at once now and then.
"""
_WIDE_BEAMS: dict[str, float] = {
    "beam": 1e-60,
    "pbeam": 1e-60,
    "wbeam": 1e-40,
    "fwdflatbeam": 1e-64,
    "fwdflatwbeam": 1e-32,
    "maxhmmpf": 2500,
}
"""For a quiet place, where they win notes for a little more time; at 10 dB one answer in twenty would take a second.

The second search (flat) comes when the phrase has ended, so that it stays as narrow.
"""
_HYPOTHESES = 16
_PATHS = 160
"""Ways through the lattice that are looked at; many differ only in how a word sounds."""
_TALK_WORDS = 2
"""So many words of ordinary talk may stand in a note ("the filter is ~really dirty"), which is then asked back.

Two more in a hundred development notes are heard so; with more words than two, more talk is asked back.
"""
_FIT_BAD, _FIT_GOOD = -8.0, -3.0
"""Mean log score of the sound per frame, against the best of all sounds in it: hopeless, as good as it gets."""
_LEAST = 1e-320
"""The library hands out scores as plain numbers; what is too small for one counts as this."""
_MODEL = "en-us/en-us"
_WORD_ORDER = "en-us/en-us.lm.bin"
_DICTIONARY = "en-us/cmudict-en-us.dict"
_DONE = "missing.json"
_FILLERS = frozenset({"<s>", "</s>", "<sil>", "SIL"})


class SphinxRecogniser:
    """Word order and sounds come from the lesson; a free note is heard again with the large vocabulary."""

    name = "pocketsphinx"

    def __init__(self, cache: Path) -> None:
        """``cache``: folder for the compiled lesson; may be emptied at any time."""
        set_loglevel("FATAL")
        self._cache = cache
        self._quiet: Decoder | None = None
        self._noisy: Decoder | None = None
        self._loud: Decoder | None = None
        self._meter: Decoder | None = None
        """Searches for nothing but silence, which costs little: it tells the mean of the cepstra."""
        self._feed: SoundFeed | None = None
        self._dictation: Decoder | None = None
        self._front_end = cache
        self._openers: frozenset[str] = frozenset()

    def teach(self, lesson: Lesson) -> list[str]:
        """Compile the lesson (about 2 s once, then from the cache) and load it."""
        folder = self._cache / f"lesson-{_digest(lesson)}"
        done = folder / _DONE
        if not done.exists():
            _compile(lesson, folder)
        missing: list[str] = json.loads(done.read_text(encoding="utf-8"))
        self._openers = frozenset(opener.replace("_", " ") for opener in lesson.openers)
        self._front_end = folder / "front_end.params"
        order, sounds = str(folder / "notes.lm"), str(folder / "notes.dict")
        self._quiet = _decoder(self._front_end, _WIDE_BEAMS, lm=order, dict=sounds, compallsen=True)
        self._noisy = _decoder(self._front_end, lm=order, dict=sounds, compallsen=True)
        self._loud = _decoder(self._front_end, _LOUD_BEAMS, lm=order, dict=sounds, compallsen=True)
        self._meter = _decoder(self._front_end, keyphrase="<sil>", dict=None)
        self._feed = None
        return missing

    def begin(self) -> None:
        """Begin a phrase; one that was not finished is dropped."""
        if self._quiet is None or self._noisy is None or self._loud is None or self._meter is None:
            raise RuntimeError("teach first")  # cannot happen through the child's protocol
        if self._feed is not None:
            self._feed.drop()
        self._feed = SoundFeed(self._quiet, self._noisy, self._loud, self._meter)

    def take(self, samples: Samples) -> None:
        """Take the next piece of the phrase, and search as far as it goes."""
        if self._feed is None:
            raise RuntimeError("begin first")
        self._feed.take(samples)

    def finish(self) -> Recognised:
        """Return the n best notes, and how well the best fits the sound."""
        if self._feed is None:
            raise RuntimeError("begin first")
        (decoder, sound), self._feed = self._feed.finish(), None
        hypotheses = tuple(_found(decoder))
        fit, sure, talk = _signs(decoder)
        dictated = None
        if hypotheses and any(hypotheses[0].text.startswith(opener) for opener in self._openers):
            dictated = self._dictate(sound)
        return Recognised(hypotheses, fit, sure, dictated, talk)

    def _dictate(self, sound: bytes) -> str | None:
        if self._dictation is None:
            self._dictation = _decoder(
                self._front_end, lm=get_model_path(_WORD_ORDER), dict=get_model_path(_DICTIONARY)
            )
        self._dictation.start_utt()
        self._dictation.process_raw(sound, full_utt=True)
        self._dictation.end_utt()
        text = next((one.text for one in _found(self._dictation)), "")
        # ordinary talk is heard as an opener by the small vocabulary only
        return text if any(text.startswith(opener) for opener in self._openers) else None


def _decoder(front_end: Path, beams: dict[str, float] = _BEAMS, **choices: Any) -> Decoder:
    model = get_model_path(_MODEL)
    return Decoder(
        hmm=model, featparams=str(front_end), samprate=RATE, lw=_LANGUAGE_WEIGHT, loglevel="FATAL", **beams, **choices
    )


def _write_front_end(path: Path) -> None:
    """Write the model's own settings of its front end, but for its taking out of noise.

    That carries what it learnt of the noise from phrase to phrase, so that the same sound is heard as other words
    after other phrases; ours looks at nothing but the phrase itself.
    """
    settings = (Path(get_model_path(_MODEL)) / "feat.params").read_text(encoding="utf-8")
    path.write_text(settings.replace("-remove_noise yes", "-remove_noise no"), encoding="utf-8")


def _found(decoder: Decoder) -> Iterator[Hypothesis]:
    """Yield what the last sound may be, most likely first.

    A word or two of ordinary talk are kept as words ("i ~got two forty"): whoever hears a note in them says whether it
    makes sense as a whole. More of them are talk.
    """
    best = decoder.hyp()
    if best is None or not best.hypstr:
        return
    top: float | None = None
    seen: set[str] = set()
    if best.hypstr.count(MARK) <= _TALK_WORDS:
        seen.add(_words(best.hypstr))
        yield Hypothesis(_words(best.hypstr), 0.0)
    for _, path in zip(range(_PATHS), decoder.nbest() or (), strict=False):
        if path is None:  # the lattice has no more ways
            return
        score = math.log(max(path.score, _LEAST))
        top = score if top is None else top
        if not path.hypstr or path.hypstr.count(MARK) > _TALK_WORDS or (words := _words(path.hypstr)) in seen:
            continue
        seen.add(words)
        yield Hypothesis(words, round(score - top, 4))
        if len(seen) == _HYPOTHESES:
            return


def _words(tokens: str) -> str:
    return tokens.replace("_", " ").replace(MARK, "")


def _signs(decoder: Decoder) -> tuple[float, float, float]:
    """Return how well the words fit the sound, how little else they could be, and how much is talk; all 0 to 1."""
    segments = [one for one in decoder.seg() or () if one.word not in _FILLERS]
    frames = sum(one.end_frame - one.start_frame + 1 for one in segments)
    if not frames:
        return 0.0, 0.0, 0.0
    score = sum(math.log(max(one.ascore, _LEAST)) for one in segments) / frames
    fit = float(np.clip((score - _FIT_BAD) / (_FIT_GOOD - _FIT_BAD), 0.0, 1.0))
    talk = sum(one.end_frame - one.start_frame + 1 for one in segments if one.word.startswith(MARK)) / frames
    return round(fit, 3), round(min(one.prob for one in segments), 3), round(talk, 3)


def _digest(lesson: Lesson) -> str:
    said = json.dumps([lesson.sentences, lesson.pronunciations, lesson.openers, _FORM], sort_keys=True)
    return hashlib.sha256(said.encode()).hexdigest()[:12]


def _compile(lesson: Lesson, folder: Path) -> None:
    """Make the folder of a lesson, whole or not at all: another process may be making or reading the same."""
    folder.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=folder.parent) as scratch:
        made = Path(scratch) / folder.name
        made.mkdir()
        _write(lesson, made)
        try:
            made.rename(folder)
        except OSError:
            if not (folder / _DONE).exists():  # else the other process was quicker
                raise


def _write(lesson: Lesson, folder: Path) -> None:
    """Write word order and sounds, without tokens that have an unknown word."""
    dictionary = read_dictionary(Path(get_model_path(_DICTIONARY)))
    pronouncer = Pronouncer(dictionary, lesson.pronunciations)
    tokens = {token for sentence in lesson.sentences for token in sentence.split()}
    sounds = {token: ways for token in sorted(tokens) if (ways := pronouncer.ways(token))}
    known = lesson.sentences
    if len(sounds) < len(tokens):
        known = tuple(" ".join(token for token in one.split() if token in sounds) for one in known)
    talk, talk_sounds = small_talk(Path(get_model_path(_WORD_ORDER)), dictionary)
    write_word_order([*known, *talk], folder / "notes.lm")
    lines = [
        f"{token}{f'({nth})' if nth > 1 else ''} {way}"
        for token, ways in (sounds | talk_sounds).items()
        for nth, way in enumerate(ways, start=1)
    ]
    (folder / "notes.dict").write_text("\n".join(lines) + "\n", encoding="utf-8")
    _write_front_end(folder / "front_end.params")
    missing = pronouncer.missing(lesson.words())
    (folder / _DONE).write_text(json.dumps(missing), encoding="utf-8")

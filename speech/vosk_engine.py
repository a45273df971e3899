"""Hearing with Vosk, where a model folder is present. Never by language or name: those would go online."""

from __future__ import annotations

import json
import math
from pathlib import Path

import numpy as np

from .levels import RATE, Samples
from .messages import Hypothesis, Lesson, SpeechError
from .recogniser import Recognised

_PARTS = ("am/final.mdl", "conf/model.conf")
"""Files that every model folder has."""
REMEDY = (
    "Unpack a small English model from the library's own site (alphacephei.com/vosk/models) "
    "and set voice_model in the settings to its folder."
)


def check_model(folder: Path) -> None:
    """Raise SpeechError where the folder cannot be a model: the library itself would end the process."""
    missing = [part for part in _PARTS if not (folder / part).is_file()]
    if missing:
        raise SpeechError("no_model", f"{folder} is no recogniser model: {missing[0]} is not in it.", REMEDY)


class VoskRecogniser:
    """Hears with word confidences; free speech comes out as it is, so free notes need no second pass."""

    name = "vosk"

    def __init__(self, folder: Path) -> None:
        """Raises SpeechError where the folder holds no model, or one that the library cannot load."""
        check_model(folder)
        import vosk  # late: only where a model is there

        vosk.SetLogLevel(-1)
        self._vosk = vosk
        try:
            self._model = vosk.Model(model_path=str(folder))
        except Exception as error:  # the library has no exception of its own
            say = f"The recogniser model in {folder} does not load ({error})."
            raise SpeechError("no_model", say, REMEDY) from error
        self._openers: tuple[str, ...] = ()
        self._phrase: list[Samples] = []

    def teach(self, lesson: Lesson) -> list[str]:
        """Keep the openers; return the words outside the model's vocabulary."""
        self._openers = tuple(opener.replace("_", " ") for opener in lesson.openers)
        return [word for word in lesson.words() if self._model.vosk_model_find_word(word) < 0]

    def begin(self) -> None:
        """Begin a phrase; one that was not finished is dropped."""
        self._phrase = []

    def take(self, samples: Samples) -> None:
        """Keep the next piece: given in pieces, the library itself would end the phrase at a pause of its choice."""
        self._phrase.append(samples)

    def finish(self) -> Recognised:
        """Return the best words and the mean of their confidences; a lone low word is nothing."""
        recogniser = self._vosk.KaldiRecognizer(self._model, RATE)
        recogniser.SetWords(True)
        recogniser.AcceptWaveform(np.concatenate(self._phrase).astype("<i2").tobytes())
        return recognised(json.loads(recogniser.FinalResult()), self._openers)


def recognised(result: dict[str, object], openers: tuple[str, ...]) -> Recognised:
    """Return what one of the library's results says."""
    text = str(result.get("text", "")).strip()
    words = result.get("result")
    if not text or not isinstance(words, list):
        return Recognised((), 0.0, 0.0, compared=False)
    confidences = [float(word["conf"]) for word in words]
    fit = math.fsum(confidences) / len(confidences)
    dictated = text if text.startswith(openers) and openers else None
    return Recognised((Hypothesis(text, 0.0),), fit, min(confidences), dictated, compared=False)

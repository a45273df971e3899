"""The adapter for Vosk: without a model against the real library, with one where a folder is named."""

from __future__ import annotations

import os
from pathlib import Path

import numpy as np
import pytest
import vosk

from speech.levels import RATE
from speech.messages import Lesson, SpeechError
from speech.recogniser import hear
from speech.vosk_engine import VoskRecogniser, check_model, recognised
from tests.speech_sounds import at_the_unit, said

MODEL = os.environ.get("PADSIDE_TEST_VOSK_MODEL")


def test_a_folder_without_a_model_is_said_before_the_library_sees_it(tmp_path: Path) -> None:
    with pytest.raises(SpeechError, match=r"am/final\.mdl is not in it"):
        VoskRecogniser(tmp_path)


def test_a_folder_with_the_files_passes_the_look(tmp_path: Path) -> None:
    for part in ("am/final.mdl", "conf/model.conf"):
        (tmp_path / part).parent.mkdir(exist_ok=True)
        (tmp_path / part).touch()
    check_model(tmp_path)


def test_a_broken_model_is_said_with_its_remedy(tmp_path: Path) -> None:
    for part in ("am/final.mdl", "conf/model.conf"):
        (tmp_path / part).parent.mkdir(exist_ok=True)
        (tmp_path / part).touch()
    with pytest.raises(SpeechError, match="does not load") as raised:
        VoskRecogniser(tmp_path)
    assert "voice_model" in raised.value.remedy


def test_the_library_has_what_the_adapter_calls() -> None:
    for name in ("SetWords", "AcceptWaveform", "FinalResult"):
        assert hasattr(vosk.KaldiRecognizer, name)
    assert hasattr(vosk.Model, "vosk_model_find_word")


def test_results_carry_the_least_certain_word() -> None:
    words = [{"word": "fifty", "conf": 0.4}, {"word": "volts", "conf": 1.0}]
    found = recognised({"text": "fifty volts", "result": words}, ())
    assert (found.hypotheses[0].text, found.fit, found.sure) == ("fifty volts", 0.7, 0.4)
    assert recognised({"text": ""}, ()).hypotheses == ()
    note = recognised({"text": "note dog", "result": words}, ("note",))
    assert note.dictated == "note dog"


ANY_MODEL = MODEL or os.environ.get("PADSIDE_TEST_VOSK_ANY_MODEL")


@pytest.mark.skipif(ANY_MODEL is None, reason="PADSIDE_TEST_VOSK_ANY_MODEL names no model folder")
def test_a_model_of_any_language_loads_hears_and_says_what_it_cannot() -> None:
    recogniser = VoskRecogniser(Path(ANY_MODEL or ""))
    assert recogniser.teach(Lesson(("qqzzqq",))) == ["qqzzqq"]
    heard = hear(recogniser, at_the_unit(said("compressor is humming"), None))
    assert heard.hypotheses
    assert 0 <= heard.sure <= heard.fit <= 1
    assert hear(recogniser, np.zeros(RATE, np.int16)).hypotheses == ()


@pytest.mark.skipif(MODEL is None, reason="PADSIDE_TEST_VOSK_MODEL names no model folder")
def test_a_note_is_heard_with_a_real_model() -> None:
    recogniser = VoskRecogniser(Path(MODEL or ""))
    recogniser.teach(Lesson(("twenty_seven at the coil",)))
    assert "twenty seven" in hear(recogniser, at_the_unit(said("twenty seven at the coil"), None)).hypotheses[0].text

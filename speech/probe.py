"""``python -m speech.probe``: says as one line of JSON what this machine has for hearing and speaking."""

from __future__ import annotations

import importlib.util
import json

from .devices import inputs
from .messages import SpeechError
from .voice import Voice

RECOGNISERS = ("pocketsphinx", "vosk")


def probe() -> dict[str, object]:
    """Return what was found: recognisers, voice, microphones, and every trouble with its remedy by kind."""
    found: dict[str, object] = {
        "recognisers": [name for name in RECOGNISERS if importlib.util.find_spec(name) is not None],
        "voice": False,
        "microphones": [],
    }
    troubles: dict[str, tuple[str, str]] = {}
    try:
        found["voice"] = bool(Voice().sound("ready"))
    except SpeechError as error:
        troubles["voice"] = (error.say, error.remedy)
    try:
        found["microphones"] = inputs()
    except SpeechError as error:
        troubles["microphones"] = (error.say, error.remedy)
    return found | {"troubles": troubles}


if __name__ == "__main__":
    print(json.dumps(probe()))

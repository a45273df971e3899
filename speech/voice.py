"""Speaking with eSpeak NG from its wheel: no system package, no sound card needed to make the sound.

eSpeak NG is GPL-3; it is loaded here only, in the child process.
"""

from __future__ import annotations

import ctypes
from typing import Any, ClassVar

from .messages import SpeechError

DEFAULT_VOICE = "en-us"
DEFAULT_WORDS_PER_MINUTE = 160
_SYNCHRONOUS = 2
_DO_NOT_EXIT = 1 << 15
_UTF8 = 1
_RATE_PARAMETER = 1
_CALLBACK = ctypes.CFUNCTYPE(ctypes.c_int, ctypes.POINTER(ctypes.c_short), ctypes.c_int, ctypes.c_void_p)


class Voice:
    """Makes sound of text. One per process: the library keeps its state globally."""

    _library: ClassVar[Any] = None
    rate_hz: ClassVar[int] = 22_050

    def __init__(self) -> None:
        """Load the library; raises SpeechError where it is missing or does not start."""
        self._sound = bytearray()
        self._keep = _CALLBACK(self._collect)
        if Voice._library is None:
            Voice._library, Voice.rate_hz = _load()
        Voice._library.espeak_SetSynthCallback(self._keep)

    def sound(self, text: str, voice: str = DEFAULT_VOICE, words_per_minute: int = DEFAULT_WORDS_PER_MINUTE) -> bytes:
        """Return ``text`` as 16-bit mono at ``rate_hz``; an unknown voice falls back to the default one."""
        library = Voice._library
        if library.espeak_SetVoiceByName(voice.encode()) != 0:
            library.espeak_SetVoiceByName(DEFAULT_VOICE.encode())
        library.espeak_SetParameter(_RATE_PARAMETER, max(80, min(words_per_minute, 400)), 0)
        data = text.replace("\0", " ").encode()
        self._sound.clear()
        library.espeak_Synth(data, len(data) + 1, 0, 0, 0, _UTF8, None, None)
        return bytes(self._sound)

    def _collect(self, samples: Any, count: int, _events: Any) -> int:
        if samples and count > 0:
            self._sound += ctypes.string_at(samples, count * 2)
        return 0


def _load() -> tuple[Any, int]:
    try:
        import espeakng_loader  # late: a missing package must not keep hearing from working

        library = ctypes.CDLL(espeakng_loader.get_library_path())
        data = espeakng_loader.get_data_path().encode()
    except (ImportError, OSError) as error:
        raise SpeechError(
            "no_voice",
            "The voice (eSpeak NG) is missing.",
            "Run: pip install espeakng-loader. Answers stand on the screen.",
        ) from error
    library.espeak_Initialize.argtypes = [ctypes.c_int, ctypes.c_int, ctypes.c_char_p, ctypes.c_int]
    library.espeak_Synth.argtypes = [
        ctypes.c_char_p, ctypes.c_size_t, ctypes.c_uint, ctypes.c_int,
        ctypes.c_uint, ctypes.c_uint, ctypes.c_void_p, ctypes.c_void_p,
    ]  # fmt: skip
    rate = int(library.espeak_Initialize(_SYNCHRONOUS, 0, data, _DO_NOT_EXIT))
    if rate <= 0:
        remedy = "Run: pip install --force-reinstall espeakng-loader. Answers stand on the screen."
        raise SpeechError("no_voice", "The voice (eSpeak NG) does not start.", remedy)
    return library, rate

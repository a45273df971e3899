"""Speaking needs nothing but the wheel."""

from __future__ import annotations

from speech.voice import Voice


def test_text_becomes_sound_and_slower_is_longer() -> None:
    voice = Voice()
    fast, slow = (voice.sound("Open the disconnect, lock and tag.", words_per_minute=rate) for rate in (240, 110))
    assert voice.rate_hz == 22_050
    assert len(slow) > 1.4 * len(fast) > 20_000


def test_odd_text_and_an_unknown_voice_speak_all_the_same() -> None:
    voice = Voice()
    assert voice.sound("27 µF, 1.5 Ω \0 <b>&", "no such voice")
    assert voice.sound("") is not None

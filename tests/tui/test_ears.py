"""Hearing on the screen: the talk key, what the ears are doing, and troubles in words."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot
from textual.worker import WorkerFailed

from assistant.tui.app import PadsideApp
from assistant.tui.ears import Ears
from assistant.tui.widgets.talk_log import TalkLog
from assistant.tui.widgets.voice_bar import VoiceBar, meter
from assistant.voice.listening import Choices, Moment, Source, Trouble, Watcher
from assistant.voice.talk import Talk
from speech.messages import Phrase
from tests.voice.phrases import desk_at, phrase


class FakeVoice:
    """Hears what it is given, one after the other, and keeps what it was told to say."""

    def __init__(self, talk: Talk, came: Iterator[Phrase | Trouble | None], watch: Watcher) -> None:
        self.talk = talk
        self.choices = Choices()
        self._came = came
        self._watch = watch
        self.told: list[str] = []
        self.interrupted = 0
        self.warmed = 0
        self.listened = 0

    def warm_up(self) -> None:
        self.warmed += 1

    def listen(self, _source: Source) -> Phrase | Trouble | None:
        self._watch(Moment("listening", -20.0, -50.0))
        self.listened += 1
        try:
            return next(self._came)
        except StopIteration:
            self.choices.attention = ""  # nothing more will come: an open microphone would listen for ever
            return None

    def say(self, text: str) -> None:
        self.told.append(text)

    def interrupt(self) -> None:
        self.interrupted += 1

    def close(self) -> None:
        self.told.append("closed")


@pytest.fixture
def made(tmp_path: Path) -> Any:
    def make(*came: Phrase | Trouble | None, source: Source | None = None) -> tuple[PadsideApp, list[FakeVoice]]:
        desk, voices = desk_at(tmp_path), []

        def voice(watch: Watcher) -> Any:
            voices.append(FakeVoice(Talk(desk), iter(came), watch))
            return voices[-1]

        return PadsideApp(desk, ears=Ears(voice, source or Source())), voices

    return make


async def settle(app: PadsideApp, pilot: Pilot[None]) -> None:
    for _ in range(6):
        with suppress(WorkerFailed):
            await app.workers.wait_for_complete()
        await pilot.pause()


def words(app: PadsideApp) -> str:
    return "\n".join(str(child.render()) for child in app.screen.query_one(TalkLog).children)


async def test_enter_on_the_empty_line_is_the_talk_key_and_the_answer_is_spoken(made: Any) -> None:
    app, voices = made(phrase("contactor is not pulled in"))
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(app, pilot)
        assert [voice.warmed for voice in voices] == [
            1
        ]  # loaded in the background; nothing listens before the talk key
        await pilot.press("enter")
        await settle(app, pilot)
        assert "(spoken) contactor is not pulled in" in words(app)
        assert voices[0].told
        assert app.screen.query_one(VoiceBar).state == "idle"


async def test_trouble_with_the_microphone_is_said_and_typing_goes_on(made: Any) -> None:
    app, _ = made(Trouble("There is no microphone.", "Plug one in."))
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(app, pilot)
        await pilot.press("enter")
        await settle(app, pilot)
        assert "There is no microphone. Plug one in." in words(app)
        await pilot.press(*"why", "enter")
        await settle(app, pilot)
        assert "why" in words(app)


async def test_a_recording_is_heard_from_the_start_without_a_key(made: Any) -> None:
    source = Source("file", Path("notes.wav"))
    app, voices = made(phrase("contactor is not pulled in"), phrase("what next"), source=source)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(app, pilot)
        await settle(app, pilot)
        assert "(spoken) what next" in words(app)
        assert voices[0].told == []


async def test_the_state_of_the_ears_is_always_in_sight(made: Any) -> None:
    app, _ = made()
    async with app.run_test(size=(40, 14)) as pilot:
        await settle(app, pilot)
        bar = app.screen.query_one(VoiceBar)
        assert bar.region.height == 1
        for state in ("listening", "thinking", "speaking", "idle"):
            bar.show(Moment(state, -30.0, -55.0))
            assert state.upper() in str(bar.render())


async def test_without_a_voice_the_empty_line_is_an_empty_note(tmp_path: Path) -> None:
    app = PadsideApp(desk_at(tmp_path))
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(app, pilot)
        assert not app.screen.query(VoiceBar)


def test_the_meter_grows_with_the_level() -> None:
    assert [meter(level) for level in (-60.0, -30.0, 0.0, -96.0)] == [
        "..........",
        "|||||.....",
        "||||||||||",
        "..........",
    ]


async def test_an_open_microphone_listens_on_through_silence_until_a_note_comes(made: Any) -> None:
    app, voices = made(None, None, phrase("contactor is not pulled in"))
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(app, pilot)
        voices[0].choices.attention = "partner"
        voices[0].choices.manner.muted = True
        await pilot.press("enter")
        await settle(app, pilot)
        assert "contactor" in words(app)
        assert voices[0].listened >= 3


async def test_without_an_attention_word_silence_ends_the_listening(made: Any) -> None:
    app, voices = made(None, phrase("contactor is not pulled in"))
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(app, pilot)
        await pilot.press("enter")
        await settle(app, pilot)
        assert voices[0].listened == 1

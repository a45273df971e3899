"""Slow answers, refused answers, running waits, leaving."""

from __future__ import annotations

import threading
from datetime import timedelta

import pytest

from assistant.dialogue.reply import Reply
from assistant.paths import SaveError
from assistant.tui.widgets.note_line import NoteLine
from tests.plain.invented_visit import COOL_DOWN, HUMMING, READY, PlayedDesk

from .screen import NOON, running


class SlowDesk(PlayedDesk):
    """Answers only when let go."""

    def __init__(self) -> None:
        super().__init__(HUMMING)
        self.go = threading.Event()

    def say(self, text: str, source: str = "typed", confidence: float | None = None) -> Reply:
        assert self.go.wait(10)
        return super().say(text, source, confidence)


async def test_while_the_desk_works_it_says_so_takes_more_notes_and_answers_them_in_order() -> None:
    desk = SlowDesk()
    async with running(desk) as screen:
        await screen.pilot.press(*"one", "enter", *"two", "enter", *"half")
        await screen.pilot.pause()
        assert "WORKING ... one" in screen.text()
        assert screen.app.query_one(NoteLine).value == "half"
        desk.go.set()
        await screen.settle()
        assert desk.said == ["one", "two"]
        assert "WORKING" not in screen.text()
        assert screen.app.query_one(NoteLine).value == "half"


@pytest.mark.parametrize(
    ("error", "shown"),
    [
        (SaveError(NOON, "The disk is full. Free some space."), "The disk is full. Free some space."),  # type: ignore[arg-type]
        (OSError(28, "No space left on device"), "The computer refused: no space left on device."),
        (KeyError("cap_fan"), "That could not be done (KeyError: 'cap_fan')."),
        (ZeroDivisionError(), "That could not be done (ZeroDivisionError)."),
    ],
    ids=["own sentence", "system", "inside", "empty"],
)
async def test_an_error_is_a_notice_and_the_note_comes_back(error: Exception, shown: str) -> None:
    async with running(PlayedDesk(error, HUMMING), (130, 40)) as screen:
        await screen.say("fan hums")
        assert "[i] NOTICE" in screen.text()
        assert shown in screen.flat()
        assert "Traceback" not in screen.text()
        assert screen.app.query_one(NoteLine).value == "fan hums"
        await screen.press("enter")
        assert "HEARD fan: humming" in screen.flat()


async def test_an_error_does_not_overwrite_what_is_being_typed() -> None:
    desk = SlowDesk()
    desk._answers = [ValueError("No."), HUMMING]
    async with running(desk) as screen:
        await screen.pilot.press(*"one", "enter", *"half")
        desk.go.set()
        await screen.settle()
        assert screen.app.query_one(NoteLine).value == "half"


async def test_a_greeting_that_fails_is_told_too() -> None:
    async with running(PlayedDesk(greeting=OSError(13, "Permission denied", "/visits/x"))) as screen:
        assert "The computer refused: permission denied (/visits/x)." in screen.flat()


async def test_waits_count_down_by_the_clock_and_ring_once(monkeypatch: pytest.MonkeyPatch) -> None:
    async with running(PlayedDesk(HUMMING)) as screen:
        rung: list[str] = []
        monkeypatch.setattr(screen.app, "bell", lambda: rung.append("ring"))
        await screen.say("fan hums")
        assert "WAIT 44:12 compressor cooling down" in screen.text()
        screen.clock.now = NOON + timedelta(minutes=44, seconds=11, milliseconds=300)
        screen.app.visit_screen.tick()
        await screen.pilot.pause()
        assert "WAIT 0:01 compressor" in screen.text()
        assert rung == []
        for _ in range(3):
            screen.clock.now += timedelta(seconds=1)
            screen.app.visit_screen.tick()
            await screen.pilot.pause()
        assert "WAIT TIME IS UP compressor cooling down" in screen.text()
        assert rung == ["ring"]


async def test_waits_that_do_not_fit_are_counted_and_leave_when_they_end() -> None:
    waits = [COOL_DOWN.model_copy(update={"id": f"w{n}", "name": f"wait {n}"}) for n in range(5)]
    many = HUMMING.model_copy(update={"timers": tuple(waits)})
    async with running(PlayedDesk(many, READY.model_copy(update={"timers": ()})), (40, 20)) as screen:
        await screen.say("fan hums")
        assert "wait 0 (+4 more)" in screen.text()
        await screen.say("done")
        assert "WAIT" not in screen.text()


@pytest.mark.parametrize("size", [(40, 14), (80, 24)])
async def test_the_job_note_key_tells_where_the_files_are(size: tuple[int, int]) -> None:
    async with running(PlayedDesk(HUMMING), size) as screen:
        await screen.press("f7")
        assert "Job note written: invented-1.md, invented-1.txt" in screen.flat("#talk")


async def test_leaving_asks_nothing() -> None:
    async with running(PlayedDesk(HUMMING)) as screen:
        await screen.pilot.press(*"half", "ctrl+q")
        assert screen.app.return_code == 0


async def test_leaving_waits_until_every_note_that_was_sent_is_saved() -> None:
    desk = SlowDesk()
    async with running(desk) as screen:
        await screen.pilot.press(*"one", "enter", *"two", "enter", "ctrl+q")
        await screen.pilot.pause()
        assert screen.app.is_running
        assert "Leaving as soon as the last note is saved." in screen.text()
        desk.go.set()
        await screen.settle()
        assert screen.app.return_code == 0
        assert desk.said == ["one", "two"]


async def test_leaving_twice_does_not_wait() -> None:
    desk = SlowDesk()
    async with running(desk) as screen:
        await screen.pilot.press(*"one", "enter", "ctrl+q", "ctrl+q")
        assert screen.app.return_code == 0
        desk.go.set()


async def test_an_answer_that_comes_while_the_keys_are_shown_is_there_afterwards() -> None:
    desk = SlowDesk()
    async with running(desk) as screen:
        await screen.pilot.press(*"one", "enter", "f1")
        desk.go.set()
        await screen.settle()
        assert "KEYS" in screen.text()
        screen.app.visit_screen.tick()
        await screen.press("escape")
        assert "HEARD (?) SPELLING fan: humming" in screen.flat()


async def test_ctrl_c_says_how_to_leave_and_does_not_leave() -> None:
    async with running(PlayedDesk(HUMMING)) as screen:
        await screen.press("ctrl+c")
        assert screen.app.return_code is None


async def test_the_theme_key_swaps_sunlight_and_night() -> None:
    async with running(theme="night") as screen:
        await screen.press("f8")
        assert screen.app.theme == "sunlight"
        await screen.press("f8")
        assert screen.app.theme == "night"

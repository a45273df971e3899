"""What must not end the program with a traceback: bytes that are no text, and errors that nobody foresaw."""

from __future__ import annotations

import os
import sys
import threading
from typing import Any

import pytest

from assistant.tui.app import PadsideApp
from assistant.tui.keyboard import NotText, forgiving
from assistant.tui.visit_screen import VisitScreen
from assistant.tui.widgets.heard_bar import HeardBar
from tests.plain.invented_visit import PlayedDesk, as_desk

from .screen import running


class App:
    """As much of an app as the driver needs here."""

    def __init__(self) -> None:
        self.messages: list[object] = []

    def post_message(self, message: object) -> bool:
        self.messages.append(message)
        return True


@pytest.mark.skipif(sys.platform == "win32", reason="its console hands over characters")
async def test_bytes_that_are_no_text_are_left_out_and_typing_goes_on() -> None:
    from textual.drivers.linux_driver import LinuxDriver

    ours, theirs = os.pipe()
    kind: Any = forgiving(LinuxDriver)
    driver = kind.__new__(kind)
    app, typed = App(), []
    driver._app, driver.fileno, driver.exit_event, driver._debug = app, ours, threading.Event(), False

    def process(message: Any) -> None:
        typed.append(message.character)
        driver.exit_event.set()

    driver.process_message = process
    os.write(theirs, b"\x89PNG\xff")
    reading = threading.Thread(target=driver.run_input_thread)
    reading.start()
    while not app.messages:
        assert reading.is_alive()
    os.write(theirs, b"x")
    reading.join(timeout=20)
    os.close(ours)
    os.close(theirs)
    assert isinstance(app.messages[0], NotText)
    assert typed == ["x"]


async def test_what_was_left_out_is_told() -> None:
    async with running(PlayedDesk(), (80, 24)) as screen:
        screen.app.post_message(NotText())
        await screen.settle()
        assert "no text was left out" in str(screen.app.query_one(HeardBar).content)


async def test_an_error_inside_closes_the_screen_without_a_traceback(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def broken(*_: object) -> None:
        raise ZeroDivisionError("of some kind")

    monkeypatch.setattr(VisitScreen, "_show", broken)
    app = PadsideApp(as_desk(PlayedDesk()))
    await app.run_async(headless=True)
    assert isinstance(app.failure, ZeroDivisionError)
    told = capsys.readouterr()
    assert "Traceback" not in told.out + told.err
    assert "broken" not in told.out + told.err

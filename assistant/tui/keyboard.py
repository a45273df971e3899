"""Reads the keyboard so that bytes which are no text, as a pasted picture is, do not end the program."""

from __future__ import annotations

import sys

from textual.driver import Driver
from textual.message import Message


class NotText(Message):
    """Some of what came from the keyboard was no text and was left out."""


def forgiving(driver: type[Driver]) -> type[Driver]:
    """Return ``driver``, or where it stops at bytes that are not UTF-8, one that leaves them out."""
    if sys.platform == "win32":  # its console hands over characters, never bytes
        return driver
    from textual.drivers.linux_driver import LinuxDriver

    if driver is not LinuxDriver:
        return driver

    class ForgivingDriver(LinuxDriver):
        def run_input_thread(self) -> None:
            while not self.exit_event.is_set():
                try:
                    super().run_input_thread()
                except UnicodeDecodeError:
                    self._app.post_message(NotText())

    return ForgivingDriver

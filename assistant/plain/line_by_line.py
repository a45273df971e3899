"""The plain front end: a note is a line, the answer is lines.

No redraw and no colour; for any terminal, a screen reader, a log.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import suppress
from functools import partial
from typing import TYPE_CHECKING, BinaryIO, TextIO

from assistant.console import FINE, INTERRUPTED, LATIN_FORMS, hush
from assistant.dialogue.reply import Reply
from assistant.dialogue.wording import error_sentence

from .answer import answer_lines, wrapped
from .incoming import Incoming, notes

if TYPE_CHECKING:
    from assistant.desk import Desk

PROMPT = "> "
_KEPT = "The visit is kept; start again to go on with it."
_LEAVING = "Leaving."
"""Where not all is saved, whoever closes the desk says so."""
_QUIT = frozenset({"quit", "exit"})
"""A whole line of this leaves, as at any prompt: it is no finding."""
_LATIN = str.maketrans(LATIN_FORMS)


def run_plain(desk: Desk, stdin: BinaryIO, stdout: TextIO, width: int = 80) -> int:
    """Greet, then answer every line of ``stdin`` until it ends or says quit; return the exit code.

    The prompt is shown only where ``stdin`` is a terminal. Lines are at most ``width`` columns.
    """
    at_terminal = stdin.isatty()
    told = at_terminal
    printer = Printer(stdout, width)
    try:
        printer.turn(desk.greet)
        for incoming in _typed() if at_terminal and stdin.fileno() == 0 else notes(stdin):
            if incoming.notice:
                printer.say(f"NOTICE: {incoming.notice}")
            if incoming.text.strip().casefold() in _QUIT:
                told = True
                break
            printer.turn(partial(desk.say, incoming.text))
        if told:
            printer.say(_LEAVING if desk.save_problem else _KEPT)
    except KeyboardInterrupt:
        with suppress(BrokenPipeError):  # the technician is leaving; nobody is left to tell
            printer.say(f"\n{_LEAVING if desk.save_problem else _KEPT}")
        return INTERRUPTED
    except BrokenPipeError:
        hush(stdout)
    return FINE


class Printer:
    """Prints replies and sentences in the width and the letters of the terminal."""

    def __init__(self, stdout: TextIO, width: int) -> None:
        self._stdout = stdout
        self._width = width
        self._before: Reply | None = None

    def turn(self, ask: Callable[[], Reply]) -> None:
        """Print what ``ask`` answers, or a sentence where it fails."""
        try:
            reply = ask()
        except Exception as error:  # noqa: BLE001 - the technician gets a sentence, never a traceback
            self.say(f"NOTICE: {error_sentence(error)}")
            return
        self._write([*answer_lines(reply, self._before, self._width), ""])
        self._before = reply

    def say(self, text: str) -> None:
        """Print a sentence."""
        self._write(wrapped(text, self._width))

    def _write(self, lines: list[str]) -> None:
        text = "\n".join(lines) + "\n"
        encoding = self._stdout.encoding or "utf-8"
        try:
            text.encode(encoding)
        except UnicodeEncodeError:
            text = text.translate(_LATIN).encode(encoding, errors="replace").decode(encoding)
        self._stdout.write(text)
        self._stdout.flush()


def _typed() -> Iterator[Incoming]:
    """Yield lines typed at the terminal, with line editing and recall where the system has it."""
    with suppress(ImportError):  # not on Windows, whose terminal edits lines itself
        import readline  # noqa: F401 - importing it is what gives input() its editing
    if hasattr(sys.stdin, "reconfigure"):
        sys.stdin.reconfigure(errors="replace")
    while True:
        try:
            text = input(PROMPT)
        except EOFError:
            return
        yield Incoming(text)

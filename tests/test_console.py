"""Missing streams, readers that went away, terminals without the signs of the trade."""

from __future__ import annotations

import io
import sys

import pytest

from assistant.console import make_ready, why_no_screen


class Stream(io.StringIO):
    def __init__(self, encoding: str, *, terminal: bool) -> None:
        super().__init__()
        self._encoding = encoding
        self._terminal = terminal

    @property
    def encoding(self) -> str:  # type: ignore[override]
        return self._encoding

    def isatty(self) -> bool:
        return self._terminal


def test_missing_streams_are_replaced(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("stdin", "stdout", "stderr"):
        monkeypatch.setattr(sys, name, None)
    make_ready()
    print("nobody hears this")
    assert sys.stdin.read() == ""
    assert not sys.stdin.isatty()
    for stream in (sys.stdin, sys.stdout, sys.stderr):
        stream.close()


def test_signs_that_a_terminal_cannot_show_are_written_out(monkeypatch: pytest.MonkeyPatch) -> None:
    printed = io.BytesIO()
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(printed, encoding="ascii"))
    make_ready()
    sys.stdout.write("38.2 µF, 3 Ω, 95 °F, שלום")
    sys.stdout.flush()
    assert printed.getvalue() == b"38.2 uF, 3 ohm, 95  deg F, ????"


@pytest.mark.parametrize(
    ("encoding", "terminal", "term", "why"),
    [
        ("utf-8", True, "xterm-256color", None),
        ("UTF8", True, "linux", None),
        ("utf-8", False, "xterm-256color", "no terminal"),
        ("utf-8", True, "dumb", "TERM=xterm-256color"),
        ("utf-8", True, "", "TERM=xterm-256color"),
        ("ascii", True, "xterm-256color", "LANG=C.UTF-8"),
    ],
)
def test_where_no_screen_can_be_drawn_the_remedy_is_told(
    encoding: str, terminal: bool, term: str, why: str | None
) -> None:
    told = why_no_screen(Stream(encoding, terminal=terminal), {"TERM": term}, "linux")
    assert told is None if why is None else told is not None and why in told


def test_windows_has_no_term_and_needs_none() -> None:
    assert why_no_screen(Stream("utf-8", terminal=True), {}, "win32") is None

"""The standard streams: missing ones, readers that went away, terminals that lack the signs of the trade."""

from __future__ import annotations

import codecs
import io
import os
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import IO, Any, TextIO

FINE = 0
WRONG = 2
"""Exit code for a problem that was said in words."""
INTERRUPTED = 130
"""What shells report for a program ended with Ctrl+C."""
LATIN_FORMS = {
    "µ": "u",
    "μ": "u",
    "Ω": "ohm",
    "°": " deg ",
    "×": "x",
    "≤": "<=",
    "≥": ">=",
    "±": "+/-",
    "–": "-",
    "—": "-",
    "−": "-",
    "…": "...",
    "’": "'",
    "“": '"',
    "”": '"',
    "→": "->",
    "²": "2",
}
"""How the signs of the trade are written where a terminal cannot show them."""
_ERRORS = "padside.latin"
_UNDRAWABLE = frozenset({"", "dumb", "unknown"})


def make_ready() -> None:
    """Put something harmless in place of a missing stream, and let no sign stop the printing."""
    codecs.register_error(_ERRORS, _latin)
    for name, mode in (("stdin", "r"), ("stdout", "w"), ("stderr", "w")):
        if getattr(sys, name) is None:  # closed by whoever started the program
            setattr(sys, name, Path(os.devnull).open(mode, encoding="utf-8"))  # noqa: SIM115 - open as long as we run
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors=_ERRORS)


def hush(stream: IO[Any]) -> None:
    """Point a stream whose reader is gone at nothing, so that closing it at exit says nothing either."""
    try:
        descriptor = stream.fileno()
    except (io.UnsupportedOperation, ValueError):
        return
    nothing = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nothing, descriptor)
    os.close(nothing)


def takes_utf8(stream: TextIO) -> bool:
    """Return True where everything can be printed as it is."""
    return (stream.encoding or "").lower().replace("-", "").replace("_", "") == "utf8"


def why_no_screen(stdout: TextIO, environ: Mapping[str, str] | None = None, platform: str = sys.platform) -> str | None:
    """Return a sentence, with the remedy, where no screen can be drawn on ``stdout``; None where it can."""
    env = os.environ if environ is None else environ
    if not stdout.isatty():
        return "The output is no terminal, so it goes line by line."
    if platform != "win32" and env.get("TERM", "") in _UNDRAWABLE:
        return (
            "This terminal cannot draw a screen, so it goes line by line. "
            "If it can, set TERM to its kind, for example TERM=xterm-256color."
        )
    if not takes_utf8(stdout):
        return (
            f"This terminal is set to {stdout.encoding}, so it goes line by line. "
            "For the screen set LANG=C.UTF-8 (on Windows: PYTHONUTF8=1) and start again."
        )
    return None


def _latin(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    signs = error.object[error.start : error.end]
    return "".join(LATIN_FORMS.get(sign, "?") for sign in signs), error.end

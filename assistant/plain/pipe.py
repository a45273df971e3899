"""How the plain front ends end: exit codes, and a reader that went away."""

from __future__ import annotations

import io
import os
from typing import IO, Any

FINE = 0
INTERRUPTED = 130
"""What shells report for a program ended with Ctrl+C."""


def hush(stream: IO[Any]) -> None:
    """Point a stream whose reader is gone at nothing, so that closing it at exit says nothing either."""
    try:
        descriptor = stream.fileno()
    except (io.UnsupportedOperation, ValueError):
        return
    nothing = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nothing, descriptor)
    os.close(nothing)

"""Streams for the plain front ends under test."""

from __future__ import annotations

import io
from typing import Any

from assistant.plain import run_json, run_plain

from .invented_visit import PlayedDesk, as_desk


class Terminal(io.BytesIO):
    """Input that says it is a terminal, but is not file descriptor 0."""

    def isatty(self) -> bool:
        return True

    def fileno(self) -> int:
        return 99


class Interrupted(io.BytesIO):
    """Ctrl+C comes while a line is waited for."""

    def readline(self, size: int | None = -1) -> bytes:  # noqa: ARG002
        raise KeyboardInterrupt


class Closed(io.BytesIO):
    """Output whose reader has gone."""

    def write(self, data: Any) -> int:  # noqa: ARG002
        raise BrokenPipeError


def plain(desk: PlayedDesk, typed: bytes = b"", *, width: int = 80, encoding: str = "utf-8") -> tuple[str, int]:
    """Return what the plain front end prints for ``typed``, and its exit code."""
    printed = io.BytesIO()
    out = io.TextIOWrapper(printed, encoding=encoding)
    code = run_plain(as_desk(desk), io.BytesIO(typed), out, width)
    return printed.getvalue().decode(encoding), code


def json_lines(desk: PlayedDesk, typed: bytes) -> tuple[list[bytes], int]:
    """Return the lines the interface for scripts prints, and its exit code."""
    out = io.BytesIO()
    code = run_json(as_desk(desk), io.BytesIO(typed), out)
    data = out.getvalue()
    assert data == b"" or data.endswith(b"\n")
    return data.split(b"\n")[:-1], code

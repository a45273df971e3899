"""Notes from a stream of any bytes: one note a line, however long, broken or binary it is."""

from __future__ import annotations

import codecs
from collections.abc import Iterator
from dataclasses import dataclass
from typing import BinaryIO

LINE_BYTES = 200_000
"""Longest line that is read as a note; the rest of it is skipped and the technician is told."""
_CHUNK = 65_536
_BYTE_ORDER_MARK = "\ufeff"


@dataclass(frozen=True, slots=True)
class Incoming:
    """One line as text, and what had to be done to it."""

    text: str
    notice: str | None = None
    """A sentence for the technician where the line was cut or held bytes that are not text."""


def notes(stream: BinaryIO, limit: int = LINE_BYTES) -> Iterator[Incoming]:
    """Yield every line of ``stream`` as text; never holds more than ``limit`` bytes of one line.

    Bytes that are not UTF-8 become U+FFFD. The end of the stream ends the iteration; a last line without a
    line end counts.
    """
    while line := stream.readline(limit + 1):
        problems = []
        cut = len(line) > limit and not line.endswith(b"\n")
        if cut:
            _skip_to_line_end(stream)
            line = line[:limit]
            problems.append(f"The line is longer than {limit:,} bytes; only the beginning was read.")
        text, is_text = _decoded(line.rstrip(b"\r\n"), whole=not cut)
        if not is_text:
            problems.append("Some bytes are not text (UTF-8) and were replaced.")
        yield Incoming(text.removeprefix(_BYTE_ORDER_MARK), " ".join(problems) or None)


def _skip_to_line_end(stream: BinaryIO) -> None:
    while chunk := stream.readline(_CHUNK):
        if chunk.endswith(b"\n"):
            return


def _decoded(line: bytes, *, whole: bool) -> tuple[str, bool]:
    """Return the text and whether all of it was UTF-8; a character cut in two at the end is dropped."""
    decoder = codecs.getincrementaldecoder("utf-8")
    try:
        return decoder("strict").decode(line, final=whole), True
    except UnicodeDecodeError:
        return decoder("replace").decode(line, final=whole), False

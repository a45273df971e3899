"""The lines of a log: one JSON object per event, closed by how many lines of its turn follow and a checksum.

The checksum of a line is the CRC-32 (ISO 3309, as zip files use it) of the line up to that field, started
from the checksum of the line before: a changed, missing, doubled or moved line breaks the chain.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from zlib import crc32

from pydantic import ValidationError

from .events import EVENT, SCHEMA_VERSION, AnyEvent

_LEFT = b',"left":'
_CRC = b',"crc":"'
_TAIL = len(_CRC) + 8 + len(b'"}')


@dataclass(frozen=True, slots=True)
class Line:
    """One undamaged line."""

    body: bytes
    """The event alone, as JSON."""
    left: int
    """Lines of the same turn still to come."""
    end: int
    """Offset of the byte after the line, its line break included where it is there."""
    crc: int


class NewerVersion(Exception):  # noqa: N818  # becomes an error with a sentence in log_content
    """A line of a later schema version."""

    def __init__(self, version: int) -> None:
        self.version = version
        super().__init__(f"schema version {version}")


def encoded(events: Sequence[AnyEvent], crc: int) -> tuple[bytes, int]:
    """Return the lines of one turn and the checksum of the last; ``crc``: that of the line before.

    Raises ValueError where an event would not be read back: better one note refused than all later ones lost.
    """
    lines = []
    for left, event in zip(range(len(events) - 1, -1, -1), events, strict=True):
        text = json.dumps(event.model_dump(mode="json"), ensure_ascii=False, separators=(",", ":"))
        body = text.encode("utf-8", "replace")  # half a surrogate pair is no text: it becomes "?"
        EVENT.validate_json(body)
        payload = body[:-1] + _LEFT + str(left).encode()
        crc = crc32(payload, crc)
        lines.append(b'%b%b%08x"}\n' % (payload, _CRC, crc))
    return b"".join(lines), crc


def good_lines(data: bytes) -> Iterator[Line]:
    """Yield the lines from the first on until one is torn or damaged."""
    crc = start = 0
    while start < len(data):
        stop = data.find(b"\n", start)
        end = len(data) if stop < 0 else stop + 1
        line = _line(data[start : end if stop < 0 else stop], end, crc)
        if line is None:
            return
        yield line
        start, crc = end, line.crc


def event_of(line: Line) -> AnyEvent | None:
    """Return the event of a line, None where this version cannot read it. Raises NewerVersion."""
    try:
        event = EVENT.validate_json(line.body)
    except ValidationError:
        version = version_of(line.body)
        if version > SCHEMA_VERSION:
            raise NewerVersion(version) from None
        return None
    if event.v > SCHEMA_VERSION:
        raise NewerVersion(event.v)
    return event


def version_of(text: bytes) -> int:
    """Return the schema version that a line claims, 0 where it claims none."""
    try:
        claimed = json.loads(text)
    except ValueError:
        return 0
    version = claimed.get("v") if isinstance(claimed, dict) else None
    return version if isinstance(version, int) and not isinstance(version, bool) else 0


def has_our_ending(text: bytes) -> bool:
    """Return True where a line ends as ours do, whether its checksum is right or not."""
    return text[-_TAIL:].startswith(_CRC) and text.endswith(b'"}')


def _line(text: bytes, end: int, before: int) -> Line | None:
    payload, ending = text[:-_TAIL], text[-_TAIL:]
    crc = crc32(payload, before)
    if ending != b'%b%08x"}' % (_CRC, crc):
        return None
    body, sign, left = payload.rpartition(_LEFT)
    if not sign or not left.isdigit():
        return None
    return Line(body + b"}", int(left), end, crc)

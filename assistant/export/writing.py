"""Writing a note to files."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from hashlib import sha256
from pathlib import Path

from assistant.paths import atomic_write

from .json_note import to_json
from .markdown import to_markdown
from .sections import JobNote
from .text import to_text

RENDERERS: Mapping[str, Callable[[JobNote], str]] = {"md": to_markdown, "txt": to_text, "json": to_json}
"""File ending -> renderer."""
ALL_FORMATS = tuple(RENDERERS)

_UNSAFE = re.compile(r"[^A-Za-z0-9._-]+")
_LONGEST_STEM = 80


def write_note(note: JobNote, folder: Path, formats: Sequence[str] = ALL_FORMATS) -> tuple[Path, ...]:
    """Write the note once per format and return the paths, in the order asked for.

    The name comes from the visit; an earlier note of the same visit is replaced as a whole. All formats are
    rendered before the first is written. Raises SaveError where a file cannot be written, ValueError for a format
    that is not in ``ALL_FORMATS``.
    """
    unknown = [kind for kind in formats if kind not in RENDERERS]
    if unknown:
        raise ValueError(f"no note format {unknown[0]!r}; there is {', '.join(ALL_FORMATS)}")
    rendered = [(note_path(note.header.visit, folder, kind), RENDERERS[kind](note)) for kind in formats]
    for path, text in rendered:
        atomic_write(path, text)
    return tuple(path for path, _ in rendered)


def note_path(visit: str, folder: Path, kind: str) -> Path:
    """Return the file for a visit's note; an id that is no safe file name gets a hash: none collide."""
    stem = _UNSAFE.sub("-", visit).strip("-.")[:_LONGEST_STEM]
    if stem != visit:
        stem = f"{stem or 'visit'}-{sha256(visit.encode(errors='backslashreplace')).hexdigest()[:8]}"
    return folder / f"job-note-{stem}.{kind}"

"""The note as JSON: the model itself, keys in the order of the model, UTF-8."""

from __future__ import annotations

from .sections import JobNote


def to_json(note: JobNote) -> str:
    """Return the note as JSON with its schema version; read it back with ``JobNote.model_validate_json``.

    Times are ISO 8601 with offset. A number that is none (JSON knows no infinity) is written as null.
    """
    return note.model_dump_json(indent=2) + "\n"

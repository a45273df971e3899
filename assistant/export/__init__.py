"""The job note of a visit: one model, and Markdown, plain text and JSON made from it."""

from __future__ import annotations

from .json_note import to_json
from .markdown import to_markdown
from .note import build_note
from .sections import JobNote
from .text import to_text
from .writing import ALL_FORMATS, note_path, write_note

__all__ = [
    "ALL_FORMATS",
    "JobNote",
    "build_note",
    "note_path",
    "to_json",
    "to_markdown",
    "to_text",
    "write_note",
]

"""Rewrite the notes of the demo sessions: ``python -m tests.sessions --write``; then read the difference."""

from __future__ import annotations

import sys

from assistant.demo import demo_folder, read_demo, replay_note
from knowledge import load

for path in sorted(demo_folder().glob("*/visit.yaml")):
    note = replay_note(read_demo(path), load())
    if "--write" in sys.argv:
        (path.parent / "note.md").write_text(note, encoding="utf-8")
    print(f"== {path.parent.name}\n{note}")

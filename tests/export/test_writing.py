"""Files: names from the visit, whole or not at all."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.export import JobNote, note_path, to_json, to_markdown, write_note
from assistant.paths import SaveError


def test_every_format_is_written_and_its_path_returned(notes: dict[str, JobNote], tmp_path: Path) -> None:
    note = notes["fan capacitor"]
    paths = write_note(note, tmp_path / "new" / "notes")

    assert [path.name for path in paths] == [f"job-note-20310714-0001.{kind}" for kind in ("md", "txt", "json")]
    assert paths[0].read_text(encoding="utf-8") == to_markdown(note)
    assert sorted(path.name for path in paths[0].parent.iterdir()) == sorted(path.name for path in paths)


def test_only_the_formats_asked_for_are_written(notes: dict[str, JobNote], tmp_path: Path) -> None:
    (path,) = write_note(notes["no fault"], tmp_path, ["json"])

    assert path.read_text(encoding="utf-8") == to_json(notes["no fault"])


def test_an_earlier_note_of_the_visit_is_replaced(notes: dict[str, JobNote], tmp_path: Path) -> None:
    (path,) = write_note(notes["fan capacitor"], tmp_path, ["md"])
    path.write_text("old and longer " * 10_000, encoding="utf-8")
    write_note(notes["fan capacitor"], tmp_path, ["md"])

    assert path.read_text(encoding="utf-8") == to_markdown(notes["fan capacitor"])


def test_an_unknown_format_is_refused_before_anything_is_written(notes: dict[str, JobNote], tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="no note format 'pdf'; there is md, txt, json"):
        write_note(notes["no fault"], tmp_path, ["md", "pdf"])
    assert list(tmp_path.iterdir()) == []


def test_a_full_disk_leaves_the_earlier_note_as_it_was(
    notes: dict[str, JobNote], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (path,) = write_note(notes["fan capacitor"], tmp_path, ["md"])

    def full(descriptor: int) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(SaveError, match="the disk is full"):
        write_note(notes["fan capacitor"], tmp_path, ["md"])

    assert path.read_text(encoding="utf-8") == to_markdown(notes["fan capacitor"])
    assert list(tmp_path.iterdir()) == [path]


@given(st.text(max_size=200))
def test_any_visit_id_gives_one_plain_file_name(visit: str) -> None:
    path = note_path(visit, Path("notes"), "md")

    assert path.parent == Path("notes")
    assert len(path.name) < 120
    assert path.name.isascii()
    assert not set(path.name) & set('/\\:*?"<>| ')


@given(st.text(max_size=40), st.text(max_size=40))
def test_two_visits_never_share_a_file(one: str, other: str) -> None:
    same = note_path(one, Path(), "md") == note_path(other, Path(), "md")

    assert same == (one == other)

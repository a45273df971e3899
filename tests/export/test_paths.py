"""Where files live, and writing one of them whole."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest

from assistant.paths import Places, SaveError, atomic_write, places

HOME = Path("/home/tech")


class TestPlaces:
    def test_linux_without_settings_uses_the_usual_folders(self) -> None:
        # Defaults of the XDG Base Directory Specification (from memory): ~/.local/share, ~/.config, ~/.cache.
        assert places({"HOME": str(HOME)}, "linux") == Places(
            visits=HOME / ".local/share/padside/visits",
            notes=HOME / ".local/share/padside/notes",
            settings=HOME / ".config/padside",
            cache=HOME / ".cache/padside",
        )

    def test_xdg_folders_are_followed_and_relative_ones_ignored(self) -> None:
        env = {"HOME": str(HOME), "XDG_DATA_HOME": "/data", "XDG_CACHE_HOME": "not/absolute"}
        found = places(env, "linux")

        assert found.visits == Path("/data/padside/visits")
        assert found.cache == HOME / ".cache/padside"

    def test_macos_uses_the_library(self) -> None:
        found = places({"HOME": str(HOME), "XDG_DATA_HOME": "/data"}, "darwin")

        assert found.visits == HOME / "Library/Application Support/padside/visits"
        assert found.cache == HOME / "Library/Caches/padside"

    def test_windows_uses_local_and_roaming_folders(self) -> None:
        env = {"LOCALAPPDATA": "/c/Local", "APPDATA": "/c/Roaming", "USERPROFILE": "/c/tech"}
        found = places(env, "win32")

        assert found.notes == Path("/c/Local/padside/notes")
        assert found.settings == Path("/c/Roaming/padside")

    @pytest.mark.parametrize("platform", ["linux", "darwin", "win32"])
    def test_one_variable_overrides_all(self, platform: str, tmp_path: Path) -> None:
        env = {"PADSIDE_HOME": str(tmp_path), "HOME": str(HOME), "XDG_DATA_HOME": "/data"}
        found = places(env, platform)

        assert {found.visits, found.notes, found.settings, found.cache} == {
            tmp_path / name for name in ("visits", "notes", "settings", "cache")
        }

    def test_without_any_home_the_message_says_what_to_set(self, monkeypatch: pytest.MonkeyPatch) -> None:
        def homeless() -> Path:
            raise RuntimeError("Could not determine home directory.")

        monkeypatch.setattr(Path, "home", homeless)
        with pytest.raises(SaveError, match="Set PADSIDE_HOME to a folder"):
            places({}, "linux")


class TestAtomicWrite:
    def test_text_is_written_as_utf_8_with_plain_line_ends(self, tmp_path: Path) -> None:
        path = tmp_path / "deep" / "er" / "note.md"
        atomic_write(path, "45 µF\n2 MΩ\n")

        assert path.read_bytes() == "45 µF\n2 MΩ\n".encode()

    def test_characters_that_utf_8_cannot_hold_do_not_lose_the_rest(self, tmp_path: Path) -> None:
        atomic_write(tmp_path / "note.txt", "a\ud800b")

        assert (tmp_path / "note.txt").read_text(encoding="utf-8") == "a\\ud800b"

    @pytest.mark.parametrize(
        ("number", "words"),
        [
            (errno.ENOSPC, "the disk is full. Free some space"),
            (errno.EROFS, "the disk is read-only"),
            (errno.EACCES, "the folder may not be written to. Change its permissions, or set PADSIDE_HOME"),
            (errno.EIO, "input/output error. Check the disk"),
        ],
    )
    def test_each_trouble_has_its_sentence_and_leaves_the_old_file(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, number: int, words: str
    ) -> None:
        path = tmp_path / "note.md"
        path.write_text("old", encoding="utf-8")

        def fails(self: Path, target: Path) -> Path:
            raise OSError(number, os.strerror(number))

        monkeypatch.setattr(Path, "replace", fails)
        with pytest.raises(SaveError, match=words) as caught:
            atomic_write(path, "new")

        assert str(path) in str(caught.value)
        assert "What was there before is unchanged." in str(caught.value)
        assert path.read_text(encoding="utf-8") == "old"
        assert list(tmp_path.iterdir()) == [path]

    def test_a_file_where_the_folder_should_be_is_said_so(self, tmp_path: Path) -> None:
        (tmp_path / "notes").write_text("", encoding="utf-8")

        with pytest.raises(SaveError, match="a file stands where a folder is needed"):
            atomic_write(tmp_path / "notes" / "note.md", "x")

    def test_a_folder_where_the_file_should_be_is_said_so(self, tmp_path: Path) -> None:
        (tmp_path / "note.md").mkdir()

        with pytest.raises(SaveError, match="a folder of that name is in the way"):
            atomic_write(tmp_path / "note.md", "x")
        assert list(tmp_path.iterdir()) == [tmp_path / "note.md"]

    def test_an_interruption_leaves_nothing_half_written(self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        def interrupted(descriptor: int) -> None:
            raise KeyboardInterrupt

        monkeypatch.setattr(os, "fsync", interrupted)
        with pytest.raises(KeyboardInterrupt):
            atomic_write(tmp_path / "note.md", "x")

        assert list(tmp_path.iterdir()) == []

"""One writer per visit."""

from __future__ import annotations

import errno
from pathlib import Path

import pytest

from assistant.session import lock as lock_module
from assistant.session.log import (
    LogBusyError,
    LogReadError,
    VisitLog,
    read,
)

from .logs import ALL, TURNS, sentence

# --- two writers ---


def test_a_second_writer_is_kept_out_until_the_first_is_done(path: Path) -> None:
    first = VisitLog.create(path)
    first.append(TURNS[0])
    with pytest.raises(LogBusyError) as err:
        VisitLog.open(path)
    assert "another window or program" in sentence(err)
    assert read(path).events == tuple(TURNS[0]), "reading is free"
    first.append(TURNS[1])
    first.close()
    with VisitLog.open(path) as second:
        second.append(TURNS[2])
    assert read(path).events == tuple(event for turn in TURNS[:3] for event in turn)


def test_a_refused_opening_gives_its_lock_back(path: Path, data: bytes, monkeypatch: pytest.MonkeyPatch) -> None:
    path.write_bytes(b"rubbish")
    with pytest.raises(LogReadError):
        VisitLog.open(path)
    path.write_bytes(data)
    VisitLog.open(path).close()


@pytest.fixture
def without_fcntl(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(lock_module, "_fcntl", lambda: None)


@pytest.mark.usefixtures("without_fcntl")
def test_where_files_cannot_be_locked_a_lock_file_beside_keeps_the_second_out(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    beside = path.with_name(path.name + ".lock")
    first = VisitLog.create(path)
    assert beside.exists()
    with monkeypatch.context() as patch:
        patch.setattr(Path, "unlink", held_open)  # Windows does not remove a file that is open
        with pytest.raises(LogBusyError):
            VisitLog.open(path)
    first.append(TURNS[0])
    first.close()
    assert not beside.exists()
    VisitLog.open(path).close()


def held_open(path: Path, missing_ok: bool = False) -> None:
    raise PermissionError(errno.EACCES, "being used by another process", str(path))


@pytest.mark.usefixtures("without_fcntl")
def test_a_lock_file_left_by_a_killed_program_is_no_hindrance(path: Path, data: bytes) -> None:
    beside = path.with_name(path.name + ".lock")
    beside.touch()
    with VisitLog.open(path) as log:
        assert log.content.events == ALL
    assert not beside.exists()


def test_a_drive_that_cannot_lock_is_worked_on_with_a_warning(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    class NoLocks:
        LOCK_EX = LOCK_NB = 0

        @staticmethod
        def flock(*_args: int) -> None:
            raise OSError(errno.ENOLCK, "No locks available")

    monkeypatch.setattr(lock_module, "_fcntl", lambda: NoLocks)
    with VisitLog.create(path) as log:
        assert log.warning is not None
        assert "two programs" in log.warning
        log.append(TURNS[0])
    assert read(path).events == tuple(TURNS[0])

"""The log on disk: what is written comes back, and what fails leaves nothing behind."""

from __future__ import annotations

import errno
import json
import os
from collections.abc import Callable
from pathlib import Path
from zlib import crc32

import pytest

from assistant.session import events as e
from assistant.session.fold import fold
from assistant.session.log import (
    LogWriteError,
    VisitExistsError,
    VisitLog,
    read,
)

from .logs import ALL, TURNS, failing, sentence
from .made import KB, NOON

# --- there and back ---


def test_what_was_written_is_read_and_folds_to_the_same_state(path: Path, data: bytes) -> None:
    content = read(path)
    assert content.events == ALL
    assert content.problems == ()
    assert content.unfinished == ()
    assert content.size == len(data)
    assert fold(content.events, KB) == fold(ALL, KB)


def test_every_line_is_json_of_its_own_with_a_checksum_at_its_end(data: bytes) -> None:
    """CRC-32 as in ISO 3309, from Python's zlib; its check value for "123456789" is CBF43926 (published widely)."""
    assert crc32(b"123456789") == 0xCBF43926
    lines = data.splitlines()
    assert len(lines) == len(ALL)
    before = 0
    for line, event in zip(lines, ALL, strict=True):
        fields = json.loads(line)
        assert list(fields)[-1] == "crc"
        assert (fields["v"], fields["seq"]) == (e.SCHEMA_VERSION, event.seq)
        before = crc32(line[: line.rindex(b',"crc"')], before)
        assert fields["crc"] == f"{before:08x}"


def test_a_visit_goes_on_where_it_was_left(path: Path, data: bytes) -> None:
    more = e.FreeNote(at=NOON, seq=99, note=9, text="back from lunch")
    with VisitLog.open(path) as log:
        assert log.content.events == ALL
        assert log.visit == "2026-07-04-a"
        log.append([more])
    assert path.read_bytes().startswith(data)
    assert read(path).events == (*ALL, more)


def test_a_turn_is_one_write_and_one_sync_before_append_returns(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    calls: list[str] = []
    write, fsync = os.write, os.fsync

    def writing(descriptor: int, piece: bytes) -> int:
        calls.append("write")
        return write(descriptor, piece)

    def syncing(descriptor: int) -> None:
        calls.append("fsync")
        fsync(descriptor)

    with VisitLog.create(path) as log:
        monkeypatch.setattr(os, "write", writing)
        monkeypatch.setattr(os, "fsync", syncing)
        log.append(TURNS[0] + TURNS[1])
        assert calls == ["write", "fsync"]
        log.append([])
        assert calls == ["write", "fsync"]


def test_a_write_that_takes_only_part_is_gone_on_with(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write = os.write
    with VisitLog.create(path) as log:
        monkeypatch.setattr(os, "write", lambda descriptor, piece: write(descriptor, bytes(piece)[:7]))
        log.append(TURNS[0])
    assert read(path).events == tuple(TURNS[0])


def test_half_a_character_in_the_words_does_not_break_the_log(path: Path) -> None:
    strange = e.NoteHeard.model_construct(
        v=1, seq=1, at=NOON, note=1, type="note_heard", text="\ud83d", source="typed", heard=({"x": "\udc00"},)
    )
    with VisitLog.create(path) as log:
        log.append([strange])
        log.append(TURNS[1])
    content = read(path)
    assert content.problems == ()
    assert content.events[1:] == tuple(TURNS[1])


def test_what_could_not_be_read_back_is_refused_and_nothing_is_written(path: Path) -> None:
    wrong = e.FreeNote.model_construct(v=1, seq=1, at=NOON, note=1, type="free_note", text=object())  # type: ignore[arg-type]
    with VisitLog.create(path) as log:
        log.append(TURNS[0])
        with pytest.raises(LogWriteError) as err:
            log.append([TURNS[1][0], wrong])
        assert "not saved" in sentence(err)
        log.append(TURNS[1])
    assert read(path).events == (*TURNS[0], *TURNS[1])


# --- a write that fails ---


@pytest.mark.parametrize("call", ["write", "fsync"])
@pytest.mark.parametrize("after", [0, 1, 60])
@pytest.mark.parametrize(
    ("number", "word"),
    [
        (errno.ENOSPC, "full"),
        (errno.EDQUOT, "quota"),
        (errno.EROFS, "read-only"),
        (errno.EACCES, "permissions"),
        (errno.EIO, "fault"),
        (errno.ENOTTY, "system reports"),
    ],
)
def test_a_failed_write_says_so_and_leaves_nothing_of_itself(  # one row, all failures
    path: Path, monkeypatch: pytest.MonkeyPatch, call: str, after: int, number: int, word: str
) -> None:
    with VisitLog.create(path) as log:
        log.append(TURNS[0])
        before = path.read_bytes()
        with monkeypatch.context() as patch:
            patch.setattr(os, call, failing(number, after))
            with pytest.raises(LogWriteError) as err:
                log.append(TURNS[1])
            text = sentence(err)
        assert "not saved" in text
        assert word in text
        assert path.read_bytes() == before
        log.append(TURNS[1])
    assert read(path).events == (*TURNS[0], *TURNS[1])
    assert read(path).problems == ()


def test_where_even_cutting_back_fails_it_is_done_before_the_next_write(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with VisitLog.create(path) as log:
        log.append(TURNS[0])
        before = path.read_bytes()
        with monkeypatch.context() as patch:
            patch.setattr(os, "write", failing(errno.ENOSPC, 30))
            patch.setattr(os, "ftruncate", failing(errno.EIO))
            with pytest.raises(LogWriteError):
                log.append(TURNS[1])
            assert path.read_bytes() != before
            with pytest.raises(LogWriteError):
                log.append(TURNS[1])
        log.append(TURNS[1])
    assert read(path).events == (*TURNS[0], *TURNS[1])
    assert read(path).problems == ()


def test_an_interrupt_in_the_middle_of_a_write_leaves_nothing_half_written(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write = os.write

    def interrupted(descriptor: int, piece: bytes) -> int:
        write(descriptor, bytes(piece)[:25])
        raise KeyboardInterrupt

    with VisitLog.create(path) as log:
        log.append(TURNS[0])
        before = path.read_bytes()
        monkeypatch.setattr(os, "write", interrupted)
        with pytest.raises(KeyboardInterrupt):
            log.append(TURNS[1])
        assert path.read_bytes() == before


def test_a_log_deleted_under_the_program_is_noticed(path: Path) -> None:
    with VisitLog.create(path) as log:
        log.append(TURNS[0])
        path.unlink()
        with pytest.raises(LogWriteError) as err:
            log.append(TURNS[1])
    assert "deleted" in sentence(err)


def test_a_log_changed_by_another_program_is_noticed_and_left_alone(path: Path) -> None:
    with VisitLog.create(path) as log:
        log.append(TURNS[0])
        changed = path.read_bytes() + b"scribble"
        path.write_bytes(changed)
        with pytest.raises(LogWriteError) as err:
            log.append(TURNS[1])
    assert "another program" in sentence(err)
    assert path.read_bytes() == changed


def test_a_closed_log_takes_nothing(path: Path) -> None:
    log = VisitLog.create(path)
    log.close()
    log.close()
    with pytest.raises(LogWriteError) as err:
        log.append(TURNS[0])
    assert "closed" in sentence(err)


def test_a_visit_is_not_begun_twice(path: Path, data: bytes) -> None:
    with pytest.raises(VisitExistsError) as err:
        VisitLog.create(path)
    assert "already" in sentence(err)
    assert path.read_bytes() == data


@pytest.mark.parametrize(("number", "word"), [(errno.EROFS, "read-only"), (errno.EACCES, "no permission")])
@pytest.mark.parametrize("begin", [VisitLog.create, VisitLog.open])
def test_a_folder_that_may_not_be_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, begin: Callable[[Path], VisitLog], number: int, word: str
) -> None:
    monkeypatch.setattr(os, "open", failing_open(number))
    with pytest.raises(LogWriteError) as err:
        begin(tmp_path / "x.jsonl")
    assert word in sentence(err)


def failing_open(number: int) -> Callable[..., int]:
    def fail(*_args: object) -> int:
        raise OSError(number, os.strerror(number))

    return fail

"""A damaged log: seen, told, kept aside, and everything before it saved."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable
from pathlib import Path
from zlib import crc32

import pytest

from assistant.session import events as e
from assistant.session.log import (
    LogReadError,
    LogWriteError,
    NewerLogError,
    VisitLog,
    read,
)

from .logs import ALL, TURNS, failing, sentence
from .made import NOON

# --- damage ---


def last_two_lines() -> range:
    """Lengths from the end of the file: every byte position of the last two lines."""
    return range(1, 1 + sum(len(line) + 1 for line in encoded_lines()[-2:]))


def encoded_lines() -> list[bytes]:
    from assistant.session.log_lines import encoded

    crc, data = 0, b""
    for turn in TURNS:
        lines, crc = encoded(turn, crc)
        data += lines
    return data.splitlines()


@pytest.mark.parametrize("cut", last_two_lines())
def test_a_kill_at_any_byte_costs_at_most_the_line_being_written(path: Path, data: bytes, cut: int) -> None:
    path.write_bytes(data[:-cut])
    whole = [line for line in data[:-cut].split(b"\n") if line + b"\n" in data]
    complete = len([line for line in whole if line])
    content = read(path)
    assert content.events == ALL[:complete]
    torn = data[: content.size].rstrip(b"\n") != data[:-cut].rstrip(b"\n")
    assert bool(content.damaged) is torn
    assert path.read_bytes() == data[:-cut], "reading changes nothing"
    more = e.FreeNote(at=NOON, seq=99, note=9, text="again")
    with VisitLog.open(path) as log:
        assert log.content.events == ALL[:complete]
        log.append([more])
    assert read(path).events == (*ALL[:complete], more)
    assert read(path).problems == ()
    aside = path.with_name(path.name + ".damaged")
    assert aside.exists() is torn
    if torn:
        assert aside.read_bytes() == content.damaged + b"\n"
        assert "cut off or damaged" in content.problems[0]
        assert aside.name in content.problems[0]


def test_a_turn_saved_in_part_is_told_and_its_events_are_named(path: Path, data: bytes) -> None:
    """The reading may be there without the stop it called for: whoever goes on must be able to see that."""
    turn = next(place for place, turn in enumerate(TURNS) if any(isinstance(event, e.StopRaised) for event in turn))
    kept = sum(len(one) for one in TURNS[:turn]) + 2
    path.write_bytes(b"".join(data.splitlines(keepends=True)[:kept]))
    content = read(path)
    assert content.damaged == b""
    assert content.unfinished == tuple(TURNS[turn][:2])
    assert any(isinstance(event, e.FindingMade) for event in content.unfinished)
    assert "only in part" in content.problems[0]


@pytest.mark.parametrize("line", range(1, len(ALL)))
@pytest.mark.parametrize("where", [0, 5, 30, 0.5, -20, -12, -3])
def test_a_changed_byte_ends_the_good_part_at_the_line_before(path: Path, data: bytes, line: int, where: float) -> None:
    lines = data.splitlines(keepends=True)
    start = sum(len(one) for one in lines[:line])
    length = len(lines[line])
    at = start + (int(length * where) if isinstance(where, float) else where % length)
    hurt = data[:at] + bytes([data[at] ^ 0x01]) + data[at + 1 :]
    path.write_bytes(hurt)
    content = read(path)
    assert content.events == ALL[:line]
    assert content.damaged == hurt[start:]
    assert len(content.problems) >= 1
    with VisitLog.open(path) as log:
        assert log.content.events == ALL[:line]
    assert path.read_bytes() == data[:start]
    assert path.with_name(path.name + ".damaged").read_bytes() == hurt[start:] + b"\n"


@pytest.mark.parametrize("change", ["left out", "doubled", "moved", "break lost"])
def test_lines_left_out_doubled_moved_or_run_together_are_seen(path: Path, data: bytes, change: str) -> None:
    lines = data.splitlines(keepends=True)
    hurt = {
        "left out": [*lines[:3], *lines[4:]],
        "doubled": [*lines[:4], lines[3], *lines[4:]],
        "moved": [*lines[:3], lines[4], lines[3], *lines[5:]],
        "break lost": [*lines[:3], lines[3][:-1], *lines[4:]],
    }[change]
    path.write_bytes(b"".join(hurt))
    assert read(path).events == ALL[: 4 if change == "doubled" else 3]


def test_damage_twice_keeps_both_pieces(path: Path, data: bytes) -> None:
    for _ in range(2):
        path.write_bytes(data[:-4])
        VisitLog.open(path).close()
    torn = data.splitlines()[-1][:-3]
    assert path.with_name(path.name + ".damaged").read_bytes() == (torn + b"\n") * 2


def test_damaged_bytes_that_cannot_be_kept_are_not_cut_off(
    path: Path, data: bytes, monkeypatch: pytest.MonkeyPatch
) -> None:
    path.write_bytes(data[:-4])
    with monkeypatch.context() as patch:
        patch.setattr(os, "write", failing(errno.ENOSPC))
        with pytest.raises(LogWriteError) as err:
            VisitLog.open(path)
    assert "full" in sentence(err)
    assert path.read_bytes() == data[:-4]
    VisitLog.open(path).close()


@pytest.mark.parametrize(
    ("bytes_", "word"),
    [
        (b"", "empty"),
        (b"\x89PNG\r\n\x1a\n\x00\x00", "not the log"),
        (b"Dear customer,\n", "not the log"),
        (b'{"name": "something else"}\n', "not the log"),
        (b"[]\n", "not the log"),
        (b"\xff\xfe" * 500, "not the log"),
        (b'{"v":1,"seq":1,"at":"2026-07', "damaged from its first line"),
        (b"\n\n\n", "not the log"),
    ],
)
@pytest.mark.parametrize("begin", [read, VisitLog.open])
def test_what_is_no_log_is_refused_and_left_alone(
    path: Path, begin: Callable[[Path], object], bytes_: bytes, word: str
) -> None:
    path.write_bytes(bytes_)
    with pytest.raises(LogReadError) as err:
        begin(path)
    assert word in sentence(err)
    assert path.read_bytes() == bytes_
    assert [found.name for found in path.parent.iterdir()] == [path.name]


def test_a_missing_log_and_a_folder_in_its_place(path: Path) -> None:
    for begin in (read, VisitLog.open):
        with pytest.raises(LogReadError, match="There is no visit"):
            begin(path)
    path.mkdir()
    with pytest.raises(LogReadError) as err:
        read(path)
    sentence(err)
    with pytest.raises(LogWriteError) as refused:
        VisitLog.open(path)
    sentence(refused)


def newer(body: str, crc: int) -> bytes:
    payload = body.encode()[:-1] + b',"left":0'
    return payload + b',"crc":"%08x"}\n' % crc32(payload, crc)


@pytest.mark.parametrize("begin", [read, VisitLog.open])
@pytest.mark.parametrize(
    "body",
    [
        '{"v":7,"seq":50,"at":"2031-07-04T09:00:00Z","note":9,"type":"smell_recorded","smell":"hot"}',
        '{"v":7,"seq":50,"at":"2031-07-04T09:00:00Z","note":9,"type":"free_note","text":"x"}',
        '{"v":7,"everything":"else"}',
    ],
)
@pytest.mark.parametrize("closed", ["as ours", "in another way"])
@pytest.mark.parametrize("first", [True, False])
def test_a_log_of_a_later_version_is_refused_with_both_versions(  # one row, all cases
    path: Path, data: bytes, begin: Callable[[Path], object], body: str, closed: str, first: bool
) -> None:
    head = b"" if first else data
    crc = 0 if first else read(path).crc
    later = head + (newer(body, crc) if closed == "as ours" else body.encode() + b"\n")
    path.write_bytes(later)
    with pytest.raises(NewerLogError) as err:
        begin(path)
    text = sentence(err)
    assert "version 7" in text
    assert f"up to {e.SCHEMA_VERSION}" in text
    assert path.read_bytes() == later
    assert [found.name for found in path.parent.iterdir()] == [path.name]


def test_an_event_that_this_version_does_not_know_ends_the_good_part(path: Path, data: bytes) -> None:
    body = '{"v":1,"seq":50,"at":"2026-07-04T09:00:00Z","note":9,"type":"smell_recorded"}'
    path.write_bytes(data + newer(body, read(path).crc))
    content = read(path)
    assert content.events == ALL
    assert content.problems != ()

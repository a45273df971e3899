"""The command itself, as a shell or a script meets it: whatever goes wrong is a sentence and an exit code."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from assistant import __main__ as command
from assistant import demo
from assistant.__main__ import main
from assistant.console import FINE, WRONG
from assistant.open_visit import open_new
from assistant.session.log import VisitLog
from knowledge import load


class Typed(io.TextIOWrapper):
    """Standard input that is a terminal or a pipe."""

    def __init__(self, text: str = "", *, terminal: bool = False) -> None:
        super().__init__(io.BytesIO(text.encode()))
        self._terminal = terminal

    def isatty(self) -> bool:
        return self._terminal


class Gone(io.TextIOWrapper):
    """Output whose reader has gone, or whose disk is full."""

    def __init__(self, error: OSError) -> None:
        super().__init__(io.BytesIO(), encoding="utf-8")
        self._error = error

    def write(self, text: str) -> int:  # noqa: ARG002
        raise self._error

    def fileno(self) -> int:
        raise io.UnsupportedOperation


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    for name in list(os.environ):
        if name.startswith("PADSIDE_"):
            monkeypatch.delenv(name)
    monkeypatch.setenv("PADSIDE_HOME", str(tmp_path))
    monkeypatch.setattr(sys, "stdin", Typed())
    return tmp_path


def begun(home: Path, *notes: str) -> str:
    """Begin a visit and leave it; return its id."""
    desk = open_new(load(), home)
    for note in notes:
        desk.say(note)
    desk.close()
    return desk.visit


def piped(words: list[str], typed: bytes, **more: Any) -> subprocess.CompletedProcess[bytes]:
    program = [sys.executable, "-m", "assistant", *words]
    return subprocess.run(program, input=typed, capture_output=True, check=False, timeout=120, **more)  # noqa: S603


@pytest.mark.parametrize("words", [["visits"], ["tables"], ["knowledge", "sources"], ["parse", "45 µF"], ["replay"]])
def test_a_reader_that_went_away_ends_every_command_quietly(
    words: list[str], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "stdout", Gone(BrokenPipeError()))
    assert main(words) == FINE
    assert capsys.readouterr().err == ""


def test_a_full_disk_behind_the_output_is_a_sentence(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "stdout", Gone(OSError(28, "No space left on device")))
    assert main(["tables"]) == WRONG
    assert capsys.readouterr().err.startswith("padside: The computer refused: no space left on device.")


def test_what_nobody_foresaw_is_a_sentence_and_its_traceback_is_kept(
    home: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def broken() -> None:
        raise ZeroDivisionError("of some kind")

    monkeypatch.setattr(command, "load", broken)
    assert main(["visits"]) == WRONG
    told = capsys.readouterr().err
    assert told.startswith("padside: That could not be done (ZeroDivisionError: of some kind).")
    assert "Traceback" not in told
    assert str(home / "cache" / "last-error.txt") in told
    assert "def broken" not in told
    assert "ZeroDivisionError" in (home / "cache" / "last-error.txt").read_text(encoding="utf-8")


def test_closed_streams_are_no_trouble(home: Path) -> None:
    shell = f"exec {sys.executable} -m assistant --plain --visit nope <&- >&-"
    done = subprocess.run(["sh", "-c", shell], capture_output=True, check=False, timeout=120)  # noqa: S603, S607
    assert done.returncode == WRONG
    assert done.stderr.decode().startswith("padside: There is no visit nope in ")


def test_a_terminal_without_the_signs_gets_them_written_out() -> None:
    env = {**os.environ, "PYTHONIOENCODING": "ascii"}
    done = piped(["parse", "cap is a 45/5 µF"], b"", env=env)
    assert done.returncode == FINE, done.stderr
    assert b"uF" in done.stdout


def test_the_folder_for_visits_can_be_chosen(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    elsewhere = home / "elsewhere"
    (home / "settings").mkdir()
    (home / "settings" / "settings.toml").write_text(f"visits = '{elsewhere}'", encoding="utf-8")
    assert main(["--plain"]) == FINE
    assert len(list(elsewhere.glob("*.jsonl"))) == 1
    assert not (home / "visits").exists()
    capsys.readouterr()
    assert main(["visits"]) == FINE
    assert "0 notes" in capsys.readouterr().out


def test_an_empty_name_for_a_visit_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--plain", "--visit", ""]) == WRONG
    assert "'' cannot name a visit" in capsys.readouterr().err


def test_a_visit_with_a_torn_end_is_gone_on_with(
    home: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    visit = begun(home, "nothing running outside", "blower runs")
    path = home / "visits" / f"{visit}.jsonl"
    path.write_bytes(path.read_bytes()[:-30])
    capsys.readouterr()
    assert main(["visits"]) == FINE
    listed = capsys.readouterr().out
    assert "finding" in listed
    assert "nothing running outside" in listed
    assert "cut off or damaged" in " ".join(listed.split())
    monkeypatch.setattr(sys, "stdin", Typed(terminal=True))
    monkeypatch.setattr("builtins.input", ended)
    main([])
    told = capsys.readouterr()
    assert f"{visit}" in told.out
    assert "cut off or damaged" in " ".join(told.out.split())
    assert "line by line" in told.err, "captured output is no terminal"


def ended(_prompt: str) -> str:
    raise EOFError


def test_a_busy_visit_names_the_way_to_a_new_one(
    home: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    visit = begun(home, "nothing running outside")
    monkeypatch.setattr(sys, "stdin", Typed(terminal=True))
    with VisitLog.open(home / "visits" / f"{visit}.jsonl"):
        assert main([]) == WRONG
    assert "A new visit begins with: padside --new" in capsys.readouterr().err


def test_broken_knowledge_is_told_with_file_and_line(
    home: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    bad = home / "visit.yaml"
    bad.write_text("title: x\ntitle: y\n", encoding="utf-8")
    assert main(["replay", str(bad)]) == WRONG
    told = capsys.readouterr().err
    assert f"{bad}:2: " in told
    assert "Traceback" not in told


def test_the_listed_demo_sessions_are_all_there(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["replay"]) == FINE
    assert len(capsys.readouterr().out.splitlines()) == len(list(demo.demo_folder().glob("*/visit.yaml")))

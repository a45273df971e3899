"""Each thing is fine, a problem with its remedy, or not set up."""

from __future__ import annotations

import io
import os
import shutil
from pathlib import Path

import pytest

import knowledge
from assistant import selfcheck as module
from assistant.paths import Places
from assistant.selfcheck import Line, Status, printed, run_selfcheck, selfcheck


class Terminal(io.StringIO):
    encoding = "utf-8"

    def isatty(self) -> bool:
        return True


def found(lines: list[Line], words: str) -> Line:
    (line,) = [line for line in lines if words in line.what]
    return line


@pytest.fixture
def where(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Places:
    monkeypatch.setattr(shutil, "get_terminal_size", lambda: os.terminal_size((80, 24)))
    for name in ("NO_COLOR", "PADSIDE_THEME", "PADSIDE_UNITS", "PADSIDE_VOICE", "PADSIDE_VISITS", "PADSIDE_SETTINGS"):
        monkeypatch.delenv(name, raising=False)
    return Places(tmp_path / "visits", tmp_path / "notes", tmp_path / "settings", tmp_path / "cache")


def test_on_a_good_machine_nothing_is_a_problem_and_nothing_is_left_behind(where: Places, tmp_path: Path) -> None:
    out = Terminal()
    assert run_selfcheck(where, out) == 0
    assert "problem" not in out.getvalue()
    assert "fine        Python" in out.getvalue()
    assert "hearing with the recogniser that comes along" in out.getvalue()
    assert "the voice (eSpeak NG) speaks" in out.getvalue()
    assert f"knowledge {knowledge.load().version}: " in out.getvalue()
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_cannot_be_written_is_a_problem_with_its_remedy(where: Places, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way", encoding="utf-8")
    line = found(selfcheck(tmp_path / "file" / "visits", stdout=Terminal()), "in the way" if False else "file")
    assert line.status is Status.PROBLEM
    assert "PADSIDE_HOME" in line.remedy
    out = Terminal()
    assert run_selfcheck(Places(tmp_path / "file" / "v", *[where.notes] * 3), out) == 1
    assert "problem     " in out.getvalue()


def test_a_full_disk_is_a_problem(where: Places, monkeypatch: pytest.MonkeyPatch) -> None:
    usage = shutil.disk_usage("/")._replace(free=3_000_000)
    monkeypatch.setattr(shutil, "disk_usage", lambda _path: usage)
    line = found(selfcheck(where.visits, stdout=Terminal()), "has only 3 MB free")
    assert line.status is Status.PROBLEM
    assert line.remedy.startswith("Free at least 50 MB")


@pytest.mark.parametrize(
    ("size", "status"), [((40, 14), Status.FINE), ((39, 50), Status.PROBLEM), ((200, 13), Status.PROBLEM)]
)
def test_the_terminal_must_hold_the_smallest_screen(
    monkeypatch: pytest.MonkeyPatch, size: tuple[int, int], status: Status
) -> None:
    monkeypatch.setattr(shutil, "get_terminal_size", lambda: os.terminal_size(size))
    assert found(selfcheck(stdout=Terminal()), "columns by").status is status


def test_output_that_is_no_terminal_or_not_utf_8_is_told() -> None:
    lines = selfcheck(stdout=io.TextIOWrapper(io.BytesIO(), encoding="ascii"))
    assert found(lines, "ascii, not UTF-8").status is Status.PROBLEM
    assert found(lines, "no terminal").status is Status.NOT_SET_UP


def test_colours_are_never_a_problem() -> None:
    for environ in ({}, {"NO_COLOR": "1"}, {"TERM": "dumb"}, {"COLORTERM": "truecolor"}):
        lines = selfcheck(stdout=Terminal(), environ=environ)
        assert not any(line.status is Status.PROBLEM and "colour" in line.what for line in lines)


def test_knowledge_that_does_not_load_is_a_problem_with_file_and_line(monkeypatch: pytest.MonkeyPatch) -> None:
    broken = knowledge.YamlFileError("id: is missing", Path("checks/a.yaml"), 7)

    def fail() -> knowledge.KnowledgeBase:
        raise knowledge.KnowledgeErrors([broken, broken])

    monkeypatch.setattr(knowledge, "load", fail)
    line = found(selfcheck(stdout=Terminal()), "checks/a.yaml:7: id: is missing")
    assert line.status is Status.PROBLEM
    assert "(and 1 more)" in line.what


def test_a_missing_screen_package_is_a_problem_with_the_exact_command(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "_SCREEN_PACKAGE", "no-such-package")
    line = found(selfcheck(stdout=Terminal()), "no-such-package")
    assert "-m pip install no-such-package" in line.remedy


def test_a_bad_settings_file_is_a_problem(where: Places) -> None:
    where.settings.mkdir()
    (where.settings / "settings.toml").write_text("theme = 5", encoding="utf-8")
    out = Terminal()
    assert run_selfcheck(where, out) == 1
    assert "settings.toml:1: theme = 5" in " ".join(out.getvalue().split())


def test_remedies_stand_under_what_they_are_for() -> None:
    assert printed([Line(Status.FINE, "a"), Line(Status.PROBLEM, "b", "do c")]) == [
        "fine        a",
        "problem     b",
        "            -> do c",
    ]

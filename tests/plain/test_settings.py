"""File, then environment, then command line; bad values are told and the rest is used."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from assistant.paths import Places
from assistant.settings import Settings, load_settings


def load(
    folder: Path, text: str | bytes | None = None, environ: dict[str, str] | None = None, **given_: Any
) -> tuple[Settings, list[str]]:
    if text is not None:
        data = text if isinstance(text, bytes) else text.encode()
        (folder / "settings.toml").write_bytes(data)
    told: list[str] = []
    where = Places(folder, folder, folder, folder)
    return load_settings(where, environ=environ or {}, given=given_, tell=told.append), told


def test_without_a_file_the_defaults_are_used_silently(tmp_path: Path) -> None:
    assert load(tmp_path) == (Settings(), [])


def test_the_command_line_beats_the_environment_beats_the_file(tmp_path: Path) -> None:
    text = 'theme = "night"\nvisits = "/mnt/visits"\nvoice = true\n'
    environ = {"PADSIDE_THEME": "night", "PADSIDE_VISITS": "/data/visits"}
    found, told = load(tmp_path, text, environ, theme="sunlight", voice=None)
    assert found == Settings(theme="sunlight", voice=True, visits=Path("/data/visits"))
    assert told == []


def test_another_file_can_be_named(tmp_path: Path) -> None:
    other = tmp_path / "other.toml"
    other.write_text('theme = "night"', encoding="utf-8")
    assert load(tmp_path, None, {"PADSIDE_SETTINGS": str(other)})[0].theme == "night"


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (
            '\n\ntheme = "blue"',
            "settings.toml:3: theme = 'blue' is not possible: input should be 'sunlight' or 'night'.",
        ),
        ('visit = "/x"', "settings.toml:1: there is no setting 'visit'; did you mean 'visits'? It is left out."),
        ("[screen]\nx = 1", "settings.toml:1: there is no setting 'screen'; there are theme, units,"),
        ("visits = 5", "settings.toml:1: visits = 5 is not possible: write the whole path, in quotes."),
        ('visits = "here"', "visits = 'here' is not possible: write the whole path, in quotes."),
        ("voice = 3", "settings.toml:1: voice = 3 is not possible: "),
        ("theme = night", "is not valid TOML: Invalid value (at line 1, column 9). Words stand in quotes"),
        (b"\xff\xfe", "is not text in UTF-8. Save it as UTF-8 or delete it. Using the defaults."),
    ],
)
def test_a_bad_file_is_told_with_its_line_and_the_defaults_are_used(
    tmp_path: Path, text: str | bytes, told: str
) -> None:
    found, sentences = load(tmp_path, text)
    assert found == Settings()
    (sentence,) = sentences
    assert told in sentence


def test_one_bad_value_leaves_the_others_in_force(tmp_path: Path) -> None:
    found, told = load(tmp_path, 'theme = "blue"\nvoice = true', {"PADSIDE_VOICE": "loud"})
    assert found == Settings(voice=True)
    assert len(told) == 2
    assert told[1].startswith("PADSIDE_VOICE: ")
    assert told[1].endswith("Using True.")


def test_the_folder_for_visits_may_lie_in_the_home_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HOME", "/home/t")
    monkeypatch.setenv("USERPROFILE", "/home/t")
    assert load(tmp_path, 'visits = "~/work"')[0].visits == Path("/home/t/work")


def test_a_folder_in_place_of_the_file_is_told(tmp_path: Path) -> None:
    (tmp_path / "settings.toml").mkdir()
    found, told = load(tmp_path)
    assert found == Settings()
    assert "could not be read" in told[0]


def test_problems_go_to_stderr_where_nobody_else_listens(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    load_settings(Places(tmp_path, tmp_path, tmp_path, tmp_path), environ={"PADSIDE_THEME": "x"})
    assert capsys.readouterr().err.startswith("padside: PADSIDE_THEME: theme = 'x' is not possible")


def test_settings_cannot_be_changed_afterwards() -> None:
    with pytest.raises(ValidationError):
        Settings().theme = "night"  # type: ignore[misc]


@given(data=st.binary(max_size=80))
def test_no_file_can_break_the_start(data: bytes, tmp_path_factory: pytest.TempPathFactory) -> None:
    found, _ = load(tmp_path_factory.getbasetemp(), data)
    assert isinstance(found, Settings)

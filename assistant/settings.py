"""Settings: one frozen model, filled from the file, then the environment, then the command line; the last one wins.

The file is ``settings.toml`` in the settings folder (``PADSIDE_SETTINGS`` names another one)::

    theme = "night"
    visits = "/data/visits"
"""

from __future__ import annotations

import difflib
import os
import re
import sys
import tomllib
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError, field_validator

from assistant.paths import Places

FILE_NAME = "settings.toml"
FILE_VARIABLE = "PADSIDE_SETTINGS"
VARIABLE = "PADSIDE_{}"


class Settings(BaseModel):
    """What a technician may choose."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    theme: Literal["sunlight", "night"] = "sunlight"
    """Colours of the screen: black on white for the sun, white on black for the night."""
    units: Literal["us", "si"] = "us"
    """Units that readings and limits are shown in: US customary or SI. Notes may be told in either."""
    voice: bool = False
    """Listen and speak: an empty line (just Enter) is the talk key."""
    voice_model: Path | None = None
    """Folder of a Vosk model; None = the recogniser that needs none."""
    microphone: str | None = None
    """Part of the microphone's name; None = the default one."""
    voice_name: str = "en-us"
    """Voice of eSpeak NG that speaks."""
    voice_speed: int = Field(default=160, ge=80, le=400)
    """Words per minute."""
    muted: bool = False
    """Hear, but do not speak."""
    attention: str = ""
    """Attention word for the open microphone; empty = off, the talk key opens it."""
    visits: Path | None = None
    """Folder for the visits, with its whole path (``~`` is the home folder); None = the usual place."""

    stock: Path | None = None
    """CSV file of the parts on the truck, with its whole path; None = no stock is kept."""

    @field_validator("visits", "stock", mode="before")
    @classmethod
    def _whole_path(cls, value: object) -> object:
        if value is None:
            return None
        path = Path(value).expanduser() if isinstance(value, (str, Path)) else None
        if path is None or not path.is_absolute():
            raise ValueError("write the whole path, in quotes")
        return path


def load_settings(
    where: Places,
    *,
    environ: Mapping[str, str] | None = None,
    given: Mapping[str, Any] | None = None,
    tell: Callable[[str], None] | None = None,
) -> Settings:
    """Return the settings; every problem is told in a sentence, and the value before it (or the default) stays.

    ``given`` holds what the command line said; None in it counts as not said. ``tell`` gets the sentences;
    without it they go to stderr. Never raises for bad input.
    """
    tell = tell or _to_stderr
    env = os.environ if environ is None else environ
    path = Path(env[FILE_VARIABLE]) if env.get(FILE_VARIABLE) else where.settings / FILE_NAME
    chosen: dict[str, Any] = {}
    for place, key, value in (*_from_file(path, tell), *_from_environment(env), *_from_command(given or {})):
        try:
            Settings.model_validate(chosen | {key: value})
        except ValidationError as error:
            tell(f"{place}: {_problem(key, value, error)} {_kept(chosen, key)}")
        else:
            chosen[key] = value
    return Settings.model_validate(chosen)


def _to_stderr(sentence: str) -> None:
    print(f"padside: {sentence}", file=sys.stderr)


def _from_file(path: Path, tell: Callable[[str], None]) -> Iterator[tuple[str, str, Any]]:
    try:
        text = path.read_text(encoding="utf-8-sig")
        data = tomllib.loads(text)
    except FileNotFoundError:
        return
    except OSError as error:
        tell(f"{path} could not be read ({error.strerror}). Using the defaults.")
    except UnicodeDecodeError:
        tell(f"{path} is not text in UTF-8. Save it as UTF-8 or delete it. Using the defaults.")
    except tomllib.TOMLDecodeError as error:
        tell(f'{path} is not valid TOML: {error}. Words stand in quotes: theme = "night". Using the defaults.')
    else:
        for key, value in data.items():
            yield f"{path}:{_line_of(key, text)}", key, value


def _from_environment(environ: Mapping[str, str]) -> Iterator[tuple[str, str, Any]]:
    for key in Settings.model_fields:
        variable = VARIABLE.format(key.upper())
        if environ.get(variable):
            yield variable, key, environ[variable]


def _from_command(given: Mapping[str, Any]) -> Iterator[tuple[str, str, Any]]:
    for key, value in given.items():
        if value is not None:
            yield f"--{key}", key, value


def _problem(key: str, value: object, error: ValidationError) -> str:
    if key not in Settings.model_fields:
        near = difflib.get_close_matches(key, Settings.model_fields, n=1)
        hint = f"did you mean {near[0]!r}?" if near else f"there are {', '.join(Settings.model_fields)}."
        return f"there is no setting {key!r}; {hint}"
    reason = error.errors(include_url=False)[0]["msg"].removeprefix("Value error, ")
    return f"{key} = {value!r} is not possible: {reason[:1].lower()}{reason[1:]}."


def _kept(chosen: Mapping[str, Any], key: str) -> str:
    if key not in Settings.model_fields:
        return "It is left out."
    value = chosen.get(key, Settings.model_fields[key].default)
    return f"Using {'the usual' if value is None else repr(value)}."


def _line_of(key: str, text: str) -> int:
    pattern = re.compile(rf"\s*\[?\s*[\"']?{re.escape(key)}\b")
    lines = enumerate(text.splitlines(), start=1)
    return next((number for number, line in lines if pattern.match(line)), 1)

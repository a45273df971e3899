"""``padside selfcheck``: is everything there that a visit needs? Each line is fine, a problem, or not set up."""

from __future__ import annotations

import errno
import importlib.metadata
import json
import os
import platform
import shutil
import subprocess
import sys
import tempfile
import textwrap
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import Any, TextIO

import knowledge
from assistant.paths import HOME_VARIABLE, Places
from assistant.settings import load_settings
from assistant.stock import StockError, TruckStock

OLDEST_PYTHON = (3, 11)
SMALLEST_TERMINAL = (40, 14)
"""Columns and rows at which power, safety and the next thing still fit."""
LEAST_FREE_MB = 50
"""A visit takes well under 1 MB; below this much other programs fill the disk during the day."""
_REMEDIES = {
    errno.ENOSPC: "Free some space on that disk",
    errno.EDQUOT: "Free some space: your disk quota is used up",
    errno.EROFS: "Make that disk writable",
    errno.ENOTDIR: "Move the file away that stands where a folder is needed",
}
_SCREEN_PACKAGE = "textual"
_WIDTH = 100
_PROBE_S = 20.0


class Status(StrEnum):
    FINE = "fine"
    PROBLEM = "problem"
    NOT_SET_UP = "not set up"


@dataclass(frozen=True, slots=True)
class Line:
    """One thing that was looked at."""

    status: Status
    what: str
    remedy: str = ""
    """What exactly to do; empty where nothing needs doing."""


def selfcheck(*folders: Path, stdout: TextIO | None = None, environ: Mapping[str, str] | None = None) -> list[Line]:
    """Look at Python, the terminal, the ``folders`` files are kept in and the knowledge; change nothing."""
    env = os.environ if environ is None else environ
    return [
        _python(),
        _screen_package(),
        *_terminal(stdout or sys.stdout, env),
        *map(_folder, dict.fromkeys(folders)),
        _knowledge(),
    ]


def run_selfcheck(where: Places, stdout: TextIO | None = None) -> int:
    """Print all lines; return 1 where there is a problem, else 0."""
    out = stdout or sys.stdout
    visits = load_settings(where, tell=lambda _: None).visits or where.visits  # problems are told below
    lines = selfcheck(visits, where.notes, where.settings, where.cache, stdout=out)
    lines += _settings(where)
    lines.append(_stock(where))
    lines += voice_lines(probed(), load_settings(where, tell=lambda _: None).voice_model)
    print("\n".join(printed(lines)), file=out)
    return 1 if any(line.status is Status.PROBLEM for line in lines) else 0


def printed(lines: Iterable[Line]) -> list[str]:
    """Return the lines as text: status, what, and the remedy below it."""
    margin = " " * (max(map(len, Status)) + 2)
    text: list[str] = []
    for line in lines:
        head = f"{line.status.value:<{len(margin)}}{line.what}"
        text += textwrap.wrap(head, _WIDTH, subsequent_indent=margin)
        if line.remedy:
            text += textwrap.wrap(f"-> {line.remedy}", _WIDTH, initial_indent=margin, subsequent_indent=margin)
    return text


def _stock(where: Places) -> Line:
    path = load_settings(where, tell=lambda _: None).stock
    if path is None:
        return Line(Status.NOT_SET_UP, "no truck stock", 'Name a CSV file in the settings: stock = "/path/stock.csv"')
    try:
        shelves = TruckStock(path, knowledge.load()).shelves()
    except StockError as error:
        return Line(Status.PROBLEM, "the truck stock cannot be used", str(error))
    except knowledge.KnowledgeError:
        return Line(Status.PROBLEM, "the truck stock was not looked at", "Mend the knowledge first.")
    return Line(Status.FINE, f"truck stock: {sum(shelf.count for shelf in shelves)} parts in {path}")


def _python() -> Line:
    what = f"Python {platform.python_version()} on {platform.system()}"
    if sys.version_info >= OLDEST_PYTHON:
        return Line(Status.FINE, what)
    return Line(Status.PROBLEM, what, f"Install Python {'.'.join(map(str, OLDEST_PYTHON))} or newer.")


def _screen_package() -> Line:
    try:
        version = importlib.metadata.version(_SCREEN_PACKAGE)
    except importlib.metadata.PackageNotFoundError:
        remedy = f"Run: {sys.executable} -m pip install {_SCREEN_PACKAGE}  (or use: padside --plain)"
        return Line(Status.PROBLEM, f"{_SCREEN_PACKAGE}, which draws the screen, is missing", remedy)
    return Line(Status.FINE, f"{_SCREEN_PACKAGE} {version} draws the screen")


def _terminal(stdout: TextIO, environ: Mapping[str, str]) -> list[Line]:
    encoding = (stdout.encoding or "").lower().replace("-", "")
    lines = [
        Line(Status.FINE, "the terminal takes UTF-8")
        if encoding == "utf8"
        else Line(
            Status.PROBLEM,
            f"the output is {stdout.encoding}, not UTF-8: µ, Ω and ° may be lost",
            "Set LANG=C.UTF-8 (on Windows: set PYTHONUTF8=1) and start again.",
        )
    ]
    if not stdout.isatty():
        return [*lines, Line(Status.NOT_SET_UP, "this is no terminal", "Without one, padside answers line by line.")]
    return [*lines, _size(), _colours(environ)]


def _size() -> Line:
    columns, rows = shutil.get_terminal_size()
    what = f"the terminal is {columns} columns by {rows} rows"
    if columns >= SMALLEST_TERMINAL[0] and rows >= SMALLEST_TERMINAL[1]:
        return Line(Status.FINE, what)
    least = "{} by {}".format(*SMALLEST_TERMINAL)
    return Line(Status.PROBLEM, what, f"Make the window larger or the letters smaller, to at least {least}.")


def _colours(environ: Mapping[str, str]) -> Line:
    if environ.get("NO_COLOR"):
        return Line(Status.FINE, "no colours, as NO_COLOR asks; every meaning is in words")
    if environ.get("TERM") == "dumb":
        return Line(Status.NOT_SET_UP, "the terminal cannot draw (TERM=dumb)", "Use: padside --plain")
    amount = "16 million" if environ.get("COLORTERM") in {"truecolor", "24bit"} else "some"
    return Line(Status.FINE, f"the terminal shows {amount} colours; every meaning is also in words")


def _folder(folder: Path) -> Line:
    """Try the folder, or the nearest one above it that exists, by really writing a file there."""
    there = next((place for place in (folder, *folder.parents) if place.exists()), folder)
    try:
        with tempfile.TemporaryFile(dir=there) as probe:
            probe.write(b"padside")
            probe.flush()
            os.fsync(probe.fileno())
        free_mb = shutil.disk_usage(there).free // 1_000_000
    except OSError as error:
        what_to_do = _REMEDIES.get(error.errno or 0, "Allow writing there")
        remedy = f"{what_to_do}, or set {HOME_VARIABLE} to a folder where files may be kept."
        return Line(Status.PROBLEM, f"{folder} cannot be written ({(error.strerror or str(error)).lower()})", remedy)
    if free_mb < LEAST_FREE_MB:
        remedy = f"Free at least {LEAST_FREE_MB} MB, or set {HOME_VARIABLE} to a folder on another disk."
        return Line(Status.PROBLEM, f"{folder} has only {free_mb} MB free", remedy)
    made = "" if folder.exists() else " (will be made when needed)"
    return Line(Status.FINE, f"{folder} can be written, {free_mb:,} MB free{made}")


def _settings(where: Places) -> list[Line]:
    problems: list[str] = []
    chosen = load_settings(where, tell=problems.append)
    fine = Line(Status.FINE, f"settings: {chosen.theme} colours, visits in {chosen.visits or where.visits}")
    remedy = "Correct it there, or take it out to use the default."
    return [Line(Status.PROBLEM, problem, remedy) for problem in problems] or [fine]


def _knowledge() -> Line:
    try:
        known = knowledge.load()
    except knowledge.KnowledgeError as error:
        first, *more = str(error).splitlines()
        also = f" (and {len(more)} more)" if more else ""
        remedy = "Install padside again; where you changed the files, run: padside knowledge lint"
        return Line(Status.PROBLEM, f"the knowledge does not load: {first}{also}", remedy)
    counts = f"{len(known.checks)} checks, {len(known.faults)} faults, {len(known.repairs)} repairs"
    return Line(Status.FINE, f"knowledge {known.version}: {counts}")


def probed() -> Mapping[str, Any]:
    """Ask a process of its own what there is for hearing and speaking; sound libraries may write or fall over there."""
    command = (sys.executable, "-m", "speech.probe")
    path = os.pathsep.join(entry for entry in sys.path if entry)
    try:
        run = subprocess.run(  # noqa: S603 - our own interpreter and module
            command, capture_output=True, timeout=_PROBE_S, check=True, env=os.environ | {"PYTHONPATH": path}
        )
        found = json.loads(run.stdout)
    except (OSError, subprocess.SubprocessError, ValueError) as error:
        return {"troubles": {"microphones": (f"the voice could not be looked at ({error})", "Typing does everything.")}}
    return found if isinstance(found, dict) else {}


def voice_lines(found: Mapping[str, Any], model: Path | None) -> list[Line]:
    """Return the lines about hearing and speaking; nothing of it is a problem, since typing does everything."""
    troubles = found.get("troubles", {})
    lines = [_recogniser(found.get("recognisers", ()), model)]
    if "voice" in troubles or not found.get("voice"):
        lines.append(Line(Status.NOT_SET_UP, "no voice", troubles.get("voice", ("", "Install padside again."))[1]))
    else:
        lines.append(Line(Status.FINE, "the voice (eSpeak NG) speaks"))
    names = found.get("microphones", ())
    if names:
        lines.append(Line(Status.FINE, f"microphones: {', '.join(names)}"))
    else:
        say, remedy = troubles.get(
            "microphones", ("no microphone", "Plug one in, or a headset. Typing does everything.")
        )
        lines.append(Line(Status.NOT_SET_UP, say, remedy))
    return lines


def _recogniser(names: Iterable[str], model: Path | None) -> Line:
    if model is not None:
        if (model / "am" / "final.mdl").is_file():
            return Line(Status.FINE, f"hearing with the model in {model}")
        remedy = "Unpack a small English Vosk model there (see README), or take voice_model out of the settings."
        return Line(Status.PROBLEM, f"{model} holds no recogniser model", remedy)
    if "pocketsphinx" in names:
        return Line(
            Status.FINE, "hearing with the recogniser that comes along; a Vosk model may be used instead (README)"
        )
    return Line(Status.NOT_SET_UP, "no recogniser", f"Run: {sys.executable} -m pip install pocketsphinx")

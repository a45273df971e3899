"""Reading a log: everything up to the first damage, and what is to be said about the rest."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from .events import SCHEMA_VERSION, AnyEvent
from .log_errors import LogReadError, NewerLogError, cause
from .log_lines import Line, NewerVersion, event_of, good_lines, has_our_ending, version_of


@dataclass(frozen=True, slots=True)
class LogContent:
    """What a log holds."""

    events: tuple[AnyEvent, ...] = ()
    problems: tuple[str, ...] = ()
    """Sentences for the technician about what is damaged; empty where all is well."""
    unfinished: tuple[AnyEvent, ...] = ()
    """Events (all of them in ``events`` too) of a last turn whose end is missing: what would have followed
    from them, a stop or a changed power state, may be missing with it."""
    damaged: bytes = b""
    """Everything behind the last good line."""
    size: int = 0
    """Length of the good part in bytes."""
    crc: int = 0
    """Checksum of its last line."""


def read(path: Path, wanted: Callable[[Line], bool] | None = None) -> LogContent:
    """Return the events of a log up to the first damage; the file is not changed.

    ``wanted``: picks the lines whose events are returned (the last one always is); without it all are.
    Raises LogReadError where there is nothing to be had: no such file, not readable, empty, not a log,
    damaged from its first line on, or written by a later version.
    """
    try:
        data = path.read_bytes()
    except FileNotFoundError as err:
        raise LogReadError(f"There is no visit {path.stem}: {path} does not exist.", path) from err
    except OSError as err:
        raise LogReadError(f"The log {path} cannot be read. {cause(err)}", path) from err
    if not data:
        raise LogReadError(f"The log {path} is empty: nothing of the visit was saved. Start a new visit.", path)
    try:
        return _content(data, path, wanted)
    except NewerVersion as err:
        raise _newer(err.version, path) from None


def aside(path: Path) -> Path:
    """Return where the damaged bytes of a log are kept."""
    return path.with_name(path.name + ".damaged")


def _content(data: bytes, path: Path, wanted: Callable[[Line], bool] | None) -> LogContent:
    events: list[AnyEvent] = []
    last: Line | None = None
    turn = 0
    lines = list(good_lines(data))
    for line in lines:
        if wanted is None or line is lines[-1] or wanted(line):
            event = event_of(line)
            if event is None:
                break
            events.append(event)
        last = line
        if line.left == 0:
            turn = len(events)
    damaged = data if last is None else data[last.end :]
    if damaged:
        _refuse_newer(damaged, path)
    if last is None:
        raise _nothing(damaged, path)
    problems = [_damage(damaged, events[-1].note, path)] if damaged else []
    if last.left:
        problems.append(f"Note {events[-1].note} was saved only in part. Look at what is there, then say it again.")
    return LogContent(tuple(events), tuple(problems), tuple(events[turn:]), damaged, last.end, last.crc)


def _refuse_newer(damaged: bytes, path: Path) -> None:
    """Tell lines of a later version, which may be closed in another way, from damage."""
    first = damaged.partition(b"\n")[0]
    version = 0 if has_our_ending(first) else version_of(first)
    if version > SCHEMA_VERSION:
        raise _newer(version, path)


def _nothing(damaged: bytes, path: Path) -> LogReadError:
    if not damaged.startswith(b'{"v":'):
        return LogReadError(f"{path} is not the log of a visit. Nothing was changed; choose another file.", path)
    return LogReadError(
        f"The log {path} is damaged from its first line on; nothing of the visit could be read. "
        "The file is left as it is: keep it, and start a new visit.",
        path,
    )


def _newer(version: int, path: Path) -> NewerLogError:
    return NewerLogError(
        f"The visit {path.stem} was written by a later version of this program (log version {version}; "
        f"this one reads up to {SCHEMA_VERSION}). Nothing was changed. Update the program to go on with it.",
        path,
    )


def _damage(damaged: bytes, note: int, path: Path) -> str:
    lines = damaged.count(b"\n") + (not damaged.endswith(b"\n"))
    what = f"{lines} lines of the log are" if lines > 1 else "The last line of the log is"
    return (
        f"{what} cut off or damaged. Everything up to note {note} is here; the rest is kept in "
        f"{aside(path).name} once the visit is opened. Say again what is missing."
    )

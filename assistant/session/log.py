"""A visit on disk: one file of JSON lines that only ever grows.

Why a plain file and no database: a turn is saved by one write at the end of the file, flushed and synced
before its answer is shown; a kill at any moment costs at most the line being written; everything before it
is still there for any text editor, also years later and without this program. Every line ends with a
checksum, so damage inside the file is seen too and never read as a fact.
"""

from __future__ import annotations

import os
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from types import TracebackType
from typing import Self

from .events import AnyEvent
from .lock import LogLock
from .log_content import LogContent, aside, read
from .log_errors import (
    LogBusyError,
    LogError,
    LogReadError,
    LogWriteError,
    NewerLogError,
    VisitExistsError,
    cause,
)
from .log_lines import encoded

__all__ = [
    "LogBusyError",
    "LogContent",
    "LogError",
    "LogReadError",
    "LogWriteError",
    "NewerLogError",
    "VisitExistsError",
    "VisitLog",
    "read",
]

_FLAGS = os.O_RDWR | os.O_APPEND | getattr(os, "O_BINARY", 0)


class VisitLog:
    """The log of one visit, open for writing and locked against a second writer."""

    def __init__(self, path: Path, descriptor: int, lock: LogLock, content: LogContent) -> None:
        """Use ``create`` or ``open``."""
        self.path = path
        self.content = content
        """What was in the log when it was opened, with what is to be said about it."""
        self._descriptor = descriptor
        self._lock = lock
        self._size = content.size
        self._crc = content.crc
        self._torn = False
        """True where a failed write may have left bytes behind the good part."""
        self._open = True

    @property
    def visit(self) -> str:
        """Id of the visit: the file's name without its ending."""
        return self.path.stem

    @classmethod
    def create(cls, path: Path) -> Self:
        """Make a new log. Raises VisitExistsError, LogWriteError."""
        try:
            descriptor = os.open(path, _FLAGS | os.O_CREAT | os.O_EXCL, 0o600)
        except FileExistsError as err:
            raise VisitExistsError(
                f"There is a visit {path.stem} already. Open it, or choose another name.", path
            ) from err
        except OSError as err:
            raise LogWriteError(f"The visit could not be begun. {cause(err)}", path) from err
        log = cls._locked(path, descriptor, fresh=True)
        _sync_folder(path.parent)
        return log

    @classmethod
    def open(cls, path: Path) -> Self:
        """Open a log to go on with it. Bytes that are damaged are set aside in ``<name>.damaged`` first.

        Raises LogReadError (see ``read``), LogBusyError, LogWriteError.
        """
        try:
            descriptor = os.open(path, _FLAGS)
        except FileNotFoundError as err:
            raise LogReadError(f"There is no visit {path.stem}: {path} does not exist.", path) from err
        except OSError as err:
            raise LogWriteError(f"The visit {path.stem} cannot be opened to go on with it. {cause(err)}", path) from err
        return cls._locked(path, descriptor, fresh=False)

    @classmethod
    def _locked(cls, path: Path, descriptor: int, *, fresh: bool) -> Self:
        lock = None
        try:
            lock = LogLock(descriptor, path)
            content = LogContent() if fresh else _repaired(read(path), descriptor, path)
        except BaseException:
            if lock is not None:
                lock.release()
            os.close(descriptor)
            raise
        return cls(path, descriptor, lock, content)

    @property
    def warning(self) -> str | None:
        """A sentence where this folder cannot keep a second program out."""
        return self._lock.warning

    def append(self, events: Iterable[AnyEvent]) -> None:
        """Save the events of one turn: one write, flushed and synced when this returns.

        Raises LogWriteError where they are not saved; then nothing of them stays in the file.
        """
        if not self._open:
            raise LogWriteError("The log of this visit is closed. Open the visit again.", self.path)
        try:
            data, crc = encoded(tuple(events), self._crc)
        except ValueError as err:
            problem = "Your last note is not saved: it holds something that cannot be written down."
            raise LogWriteError(f"{problem} Say it in other words.", self.path) from err
        if not data:
            return
        try:
            self._look()
            self._torn = True
            _write_all(self._descriptor, data)
            os.fsync(self._descriptor)
        except OSError as err:
            self._cut_back()
            raise LogWriteError(f"Your last note is not saved. {cause(err)}", self.path) from err
        except BaseException:
            self._cut_back()
            raise
        self._torn = False
        self._size += len(data)
        self._crc = crc

    def close(self) -> None:
        """Close the file and give the lock back; doing it twice is harmless."""
        if self._open:
            self._open = False
            self._lock.release()
            os.close(self._descriptor)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, value: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def _look(self) -> None:
        """Find out before writing whether the file is still ours and ends where our last turn ended."""
        if self._torn:
            os.ftruncate(self._descriptor, self._size)
        found = os.fstat(self._descriptor)
        if found.st_nlink == 0:
            raise LogWriteError(
                "Your last note is not saved: the log of this visit was deleted while it was open. "
                "Write the job note now, then start a new visit.",
                self.path,
            )
        if found.st_size != self._size:
            raise LogWriteError(
                "Your last note is not saved: another program has changed the log of this visit. "
                "Close both programs and open the visit again.",
                self.path,
            )

    def _cut_back(self) -> None:
        """Take away what a failed write left; where that fails, ``_look`` tries again."""
        if not self._torn:
            return
        with suppress(OSError):
            os.ftruncate(self._descriptor, self._size)
            os.fsync(self._descriptor)
            self._torn = False


def _repaired(content: LogContent, descriptor: int, path: Path) -> LogContent:
    """Set damaged bytes aside, safely on disk, before they are cut off; end the last line with a break."""
    try:
        if content.damaged:
            _set_aside(content.damaged, path)
            os.ftruncate(descriptor, content.size)
            os.fsync(descriptor)
        if not _ends_with_break(path):
            _write_all(descriptor, b"\n")
            os.fsync(descriptor)
            content = replace(content, size=content.size + 1)
    except OSError as err:
        raise LogWriteError(f"The damaged end of the log {path} could not be set aside. {cause(err)}", path) from err
    return content


def _set_aside(damaged: bytes, path: Path) -> None:
    descriptor = os.open(aside(path), _FLAGS | os.O_CREAT, 0o600)
    try:
        _write_all(descriptor, damaged + b"\n")
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
    _sync_folder(path.parent)


def _ends_with_break(path: Path) -> bool:
    with path.open("rb") as file:
        file.seek(-1, os.SEEK_END)
        return file.read(1) == b"\n"


def _write_all(descriptor: int, data: bytes) -> None:
    view = memoryview(data)
    while view:
        view = view[os.write(descriptor, view) :]


def _sync_folder(folder: Path) -> None:
    """Make a new file's name itself last. Windows has no such thing, and some drives refuse it: no harm."""
    with suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)

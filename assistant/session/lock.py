"""One writer per visit: a lock that ends with the program that holds it, also when that is killed."""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path
from typing import Any

from .log_errors import LogBusyError

UNLOCKED = (
    "This folder cannot lock files (a network drive, perhaps): "
    "take care not to open this visit in two programs at once."
)


class LogLock:
    """Holds one log for one writer from its making until ``release``."""

    def __init__(self, descriptor: int, path: Path) -> None:
        """Take the lock on an open log. Raises LogBusyError where another writer has it."""
        self.warning: str | None = None
        """Set where the file system cannot lock."""
        self._beside: tuple[int, Path] | None = None
        fcntl = _fcntl()
        if fcntl is None:
            self._beside = _take_beside(path)
            return
        try:
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError as err:
            raise _busy(path) from err
        except OSError:  # this file system has no locks: better to work without than not at all
            self.warning = UNLOCKED

    def release(self) -> None:
        """Give the lock back. A lock on the log itself ends with its descriptor."""
        if self._beside is not None:
            descriptor, path = self._beside
            self._beside = None
            os.close(descriptor)
            with suppress(OSError):  # another writer may have taken it in this very moment
                path.unlink()


def _fcntl() -> Any:
    """Return the module with the locks of POSIX, None on Windows."""
    try:
        import fcntl
    except ImportError:
        return None
    return fcntl


def _take_beside(path: Path) -> tuple[int, Path]:
    """Make a lock file. One left by a killed program can be removed; on Windows one held open cannot."""
    beside = path.with_name(path.name + ".lock")
    try:
        beside.unlink(missing_ok=True)
        return os.open(beside, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600), beside
    except (PermissionError, FileExistsError) as err:
        raise _busy(path) from err


def _busy(path: Path) -> LogBusyError:
    return LogBusyError(
        f"The visit {path.stem} is open in another window or program. Close it there, or open another visit.",
        path,
    )

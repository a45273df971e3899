"""Errors of the visit log. ``str()`` is a sentence for the technician: what happened, and what to do.

LogError
  +-- LogReadError     the file is no log that this version can read
  |     +-- NewerLogError
  +-- LogWriteError    the last turn is not saved
        +-- LogBusyError     another program has the visit open
        +-- VisitExistsError
"""

from __future__ import annotations

import errno
from pathlib import Path


class LogError(Exception):
    """Root of everything that can go wrong with a visit's log."""

    def __init__(self, message: str, path: Path) -> None:
        self.path = path
        super().__init__(message)


class LogReadError(LogError):
    """Nothing of the visit could be read; the file is left as it is."""


class NewerLogError(LogReadError):
    """The log was written by a later version of the program."""


class LogWriteError(LogError):
    """Events could not be saved; what was saved before is untouched."""


class LogBusyError(LogWriteError):
    """Another program has this visit open."""


class VisitExistsError(LogWriteError):
    """A visit of this name is already there."""


def cause(err: OSError) -> str:
    """Return what happened and what to do, as one or two sentences."""
    return _CAUSES.get(err.errno or 0) or f"The system reports: {err.strerror or err}. Check the disk, then try again."


_NO_RIGHT = "This user has no permission there. Change the permissions of file and folder, then try again."
_FULL = "The disk is full. Free some space, then try again."
_CAUSES = {
    errno.ENOSPC: _FULL,
    errno.EDQUOT: "Your disk quota is used up. Free some space, then try again.",
    errno.EFBIG: "The file has reached the largest size allowed here. Close this visit and start a new one.",
    errno.EROFS: "The disk is read-only. Make it writable or choose another folder, then try again.",
    errno.EACCES: _NO_RIGHT,
    errno.EPERM: _NO_RIGHT,
    errno.EIO: "The disk reports a fault. Write the job note to another disk, and have this one looked at.",
    errno.ENODEV: "The disk is gone. Plug it in again, then try again.",
    errno.ENXIO: "The disk is gone. Plug it in again, then try again.",
    errno.ENOTDIR: "A file stands where a folder is needed. Move that file away, then try again.",
    errno.EEXIST: "A file stands where a folder is needed. Move that file away, then try again.",
    errno.EISDIR: "A folder of that name stands where the log should be. Move that folder away, then try again.",
    errno.ENOENT: "The folder is gone. Put it back, or start the program again.",
    errno.ENAMETOOLONG: "The name is too long for this disk. Choose a shorter folder.",
}

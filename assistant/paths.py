"""Where the program keeps its files, and how a whole file is written so that it is never seen half-done."""

from __future__ import annotations

import errno
import os
import secrets
import sys
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

APP = "padside"
HOME_VARIABLE = "PADSIDE_HOME"


class SaveError(Exception):
    """A file could not be written. The text is for the user: what happened and what to do."""

    def __init__(self, path: Path, message: str) -> None:
        self.path = path
        super().__init__(message)


@dataclass(frozen=True, slots=True)
class Places:
    """The four folders of the program; none of them need exist yet."""

    visits: Path
    """Event logs, one per visit: the only thing that cannot be made again."""
    notes: Path
    """Job notes written from the logs."""
    settings: Path
    cache: Path


def places(environ: Mapping[str, str] | None = None, platform: str = sys.platform) -> Places:
    """Return the folders for this user.

    ``PADSIDE_HOME`` puts everything under one folder. Otherwise: the XDG base directories on Linux and other
    Unixes (XDG Base Directory Specification; a relative path in them is ignored, as it says), ``~/Library``
    on macOS, ``%LOCALAPPDATA%`` and ``%APPDATA%`` on Windows.
    Raises SaveError where the home folder of the user cannot be found.
    """
    env = os.environ if environ is None else environ
    if env.get(HOME_VARIABLE):
        root = Path(env[HOME_VARIABLE]).expanduser().absolute()
        return Places(root / "visits", root / "notes", root / "settings", root / "cache")
    if platform == "win32":
        local = _base(env, "LOCALAPPDATA", "AppData", "Local") / APP
        roaming = _base(env, "APPDATA", "AppData", "Roaming") / APP
        return Places(local / "visits", local / "notes", roaming, local / "cache")
    if platform == "darwin":
        library = _home(env) / "Library"
        support = library / "Application Support" / APP
        return Places(support / "visits", support / "notes", support / "settings", library / "Caches" / APP)
    data = _base(env, "XDG_DATA_HOME", ".local", "share") / APP
    config = _base(env, "XDG_CONFIG_HOME", ".config") / APP
    return Places(data / "visits", data / "notes", config, _base(env, "XDG_CACHE_HOME", ".cache") / APP)


def atomic_write(path: Path, text: str) -> None:
    """Write ``text`` as UTF-8 with ``\\n`` line ends; ``path`` then holds all of it or what it held before.

    Missing folders are made. Characters that UTF-8 cannot hold are written as ``\\udXXX``.
    Raises SaveError with a sentence for the user; nothing half-written is left behind.
    """
    part = path.parent / f".{APP}-{secrets.token_hex(6)}.part"
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with part.open("x", encoding="utf-8", errors="backslashreplace", newline="\n") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        part.replace(path)
    except BaseException as err:
        with suppress(OSError):  # the first error is the one to report
            part.unlink(missing_ok=True)
        if isinstance(err, OSError):
            raise SaveError(path, _sentence(path, err)) from err
        raise


def _base(env: Mapping[str, str], variable: str, *below_home: str) -> Path:
    given = env.get(variable, "")
    if given and Path(given).is_absolute():
        return Path(given)
    return _home(env).joinpath(*below_home)


def _home(env: Mapping[str, str]) -> Path:
    for variable in ("HOME", "USERPROFILE"):
        if env.get(variable):
            return Path(env[variable])
    try:
        return Path.home()
    except RuntimeError as err:
        remedy = f"Set {HOME_VARIABLE} to a folder where files may be kept."
        raise SaveError(Path(), f"Your home folder could not be found. {remedy}") from err


_ELSEWHERE = f"set {HOME_VARIABLE} to another folder"
_CAUSES = {
    errno.ENOSPC: ("the disk is full", "Free some space, then write it again"),
    errno.EDQUOT: ("your disk quota is used up", "Free some space, then write it again"),
    errno.EROFS: ("the disk is read-only", f"Make it writable, or {_ELSEWHERE}"),
    errno.EACCES: ("the folder may not be written to", f"Change its permissions, or {_ELSEWHERE}"),
    errno.EPERM: ("the folder may not be written to", f"Change its permissions, or {_ELSEWHERE}"),
    errno.ENOTDIR: ("a file stands where a folder is needed", f"Move that file away, or {_ELSEWHERE}"),
    errno.EEXIST: ("a file stands where a folder is needed", f"Move that file away, or {_ELSEWHERE}"),
    errno.EISDIR: ("a folder of that name is in the way", "Move that folder away, then write it again"),
    errno.ENAMETOOLONG: ("the file name is too long for this disk", f"To shorten it, {_ELSEWHERE}"),
}


def _sentence(path: Path, err: OSError) -> str:
    unknown = ((err.strerror or str(err)).lower(), f"Check the disk, or {_ELSEWHERE}")
    happened, remedy = _CAUSES.get(err.errno or 0, unknown)
    return f"{path} was not written: {happened}. {remedy}. What was there before is unchanged."

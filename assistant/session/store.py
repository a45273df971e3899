"""All visits of a technician: one folder, one log file each."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from .log import LogContent, LogReadError, LogWriteError, VisitExistsError, VisitLog, read
from .log_errors import LogError, cause
from .summary import VisitSummary, summary_of

ENDING = ".jsonl"
_ID = re.compile(r"[a-z0-9](?:[a-z0-9-]{0,38}[a-z0-9])?")
_OF_A_DAY = re.compile(r"(\d{4}-\d\d-\d\d)-([a-z]+)")


class VisitStore:
    """The folder of the logs. Nothing is written there before the first visit is begun."""

    def __init__(self, folder: Path, clock: Callable[[], datetime]) -> None:
        """``clock`` gives the time now; its date names new visits."""
        self.folder = folder
        self._clock = clock

    def create(self, visit_id: str | None = None) -> VisitLog:
        """Begin a log; without an id under the next free one of today, ``2026-07-04-b``.

        Raises VisitExistsError, LogWriteError.
        """
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            number = self._taken_today() + 1
        except OSError as err:
            problem = f"The folder {self.folder} cannot be used for visits."
            raise LogWriteError(f"{problem} {cause(err)}", self.folder) from err
        if visit_id is not None:
            return VisitLog.create(self.path_of(visit_id))
        while True:
            try:
                return VisitLog.create(self.path_of(f"{self._today()}-{_letters(number)}"))
            except VisitExistsError:  # another program took it in this moment
                number += 1

    def open(self, visit_id: str) -> VisitLog:
        """Open a visit to go on with it; ``content`` of the result holds its events and what is damaged.

        Raises LogReadError, LogBusyError, LogWriteError.
        """
        return VisitLog.open(self._existing(visit_id))

    def read(self, visit_id: str) -> LogContent:
        """Return the content of a visit without opening it for writing. Raises LogReadError."""
        return read(self._existing(visit_id))

    def visits(self) -> list[VisitSummary]:
        """Return all visits, the one worked on last first; a damaged one carries its problem as a sentence.

        Raises LogReadError where the folder is there but cannot be read.
        """
        try:
            paths = sorted(path for path in self.folder.iterdir() if self._is_log(path))
        except FileNotFoundError:
            return []
        except OSError as err:
            raise LogReadError(f"The folder {self.folder} cannot be read. {cause(err)}", self.folder) from err
        found = [summary_of(path) for path in paths]
        return sorted(found, key=_recency, reverse=True)

    def path_of(self, visit_id: str) -> Path:
        """Return where a visit's log is. Raises LogError for a name that no visit can have."""
        if not _ID.fullmatch(visit_id):
            raise LogError(
                f"{visit_id[:60]!r} cannot name a visit. Use small letters, digits and hyphens, at most 40.",
                self.folder,
            )
        return self.folder / (visit_id + ENDING)

    def _existing(self, visit_id: str) -> Path:
        path = self.path_of(visit_id)
        try:
            path.stat()
        except FileNotFoundError as err:
            raise LogReadError(f"There is no visit {visit_id} in {self.folder}. {self._known()}", path) from err
        except OSError as err:
            raise LogReadError(f"The folder {self.folder} cannot be read. {cause(err)}", self.folder) from err
        return path

    def _known(self) -> str:
        names = [visit.id for visit in self.visits()]
        if not names:
            return "There are no visits yet."
        more = f" and {len(names) - 5} more" if len(names) > 5 else ""
        return f"The last ones are {', '.join(names[:5])}{more}."

    def _taken_today(self) -> int:
        """Return the highest number that a visit of today has, 0 where there is none."""
        names = (path.stem for path in self.folder.iterdir() if path.suffix == ENDING)
        matches = (_OF_A_DAY.fullmatch(name) for name in names)
        return max((_number(match[2]) for match in matches if match and match[1] == self._today()), default=0)

    def _today(self) -> str:
        return self._clock().date().isoformat()

    @staticmethod
    def _is_log(path: Path) -> bool:
        return path.suffix == ENDING and _ID.fullmatch(path.stem) is not None and path.is_file()


def _recency(visit: VisitSummary) -> tuple[float, str]:
    return (visit.last.timestamp() if visit.last else 0.0, visit.id)


def _letters(number: int) -> str:
    """1 -> a, 26 -> z, 27 -> aa."""
    letters = ""
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(ord("a") + rest) + letters
    return letters


def _number(letters: str) -> int:
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - ord("a") + 1
    return number

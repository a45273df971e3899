"""Asks the desk in a thread, one thing after the other, so that the screen never stands still."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from textual import on, work
from textual.message import Message
from textual.widget import Widget
from textual.worker import Worker, WorkerState

from assistant.dialogue.reply import Reply

Result = Reply | tuple[Path, ...]


@dataclass(frozen=True, slots=True)
class Errand:
    """One thing the desk is asked for."""

    run: Callable[[], Result]
    note: str | None = None
    """The technician's words, where it is a note."""


class Errands(Widget):
    """Takes no room on the screen. Errands asked for meanwhile wait in order; none is dropped."""

    DEFAULT_CSS = "Errands { display: none; }"

    @dataclass
    class Begun(Message):
        errand: Errand

    @dataclass
    class Done(Message):
        errand: Errand
        result: Result

    @dataclass
    class Failed(Message):
        errand: Errand
        error: BaseException

    class AllDone(Message):
        """Nothing waits any more."""

    def __init__(self) -> None:
        super().__init__()
        self._waiting: deque[Errand] = deque()
        self._current: Errand | None = None

    @property
    def is_busy(self) -> bool:
        return self._current is not None

    def ask(self, errand: Errand) -> None:
        self._waiting.append(errand)
        if not self.is_busy:
            self._begin_next()

    def _begin_next(self) -> None:
        self._current = self._waiting.popleft() if self._waiting else None
        if self._current:
            self.post_message(self.Begun(self._current))
            self._work(self._current)
        else:
            self.post_message(self.AllDone())

    @work(thread=True, exclusive=True, group="desk", exit_on_error=False)
    def _work(self, errand: Errand) -> Result:
        return errand.run()

    @on(Worker.StateChanged)
    def _state_changed(self, event: Worker.StateChanged) -> None:
        # event.state, not worker.state: the worker may be further on than this message, and would count twice
        worker, errand = event.worker, self._current
        if errand is None or event.state not in {WorkerState.SUCCESS, WorkerState.ERROR}:
            return
        if event.state is WorkerState.SUCCESS:
            self.post_message(self.Done(errand, worker.result or ()))
        else:
            self.post_message(self.Failed(errand, worker.error or RuntimeError()))
        self._begin_next()

"""The screen: shows replies, sends notes, knows nothing of the trade."""

from __future__ import annotations

import os
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual import on, work
from textual.app import App, ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container, Vertical
from textual.widgets import Input
from textual.worker import Worker, WorkerState

from assistant.dialogue.reply import Reply
from assistant.plain.clean import cleaned
from assistant.plain.wording import error_sentence

from .now_rows import fitted
from .palette import SUNLIGHT, THEMES, other
from .side_rows import reading_rows, safety_rows, suspect_rows
from .widgets.heard_bar import HeardBar
from .widgets.keys_screen import KeysScreen
from .widgets.note_line import LONGEST, NoteLine
from .widgets.panel import Panel
from .widgets.power_bar import PowerBar
from .widgets.stop_bar import StopBar
from .widgets.talk_log import TalkLog
from .widgets.timer_bar import TimerBar
from .widgets.touch_row import WISHES, TouchKey, TouchRow

if TYPE_CHECKING:
    from assistant.desk import Desk

VIEWS = ("now", "talk", "safety", "suspects", "readings")


@dataclass(frozen=True, slots=True)
class Job:
    """One thing the desk is asked for."""

    run: Callable[[], Reply | tuple[Path, ...]]
    note: str | None = None


def utc_now() -> datetime:
    return datetime.now(UTC)


class PadsideApp(App[None]):
    """One open visit on the screen."""

    CSS_PATH = "screen.tcss"
    TITLE = "Padside"
    ENABLE_COMMAND_PALETTE = False
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (72, "-normal"), (118, "-wide")]  # noqa: RUF012 - as in App
    VERTICAL_BREAKPOINTS = [(0, "-low"), (18, "-mid"), (30, "-tall")]  # noqa: RUF012 - as in App
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f1", "keys", id="keys"),
        Binding("f2", "next_view", id="view"),
        *(Binding(wish.key.lower(), f"say({wish.note!r})", id=wish.id) for wish in WISHES),
        Binding("f7", "write_note", id="write_note"),
        Binding("f8", "swap_theme", id="theme"),
        Binding("f9,pageup", "scroll(-1)", id="scroll_up"),
        Binding("f10,pagedown", "scroll(1)", id="scroll_down"),
    ]

    def __init__(self, desk: Desk, *, theme: str = SUNLIGHT, clock: Callable[[], datetime] = utc_now) -> None:
        # with NO_COLOR only the terminal's own two colours are used; Textual alone would still send greys
        super().__init__(ansi_color=True if os.environ.get("NO_COLOR") else None)
        for choice in THEMES:
            self.register_theme(choice)
        self.theme = theme
        self._desk = desk
        self._clock = clock
        self._waiting: deque[Job] = deque()
        self._job: Job | None = None
        self._reply: Reply | None = None
        self._view = VIEWS[0]

    def get_theme_variable_defaults(self) -> dict[str, str]:
        return THEMES[0].variables

    def compose(self) -> ComposeResult:
        yield PowerBar()
        yield StopBar()
        yield TimerBar()
        with Container(id="body"):
            yield Panel("Now", panel_id="now")
            yield TalkLog()
            with Vertical(id="side"):
                yield Panel("Suspects", panel_id="suspects")
                yield Panel("Readings", panel_id="readings")
                yield Panel("Safety", panel_id="safety")
        yield HeardBar()
        yield TouchRow()
        yield NoteLine()

    def on_mount(self) -> None:
        self._look_at(self._view)
        self.query_one(NoteLine).focus()
        self._ask(Job(self._desk.greet))
        self.set_interval(1.0, self._tick)

    @property
    def is_working(self) -> bool:
        """True while the desk is busy with a note."""
        return self._job is not None

    # -- asking the desk, one thing after the other ---------------------------------------------------------

    def _ask(self, job: Job) -> None:
        self._waiting.append(job)
        if self._job is None:
            self._start_next()

    def _start_next(self) -> None:
        self._job = self._waiting.popleft() if self._waiting else None
        if self._job:
            if self._job.note is not None:
                self.query_one(TalkLog).add_note(self._job.note)
            self.query_one(HeardBar).working(self._job.note or "")
            self._work(self._job)

    @work(thread=True, exclusive=True, group="desk", exit_on_error=False)
    def _work(self, job: Job) -> Reply | tuple[Path, ...]:
        return job.run()

    @on(Worker.StateChanged)
    def _finished(self, event: Worker.StateChanged) -> None:
        worker = event.worker
        if worker.state is WorkerState.SUCCESS:
            result = worker.result
            if isinstance(result, Reply):
                self._show(cleaned(result))
            else:
                self._tell(f"Job note written: {', '.join(map(str, result or ()))}")
        elif worker.state is WorkerState.ERROR and worker.error:
            self._tell(error_sentence(worker.error))
            line = self.query_one(NoteLine)
            if self._job and self._job.note and not line.value:
                line.put(self._job.note)
        if worker.is_finished:
            self._start_next()

    # -- showing ---------------------------------------------------------------------------------------------

    def _show(self, reply: Reply) -> None:
        before, self._reply = self._reply, reply
        self.query_one(PowerBar).show(reply.power, reply.phase)
        self.query_one(StopBar).show(reply.stops)
        self.query_one("#now", Panel).show(partial(fitted, reply))
        self.query_one("#suspects", Panel).show(lambda width, _: suspect_rows(reply.suspects, width))
        self.query_one("#readings", Panel).show(lambda width, _: reading_rows(reply.readings, width))
        self.query_one("#safety", Panel).show(lambda width, _: safety_rows(reply, width))
        self.query_one(TalkLog).add_reply(reply)
        self.query_one(HeardBar).heard(reply)
        self.query_one(TouchRow).offer(answers=_is_asked(reply))
        self._tick()
        # where nothing new is to be done, the news is in the words
        self._look_at("talk" if before and _to_do(before) == _to_do(reply) else "now")

    def _tell(self, sentence: str) -> None:
        self.query_one(TalkLog).add_notice(sentence)
        self.query_one(HeardBar).notice(sentence)

    def _tick(self) -> None:
        if self._reply:
            self.query_one(TimerBar).show(self._reply.timers, self._clock())

    def _look_at(self, view: str) -> None:
        self._view = view
        for name in VIEWS:
            self.screen.set_class(name == view, f"view-{name}")
        self.screen.set_class(view != "now", "-away")

    # -- keys and touches ------------------------------------------------------------------------------------

    @on(Input.Submitted)
    def _typed(self, event: Input.Submitted) -> None:
        note = event.value
        event.input.clear()
        self.query_one(NoteLine).remember(note)
        self.action_say(note)

    @on(NoteLine.Cut)
    def _paste_cut(self) -> None:
        self._tell(f"A note takes {LONGEST:,} characters; the rest of the paste was left out.")

    @on(TouchKey.Pressed)
    async def _touched(self, event: TouchKey.Pressed) -> None:
        if event.touch.note:
            self.action_say(event.touch.note)
        elif event.touch.action:
            await self.run_action(event.touch.action)

    def action_say(self, note: str) -> None:
        self._ask(Job(partial(self._desk.say, note), note))

    def action_write_note(self) -> None:
        self._ask(Job(self._desk.write_note))

    def action_next_view(self) -> None:
        views = VIEWS if self.screen.has_class("-narrow") else VIEWS[1:]
        place = views.index(self._view) if self._view in views else 0
        self._look_at(views[(place + 1) % len(views)])

    def action_more_keys(self) -> None:
        self.query_one(TouchRow).swap()

    def action_swap_theme(self) -> None:
        self.theme = other(self.theme)

    def action_scroll(self, direction: int) -> None:
        front = self._view if self.screen.has_class("-narrow") or self._view != "now" else "talk"
        panel = self.query_one(f"#{front}")
        panel.scroll_relative(y=direction * max(panel.size.height - 1, 1), animate=False)

    def action_keys(self) -> None:
        self.push_screen(KeysScreen())

    def action_help_quit(self) -> None:
        self.query_one(HeardBar).notice("Ctrl+Q leaves; everything is kept.")


def _to_do(reply: Reply) -> tuple[object, ...]:
    steps = tuple(step.id for step in reply.safety_steps)
    stops = tuple(stop.id for stop in reply.stops)
    what = (reply.next and reply.next.id, reply.repair and reply.repair.id)
    return stops, reply.question, steps, what, reply.power, reply.phase, reply.closed


def _is_asked(reply: Reply) -> bool:
    return not reply.closed and bool(reply.question or reply.safety_steps or reply.next or reply.repair)

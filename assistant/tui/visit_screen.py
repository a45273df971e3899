"""One visit on the screen: shows replies, sends notes, knows nothing of the trade."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container, Vertical
from textual.screen import Screen
from textual.widgets import Input

from assistant.dialogue.clean import cleaned
from assistant.dialogue.reply import Reply
from assistant.dialogue.wording import error_sentence

from .ears import Ears
from .errands import Errand, Errands
from .now_rows import fitted
from .palette import other
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
from .widgets.voice_bar import VoiceBar

if TYPE_CHECKING:
    from assistant.desk import Desk
    from assistant.voice.talk import Talk

VIEWS = ("now", "talk", "safety", "suspects", "readings")


class VisitScreen(Screen[None]):
    """The panels of a visit, and the line that notes are typed on."""

    AUTO_FOCUS = "NoteLine"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f1", "keys", id="keys"),
        Binding("f2", "next_view", id="view"),
        *(Binding(wish.key.lower(), f"say({wish.note!r})", id=wish.id) for wish in WISHES),
        Binding("f7", "write_note", id="write_note"),
        Binding("f8", "swap_theme", id="theme"),
        Binding("f9,pageup", "scroll(-1)", id="scroll_up"),
        Binding("f10,pagedown", "scroll(1)", id="scroll_down"),
    ]

    def __init__(self, desk: Desk, clock: Callable[[], datetime], ears: Ears | None = None) -> None:
        """``ears``: hearing and speaking; None where the voice is off."""
        super().__init__()
        self._ears = ears
        self._aloud = False
        """True while the note being answered was spoken: its answer is spoken too."""
        self._desk = desk
        self._clock = clock
        self._errands = Errands()
        self._reply: Reply | None = None
        self._view = VIEWS[0]
        self._leaving = False

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
        if self._ears is not None:
            yield VoiceBar()
            yield self._ears
        yield TouchRow()
        yield NoteLine()
        yield self._errands

    def on_mount(self) -> None:
        self._look_at(self._view)
        self._errands.ask(Errand(self._desk.greet))
        if self._ears is not None and self._ears.is_recording:
            self._ears.listen()
        self.set_interval(1.0, self.tick)

    @property
    def is_working(self) -> bool:
        """True while the desk has something to answer."""
        return self._errands.is_busy

    # -- answers of the desk --------------------------------------------------------------------------------

    @on(Errands.Begun)
    def _begun(self, event: Errands.Begun) -> None:
        note = event.errand.note
        if note is not None:
            self.query_one(TalkLog).add_note(note)
        self.query_one(HeardBar).working(note or "")

    @on(Errands.Done)
    def _done(self, event: Errands.Done) -> None:
        if isinstance(event.result, Reply):
            self._show(cleaned(event.result))
            if self._aloud and self._ears is not None:
                self._ears.say(event.result.spoken)
            self._aloud = False
        else:
            self._written(event.result)

    @on(Errands.Failed)
    def _failed(self, event: Errands.Failed) -> None:
        self._tell(error_sentence(event.error))
        line = self.query_one(NoteLine)
        if event.errand.note and not line.value:
            line.put(event.errand.note)

    @on(Errands.AllDone)
    def _all_done(self) -> None:
        if self._leaving:
            self.app.exit()

    # -- showing ----------------------------------------------------------------------------------------------

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
        self.tick()
        # where nothing new is to be done, the news is in the words
        self._look_at("talk" if before and _to_do(before) == _to_do(reply) else "now")

    def _written(self, paths: Sequence[Path]) -> None:
        self._tell(f"Job note written: {', '.join(map(str, paths))}")

    def _tell(self, sentence: str) -> None:
        self.query_one(TalkLog).add_notice(sentence)
        self.query_one(HeardBar).notice(sentence)
        self._look_at("talk")

    def tick(self) -> None:
        """Show the waits as the clock stands now."""
        if self._reply:
            for bar in self.query(TimerBar):  # none is left while the program ends
                bar.show(self._reply.timers, self._clock())

    def _look_at(self, view: str) -> None:
        self._view = view
        for name in VIEWS:
            self.set_class(name == view, f"view-{name}")
        self.set_class(view != "now", "-away")

    # -- keys and touches -------------------------------------------------------------------------------------

    @on(Input.Submitted)
    def _typed(self, event: Input.Submitted) -> None:
        event.input.clear()
        if self._ears is not None and not event.value.strip():
            self._ears.toggle()
            return
        self.query_one(NoteLine).remember(event.value)
        self.action_say(event.value)

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
        talk = self._talk
        run = partial(self._desk.say, note) if talk is None else lambda: talk.typed(note).reply
        self._errands.ask(Errand(run, note))

    # -- voice ------------------------------------------------------------------------------------------------

    @property
    def _talk(self) -> Talk | None:
        """The spoken side of the visit, once the voice was started."""
        return self._ears.voice.talk if self._ears is not None and self._ears.voice is not None else None

    @on(Ears.Now)
    def _ears_now(self, event: Ears.Now) -> None:
        self.query_one(VoiceBar).show(event.moment)

    @on(Ears.Heard)
    def _heard(self, event: Ears.Heard) -> None:
        talk = self._talk
        if talk is not None:
            self._aloud = True
            best = event.phrase.dictated or (event.phrase.hypotheses[0].text if event.phrase.hypotheses else "...")
            self._errands.ask(Errand(lambda: talk.hear(event.phrase).reply, f"(spoken) {best}"))

    @on(Ears.Failed)
    def _ears_failed(self, event: Ears.Failed) -> None:
        self._tell(event.sentence)

    def action_write_note(self) -> None:
        self._errands.ask(Errand(self._desk.write_note))

    def action_next_view(self) -> None:
        views = VIEWS if self.has_class("-narrow") else VIEWS[1:]
        place = views.index(self._view) if self._view in views else 0
        self._look_at(views[(place + 1) % len(views)])

    def action_more_keys(self) -> None:
        self.query_one(TouchRow).swap()

    def action_swap_theme(self) -> None:
        self.app.theme = other(self.app.theme)

    def action_scroll(self, direction: int) -> None:
        front = self._view if self.has_class("-narrow") or self._view != "now" else "talk"
        panel = self.query_one(f"#{front}")
        panel.scroll_relative(y=direction * max(panel.size.height - 1, 1), animate=False)

    def action_keys(self) -> None:
        self.app.push_screen(KeysScreen())

    def leave(self) -> None:
        """End the program when the desk has answered everything; asked a second time, at once."""
        if self._leaving or not self.is_working:
            self.app.exit()
        self._leaving = True
        self.query_one(HeardBar).notice("Leaving as soon as the last note is saved.")

    def tell_how_to_leave(self) -> None:
        self.query_one(HeardBar).notice("Ctrl+Q leaves; everything is kept.")

    def tell_not_text(self) -> None:
        self.query_one(HeardBar).notice(
            "Something that is no text was left out of the line. Look at it before you send."
        )


def _to_do(reply: Reply) -> tuple[object, ...]:
    steps = tuple(step.id for step in reply.safety_steps)
    stops = tuple(stop.id for stop in reply.stops)
    what = (reply.next and reply.next.id, reply.repair and reply.repair.id)
    return stops, reply.question, steps, what, reply.power, reply.phase, reply.closed


def _is_asked(reply: Reply) -> bool:
    return not reply.closed and bool(reply.question or reply.safety_steps or reply.next or reply.repair)

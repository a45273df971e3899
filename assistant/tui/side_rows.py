"""Rows of what stands beside the next thing: stops, everything about safety, suspects, readings, waits."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import UTC, datetime, timedelta

from assistant.dialogue.reply import ReadingItem, Reply, StopItem, SuspectItem, TimerItem
from assistant.dialogue.wording import doubt_words, power_sentence, worst_first

from .now_rows import MORE
from .rows import Rows, hanging, signalled

_FINE_VERDICTS = frozenset({"", "in range"})


def stop_rows(stops: Sequence[StopItem], width: int, height: int) -> Rows:
    """Return the standing stops in at most ``height`` rows: all with reasons, all, or the worst and how many.

    The worst stop's own words are never cut, even where they take more rows.
    """
    ordered = worst_first(stops)
    if not ordered:
        return []
    for with_reason in (True, False):
        rows = _stops(ordered, width, with_reason=with_reason)
        if len(rows) <= height:
            return rows
    place = f" 1 of {len(ordered)} ({MORE})" if len(ordered) > 1 else ""
    return signalled(ordered[0].signal, ordered[0].say, width, more=f" STOP{place}")


def safety_rows(reply: Reply, width: int) -> Rows:
    """Return power, stops with reasons, cautions and missing steps, all in full."""
    rows = hanging("", power_sentence(reply.power), width, style="bold")
    rows += _stops(worst_first(reply.stops), width, with_reason=True)
    for caution in worst_first(reply.cautions):
        rows += signalled(caution.signal, caution.say, width)
    if reply.safety_steps:
        rows += hanging("DO FIRST", "in this order, and tell me each:", width)
    for number, step in enumerate(reply.safety_steps, start=1):
        rows += hanging(f"{number}", step.say, width)
    if not (reply.stops or reply.cautions or reply.safety_steps):
        rows += hanging("", "No stop stands and no step is missing for the next thing.", width)
    return rows


def suspect_rows(suspects: Sequence[SuspectItem], width: int) -> Rows:
    """Return the suspects in rank words, most likely first, with what each would cause (the same thing once)."""
    rows: Rows = []
    told: set[str] = set()
    for number, suspect in enumerate(suspects, start=1):
        rows += hanging(f"{number} {suspect.word.upper()}", suspect.name, width)
        for words in suspect.consequences:
            if words not in told:
                rows += hanging("    -", f"causes: {words}", width, label_style="")
        told.update(suspect.consequences)
    return rows or hanging("", "No suspect yet: report a complaint, a reading or what you see.", width)


def reading_rows(readings: Sequence[ReadingItem], width: int) -> Rows:
    """Return the readings and findings that count now, newest first, with verdict and doubt as words."""
    rows: Rows = []
    for item in readings:
        fine = item.verdict in _FINE_VERDICTS
        verdict = item.verdict if fine else f"<{item.verdict.upper()}>"
        doubt = doubt_words(item.doubt) if item.doubt else ""
        words = " ".join(part for part in (item.shown, verdict, doubt) if part)
        rows += hanging(f"{item.name}:", words, width, label_style="", style="" if fine else "bold")
    return rows or hanging("", "No reading yet.", width)


def timer_rows(timers: Iterable[TimerItem], now: datetime, width: int, height: int) -> Rows:
    """Return the running waits with the time left, soonest first; what does not fit is counted."""
    ordered = sorted(timers, key=lambda timer: remaining(timer, now))
    shown = ordered if len(ordered) <= height else ordered[: max(height - 1, 1)]
    rows: Rows = []
    for timer in shown:
        words = f"{_left(timer, now)} {timer.name}"
        if timer is shown[-1] and len(shown) < len(ordered):
            words += f" (+{len(ordered) - len(shown)} more)"
        rows += hanging("WAIT", words, width)[:1]
    return rows


def is_over(timer: TimerItem, now: datetime) -> bool:
    """True when the wait has run out."""
    return remaining(timer, now) <= timedelta()


def remaining(timer: TimerItem, now: datetime) -> timedelta:
    """Return the time left of a wait."""
    ends = datetime.fromisoformat(timer.ends)
    return (ends if ends.tzinfo else ends.replace(tzinfo=UTC)) - now


def _left(timer: TimerItem, now: datetime) -> str:
    if is_over(timer, now):
        return "TIME IS UP"
    seconds = int(-(-remaining(timer, now) // timedelta(seconds=1)))
    minutes, seconds = divmod(seconds, 60)
    return f"{minutes}:{seconds:02d}"


def _stops(stops: Sequence[StopItem], width: int, *, with_reason: bool) -> Rows:
    rows: Rows = []
    for stop in stops:
        words = f"{stop.say} Because: {stop.because}" if with_reason and stop.because else stop.say
        rows += signalled(stop.signal, words, width, more=" STOP")
    return rows

"""Timers: cool-down with its forecast, time delay, equalising, steady running."""

from __future__ import annotations

import math
from itertools import count

from assistant.dialogue.numbers import number
from assistant.dialogue.prose import in_units
from assistant.dialogue.sentences import Said, sentence
from assistant.language.models import Heard
from assistant.reasoning.diagnosis import CheckNext, Diagnosis
from assistant.reasoning.limits import COOL_DOWN, TOUCH_COOL_DOWN, Forecast, Missing, cool_down_forecast
from assistant.reasoning.safety import gate
from assistant.session import events as e
from assistant.session.state import Timer, timer_key
from knowledge import KnowledgeBase
from knowledge.models.check import Check
from knowledge.models.entry import PowerNeed

from .draft import Draft
from .matching import subject_chain

SHELL_CHECK = "feel_shell"
_PLAIN = "plain"
"""The timer for whatever the technician waits for."""


def start_wait(draft: Draft, item: Heard) -> None:
    """Start the timer that was asked for: of the kind or the part named, else a plain one."""
    kb = draft.kb
    named = (w for w in kb.waits.values() if item.subject and w.about in subject_chain(kb, item.subject))
    wait = kb.waits.get(item.text or "") or next(named, None)
    chosen = wait or kb.waits[_PLAIN]
    minutes = item.value if item.value is not None else chosen.minutes
    nth = _free_place(draft) if chosen.id == _PLAIN else 1
    draft.emit(e.TimerStarted, wait=chosen.id, minutes=minutes, because=item.said, nth=nth)
    name = timer_name(draft.kb, draft.state.timers[timer_key(chosen.id, nth)])
    draft.remark("timer_started", name=name, minutes=number(minutes), text=chosen.text)


def _free_place(draft: Draft) -> int:
    """Return the number of a new plain timer: one that runs is not written over."""
    return next(n for n in count(1) if not _runs(draft, timer_key(_PLAIN, n)))


def _runs(draft: Draft, key: str) -> bool:
    return key in draft.state.timers and _left(draft, draft.state.timers[key]) > 0


def timer_name(kb: KnowledgeBase, timer: Timer) -> str:
    """Return what a timer is called: timer, timer 2, coil thawing."""
    name = kb.waits[timer.wait].name
    return name if timer.nth == 1 else f"{name} {timer.nth}"


def cool_down_wait(draft: Draft) -> None:
    """After a hot shell reading: start or renew the cool-down timer with the forecast."""
    forecast = shell_forecast(draft)
    if forecast is None:
        return
    wait = draft.kb.waits["cool_down"]
    minutes = forecast.minutes if isinstance(forecast, Forecast) else wait.minutes
    if minutes <= 0:
        draft.emit(e.TimerEnded, wait=wait.id)
        ready = in_units(draft.kb, forecast.sentence, draft.units)
        draft.answer.append(Said(ready, ready))
        return
    draft.emit(e.TimerStarted, wait=wait.id, minutes=round(minutes, 1), because="shell temperature")
    text = f"{in_units(draft.kb, forecast.sentence, draft.units)} {wait.text}"
    draft.remark("timer_started", name=wait.name, minutes=number(round(minutes)), text=text)


def wait_after_finding(draft: Draft, check_id: str, outcomes: tuple[str, ...], said: str) -> None:
    """Start the wait that a finding calls for (ice has to thaw), end it where the finding is over."""
    for wait in draft.kb.waits.values():
        if check_id not in wait.starts_on or not outcomes:
            continue
        running = wait.id in draft.state.timers
        if set(outcomes) <= set(wait.starts_on[check_id]):
            if not running:
                draft.emit(e.TimerStarted, wait=wait.id, minutes=wait.minutes, because=said)
                draft.remark("timer_started", name=wait.name, minutes=number(wait.minutes), text=wait.text)
        elif running:
            draft.emit(e.TimerEnded, wait=wait.id)


def end_waits(draft: Draft, item: Heard) -> None:
    """Stop the timer that is named, else every one."""
    ended = [timer for timer in draft.state.timers.values() if item.text in {None, timer.wait}]
    if not ended:
        draft.tell("no_timers")
    for timer in ended:
        draft.emit(e.TimerEnded, wait=timer.wait, nth=timer.nth)
        draft.remark("timer_stopped", name=timer_name(draft.kb, timer))


def tell_meanwhile(draft: Draft, diagnosis: Diagnosis | None) -> list[Said]:
    """Return what useful work fits the waits: all that needs no change of power, worth most first."""
    kb, running = draft.kb, [timer for timer in draft.state.timers.values() if _left(draft, timer) > 0]
    if not running:
        return [sentence(kb, "no_timers")]
    if diagnosis is None:
        return [sentence(kb, "no_diagnosis_yet")]
    minutes = min(_left(draft, timer) for timer in running)
    unit_runs = all(kb.waits[timer.wait].running for timer in running)

    state = draft.state

    def fits(check: Check) -> bool:
        """No change of power for it: looks, and what the power state as it is lets be measured."""
        ready = check.needs is PowerNeed.ANY or not gate(state, check.needs, kb).missing
        return ready and check.minutes <= minutes and (unit_runs or not check.energised)

    taken = {*state.skipped, *state.latest}
    step = diagnosis.decide(allowed=fits, skipped=tuple(taken), tools_missing=state.tools_missing)
    found = [step.check, *step.alternatives] if isinstance(step, CheckNext) else []
    useful = [kb.checks[one] for one in found if one not in taken and fits(kb.checks[one])][:_MOST_MEANWHILE]
    names = ", ".join(timer_name(kb, timer) for timer in running)
    left = f"{minutes:.0f}"
    if not useful:
        return [sentence(kb, "nothing_meanwhile", names=names, minutes=left)]
    work = " ".join(check.say for check in useful)
    return [sentence(kb, "meanwhile", names=names, minutes=left, work=work)]


def tell_ends_first(draft: Draft) -> None:
    """Say how long a wait still takes that should be over before the unit runs, and why; it bars nothing."""
    for timer in draft.state.timers.values():
        wait, left = draft.kb.waits[timer.wait], _left(draft, timer)
        if wait.ends_first is not None and left > 0:
            minutes = number(math.ceil(left))
            draft.remark("ends_first", signal="notice", name=wait.name, minutes=minutes, why=wait.ends_first)


_MOST_MEANWHILE = 3


def _left(draft: Draft, timer: Timer) -> float:
    """Return the minutes that a timer has to go; negative once it is over."""
    return timer.minutes - (draft.now - timer.started).total_seconds() / 60


def tell_waits(draft: Draft, item: Heard) -> None:
    """Say how long each running timer has to go, with the cool-down forecast where there is one.

    A wait that is named and has no timer yet is told as long as it usually takes.
    """
    asked = draft.kb.waits.get(item.text or "")
    if asked is not None and asked.id not in draft.state.timers and asked.id != "cool_down":
        low, high = asked.span or (asked.minutes, asked.minutes)
        draft.tell("wait_takes", name=asked.name, low=number(low), high=number(high), text=asked.text)
        return
    if not draft.state.timers:
        draft.tell("no_timers")
    if not draft.state.timers or _shell(draft):
        _tell_cooling(draft)
    for timer in draft.state.timers.values():
        left = _left(draft, timer)
        name = timer_name(draft.kb, timer)
        draft.tell("timer_left" if left > 0 else "timer_over", name=name, minutes=number(max(left, 0)))


def _tell_cooling(draft: Draft) -> None:
    """Say when the shell can be handled and when ohms count, or what the forecast still needs."""
    kb = draft.kb
    for limit in (TOUCH_COOL_DOWN, COOL_DOWN):
        found = _forecast(draft, limit)
        forecast = in_units(kb, found.sentence, draft.units)
        name = kb.limits[limit].name
        draft.answer.append(Said(f"{name[:1].upper()}{name[1:]}: {forecast}", forecast))
        if isinstance(found, Missing):
            return  # what the one forecast needs, the other needs too


def shell_forecast(draft: Draft) -> Forecast | Missing | None:
    """Return the cool-down forecast from the shell readings of the visit, or what it still needs; None without any."""
    return _forecast(draft, COOL_DOWN) if _shell(draft) else None


def _forecast(draft: Draft, limit: str) -> Forecast | Missing:
    shell = _shell(draft)
    samples = [((r.at - shell[0].at).total_seconds() / 60, r.value) for r in shell if r.value is not None]
    air = [r.value for r in draft.state.readings if r.about == "outdoor_air" and r.value is not None]
    return cool_down_forecast(draft.kb, samples, air[-1] if air else None, limit)


def _shell(draft: Draft) -> list[e.ReadingTaken]:
    return [r for r in draft.state.readings if r.check == SHELL_CHECK and r.value is not None]

"""What to do now, in as many rows as there are: the richest form that fits, never a sentence cut short.

Order: what was announced with a signal word, a question to clear up, cautions, the missing safety steps
numbered, then the check or the repair. What a tight form leaves out it counts, and names the key that
shows it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum, auto
from functools import partial

from textual.content import Content

from assistant.dialogue.reply import CautionItem, NextItem, RepairItem, Reply
from assistant.dialogue.wording import (
    SIGNALS,
    announcements,
    limit_words,
    minutes_words,
    next_words,
    worst_first,
)

from .rows import Rows, hanging, signalled

MORE = "F2"
"""Key that shows the other panels, among them everything about safety."""
_HARM = SIGNALS[:2]
_TAKES_TIME = frozenset({"check", "close_out", "wait"})


class Cautions(Enum):
    ALL = auto()
    HARM = auto()
    """DANGER and WARNING in words, the rest counted."""
    WORST = auto()
    """The worst in words, the rest counted."""
    COUNTED = auto()
    NONE = auto()
    """Only beside another view, which the technician chose; the Safety view has them all."""


class Steps(Enum):
    FULL = auto()
    FIRST_FULL = auto()
    """The first in full, the rest in their short form."""
    FIRST_ONLY = auto()
    """The first in full, the rest counted."""
    SHORT = auto()
    """The first in its short form, the rest counted."""


@dataclass(frozen=True, slots=True)
class Detail:
    """How much is told."""

    cautions: Cautions
    steps: Steps
    limits: bool = True
    source: bool = True
    why: bool = True
    work: bool = True
    """The steps, parts and reasons of a repair."""
    whole: bool = True
    """The check in full words even where steps stand before it; else its name where it has one."""
    spaced: bool = False
    """An empty row between the parts."""


LADDER = (
    Detail(Cautions.ALL, Steps.FULL, spaced=True),
    Detail(Cautions.ALL, Steps.FULL),
    Detail(Cautions.ALL, Steps.FIRST_FULL),
    Detail(Cautions.ALL, Steps.FIRST_FULL, why=False),
    Detail(Cautions.HARM, Steps.FIRST_FULL, why=False),
    Detail(Cautions.HARM, Steps.FIRST_ONLY, why=False),
    Detail(Cautions.HARM, Steps.FIRST_ONLY, source=False, why=False, whole=False),
    Detail(Cautions.WORST, Steps.FIRST_ONLY, why=False),
    Detail(Cautions.WORST, Steps.FIRST_ONLY, source=False, why=False, work=False, whole=False),
    Detail(Cautions.WORST, Steps.SHORT, source=False, why=False, work=False, whole=False),
    Detail(Cautions.COUNTED, Steps.FIRST_ONLY, why=False, work=False),
    Detail(Cautions.COUNTED, Steps.FIRST_ONLY, source=False, why=False, work=False, whole=False),
    Detail(Cautions.COUNTED, Steps.SHORT, source=False, why=False, work=False, whole=False),
    Detail(Cautions.COUNTED, Steps.SHORT, limits=False, why=False, work=False, whole=False),
)
"""Richest first."""
_WORK_BEFORE_CAUTIONS = Detail(Cautions.COUNTED, Steps.FIRST_ONLY, why=False)
"""For a repair: rather its steps and parts than the words of cautions that were read before."""
STRIP = (
    Detail(Cautions.NONE, Steps.SHORT, limits=False, why=False, work=False),
    Detail(Cautions.NONE, Steps.SHORT, limits=False, why=False, work=False, whole=False),
)
"""For the strip above another view."""
STRIP_HEIGHT = 3
"""At this height or less the panel is that strip."""


def fitted(reply: Reply, width: int, height: int) -> Rows:
    """Return the richest form of ``reply`` that takes at most ``height`` rows, or else the tightest one."""
    rows: Rows = []
    for detail in forms(reply, height):
        rows = now_rows(reply, width, detail)
        if len(rows) <= height:
            break
    return rows


def forms(reply: Reply, height: int) -> tuple[Detail, ...]:
    """Return the forms to try at ``height`` rows, richest first."""
    if height <= STRIP_HEIGHT:
        return STRIP
    if reply.repair is None:
        return LADDER
    first_without_work = next(place for place, detail in enumerate(LADDER) if not detail.work)
    return (*LADDER[:first_without_work], _WORK_BEFORE_CAUTIONS, *LADDER[first_without_work:])


def now_rows(reply: Reply, width: int, detail: Detail = LADDER[0]) -> Rows:
    """Return what to do now, told in ``detail``."""
    row = partial(hanging, width=width)
    if reply.closed:
        return row("CLOSED", "The visit is closed. Ctrl+Q leaves.")
    told, counted = _announced(reply, detail.cautions)
    parts = [_told(told, width), row("ANSWER FIRST", reply.question) if reply.question else []]
    parts.append(_cautions((*counted, *reply.cautions), width, detail.cautions))
    parts.append(_steps(reply, width, detail.steps))
    then = "THEN " if reply.safety_steps else ""
    if reply.repair:
        parts.append(_repair(reply.repair, then, width, detail))
    elif reply.next:
        parts.append(_next(reply.next, then, width, detail))
    elif not any(parts):
        parts.append(row("NOW", reply.spoken))
    return _joined(parts, [Content()] if detail.spaced else [])


def _announced(reply: Reply, amount: Cautions) -> tuple[list[CautionItem], list[CautionItem]]:
    """Return what was announced as (to be told in words, only counted): DANGER is always told."""
    items = [CautionItem(id="", signal=signal, say=words) for signal, words in announcements(reply)]
    if amount not in {Cautions.COUNTED, Cautions.NONE}:
        return items, []
    worst = SIGNALS[0]
    return [item for item in items if item.signal == worst], [item for item in items if item.signal != worst]


def _cautions(cautions: Sequence[CautionItem], width: int, amount: Cautions) -> Rows:
    ordered = worst_first(cautions)
    if not ordered or amount is Cautions.NONE:
        return []
    told = [item for item in ordered if amount is Cautions.ALL or item.signal in _HARM]
    if amount is Cautions.WORST:
        told = ordered[:1]
    if amount is Cautions.COUNTED or not told:
        return signalled(ordered[0].signal, f"{len(ordered)} to read: {MORE}", width)
    rows = _told(told, width)
    if len(told) < len(ordered):
        rows += hanging("", f"{_count(len(ordered) - len(told), 'more caution')}: {MORE}", width)
    return rows


def _told(items: Sequence[CautionItem], width: int) -> Rows:
    return [row for item in items for row in signalled(item.signal, item.say, width)]


def _steps(reply: Reply, width: int, amount: Steps) -> Rows:
    steps = reply.safety_steps
    if not steps:
        return []
    if amount is Steps.SHORT:
        return hanging(f"FIRST 1/{len(steps)}", steps[0].spoken, width, style="bold")
    if amount is Steps.FIRST_ONLY:
        title = f"1 of {len(steps)} (all: {MORE})" if len(steps) > 1 else ""
        return hanging("DO FIRST", title, width) + hanging("1", steps[0].say, width, style="bold")
    rows = hanging("DO FIRST", f"{_count(len(steps), 'step')}:", width)
    for number, step in enumerate(steps, start=1):
        full = number == 1 or amount is Steps.FULL
        style = "bold" if number == 1 else ""
        rows += hanging(f"{number}", step.say if full else step.spoken, width, style=style)
    return rows


def _next(item: NextItem, then: str, width: int, detail: Detail) -> Rows:
    in_full = detail.whole or not (item.name and (then or detail in STRIP))
    words = item.say if in_full else item.name
    rows = hanging(f"{then}{next_words(item.kind)}", words, width, style="" if then else "bold")
    if detail.limits:
        named = len(item.limits) > 1
        for limit in item.limits:
            rows += hanging("GOOD", limit_words(limit, source=detail.source, named=named), width)
    if detail.why:
        rows += hanging("WHY", item.why, width) if item.why else []
        rows += hanging("TIME", minutes_words(item.minutes), width) if item.kind in _TAKES_TIME else []
    return rows


def _repair(item: RepairItem, then: str, width: int, detail: Detail) -> Rows:
    label = f"{then}REFER TO A SPECIALIST" if item.refer else f"{then}REPAIR"
    rows = hanging(label, item.say, width, style="" if then else "bold")
    if not detail.work:
        return rows + hanging("", f"{_count(len(item.steps), 'step')}, parts and reasons: {MORE}", width)
    for reason in item.why if detail.why else ():
        rows += hanging("BECAUSE", reason, width)
    for number, step in enumerate(item.steps, start=1):
        rows += hanging(f"  {number}", step, width)
    rows += hanging("PARTS", item.parts, width) if item.parts else []
    for words in item.also:
        rows += hanging("ALSO", words, width)
    if detail.why:
        for words in item.consequences:
            rows += hanging("IT CAUSED", words, width)
        rows += hanging("TIME", minutes_words(item.minutes), width)
    return rows


def _joined(parts: list[Rows], gap: Rows) -> Rows:
    rows: Rows = []
    for part in filter(None, parts):
        rows += (gap if rows else []) + part
    return rows


def _count(number: int, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}"

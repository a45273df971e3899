"""A reply as lines of plain text: signal words first, then the answer, then what changed."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from assistant.dialogue.clean import cleaned
from assistant.dialogue.reply import Reply
from assistant.dialogue.wording import doubt_words, heard_words, phase_words, power_sentence, worst_first

_SIGNAL_ROOM = 20
"""A line of the answer at most this much longer than a stop's own words holds nothing but that stop."""


def answer_lines(reply: Reply, before: Reply | None, width: int) -> list[str]:
    """Return the lines to print for ``reply``, each at most ``width`` columns.

    ``before`` is the reply printed last: power, phase and reasons are said when they are new. Whatever
    concerns safety is said even where the answer's own text leaves it out.
    """
    shown = cleaned(reply)
    return [line for part in _parts(shown, before) for line in wrapped(part, width)]


def wrapped(text: str, width: int) -> list[str]:
    """Return ``text`` in lines of at most ``width`` columns; its own line ends and indents stay."""
    lines: list[str] = []
    for line in text.split("\n"):
        indent = line[: len(line) - len(line.lstrip())][: width // 2]
        lines += textwrap.wrap(line, max(width, 10), subsequent_indent=indent) or [""]
    return lines


def _parts(reply: Reply, before: Reply | None) -> Iterator[str]:
    old_stops = {stop.id for stop in before.stops} if before else set()
    for stop in worst_first(reply.stops):
        because = "" if stop.id in old_stops else f" Because: {stop.because}"
        yield f"{stop.signal.upper()}, STOP: {stop.say}{because}"
    for item in reply.heard:
        if item.doubt and item.doubt not in reply.reply:
            yield f"{doubt_words(item.doubt)}: {heard_words(item)}"
    body = "\n".join(line for line in reply.reply.split("\n") if not _repeats_stop(line, reply))
    yield body.strip("\n")
    yield from _left_out(reply, before, body)
    if before is None or before.power != reply.power:
        yield power_sentence(reply.power)
    if before is None or before.phase != reply.phase:
        yield f"Phase: {phase_words(reply.phase)}."


def _repeats_stop(line: str, reply: Reply) -> bool:
    return any(stop.say in line and len(line) - len(stop.say) <= _SIGNAL_ROOM for stop in reply.stops)


def _left_out(reply: Reply, before: Reply | None, body: str) -> Iterator[str]:
    old_cautions = {caution.id for caution in before.cautions} if before else set()
    for caution in worst_first(reply.cautions):
        if caution.say not in body and caution.id not in old_cautions:
            yield f"{caution.signal.upper()}: {caution.say}"
    if reply.safety_steps and not reply.safety_steps[0].again and reply.safety_steps[0].say not in body:
        count = len(reply.safety_steps)
        yield f"First, 1 of {count}: {reply.safety_steps[0].say}"
    if reply.question and reply.question not in body:
        yield reply.question

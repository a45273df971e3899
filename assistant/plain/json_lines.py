"""The interface for scripts: one note per input line, one JSON object per output line."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, BinaryIO

from assistant.console import FINE, INTERRUPTED, hush
from assistant.dialogue.reply import Reply
from assistant.dialogue.wording import error_sentence
from assistant.session.state import Power

from .incoming import Incoming, notes

if TYPE_CHECKING:
    from assistant.desk import Desk

_LINE_BREAKS = str.maketrans({"\x85": "\\u0085", "\u2028": "\\u2028", "\u2029": "\\u2029"})
"""Characters that JSON allows as they are but that some readers take for line ends."""


def run_json(desk: Desk, stdin: BinaryIO, stdout: BinaryIO) -> int:
    """Answer every line of ``stdin`` with one line of UTF-8 JSON until it ends; return the exit code.

    An object is the Reply model as it is, plus ``notice``: a sentence where the line was cut, held bytes that
    are not text, could not be saved, or could not be handled (then ``heard`` is empty and the note is in
    ``not_understood``), else null. Nothing is printed for the greeting.
    """
    reply: Reply | None = None
    try:
        for incoming in notes(stdin):
            reply, notice = _answer(desk, incoming, reply)
            stdout.write(json_line(reply, notice))
            stdout.flush()
    except KeyboardInterrupt:
        return INTERRUPTED
    except BrokenPipeError:
        hush(stdout)
    return FINE


def _answer(desk: Desk, incoming: Incoming, before: Reply | None) -> tuple[Reply, str | None]:
    try:
        reply = desk.say(incoming.text)
    except Exception as error:  # noqa: BLE001 - every line gets its object; the reader of JSON must not see a traceback
        sentence = error_sentence(error)
        return refusal(desk.visit, incoming.text, before, sentence), sentence
    return reply, " ".join(filter(None, (incoming.notice, desk.save_problem))) or None


def refusal(visit: str, note: str, before: Reply | None, sentence: str) -> Reply:
    """Return what is still known, with the error as the reply."""
    blank = Reply(visit=visit, note=0, power=Power.UNKNOWN.value, phase="intake", reply="", spoken="")
    said = (note,) if note else ()
    update = {"heard": (), "not_understood": said, "limits": (), "reply": sentence, "spoken": sentence}
    return (before or blank).model_copy(update=update)


def json_line(reply: Reply, notice: str | None) -> bytes:
    """Return the reply as one line of UTF-8 JSON."""
    data = json.loads(reply.model_dump_json())  # the model's own writer turns NaN and infinity into null
    data["notice"] = notice
    return json.dumps(data, ensure_ascii=False).translate(_LINE_BREAKS).encode() + b"\n"

"""The plain front ends, fed from a sound file, a pipe or the microphone instead of typed lines."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, BinaryIO, TextIO

from assistant.console import FINE, INTERRUPTED, WRONG, hush

from .json_lines import json_line, refusal
from .line_by_line import Printer

if TYPE_CHECKING:
    from assistant.desk import Desk
    from assistant.voice.listening import Source, Voice


def hear_json(desk: Desk, voice: Voice, source: Source, stream: BinaryIO | None, stdout: BinaryIO) -> int:
    """Print one JSON object per spoken note until the source ends; return the exit code.

    Trouble with the sound is an object too: its sentence stands in ``notice``.
    """
    from assistant.voice.listening import Trouble

    code = FINE
    try:
        for came in voice.notes(source, stream):
            if isinstance(came, Trouble):
                code = WRONG if came.for_good else code
                stdout.write(json_line(refusal(desk.visit, "", desk.last_reply, str(came)), str(came)))
            else:
                stdout.write(json_line(came.reply, None))
            stdout.flush()
    except KeyboardInterrupt:
        return INTERRUPTED
    except BrokenPipeError:
        hush(stdout)
    return code


def hear_plain(
    desk: Desk, voice: Voice, source: Source, stream: BinaryIO | None, stdout: TextIO, width: int = 80
) -> int:
    """Greet, then print what was heard and the answer to it, until the source ends; return the exit code."""
    from assistant.voice.listening import Trouble

    code = FINE
    printer = Printer(stdout, width)
    try:
        printer.turn(desk.greet)
        for came in voice.notes(source, stream):
            if isinstance(came, Trouble):
                code = WRONG if came.for_good else code
                printer.say(f"NOTICE: {came}")
                continue
            printer.say(f"SPOKEN: {came.note}" if came.note else "SPOKEN: (nothing caught)")
            printer.turn(partial(getattr, came, "reply"))
    except KeyboardInterrupt:
        return INTERRUPTED
    except BrokenPipeError:
        hush(stdout)
    return code

"""The plain front end, as a screen reader or a log meets it."""

from __future__ import annotations

import io
import os
import pty
import subprocess
import sys

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.dialogue.reply import HeardItem
from assistant.plain import run_plain
from assistant.plain.answer import answer_lines, wrapped

from .invented_visit import (
    ASKED_BACK,
    GROUNDED,
    HUMMING,
    READY,
    SECOND_SOURCE,
    STEPS,
    STOP,
    WELCOME,
    EchoDesk,
    PlayedDesk,
    all_replies,
    as_desk,
)
from .streams import Closed, Interrupted, Terminal, plain


def flat(lines: list[str]) -> str:
    return " ".join(" ".join(lines).split())


def test_it_greets_answers_each_line_and_ends_with_the_input() -> None:
    desk = PlayedDesk(HUMMING, READY)
    printed, code = plain(desk, b"fan is huming\ndischarged")
    assert desk.said == ["fan is huming", "discharged"]
    assert printed.index(WELCOME.reply) < printed.index("Fan humming") < printed.index("Charge removed.")
    assert code == 0
    assert "> " not in printed


def test_signal_words_come_first_worst_first() -> None:
    lines = answer_lines(GROUNDED, HUMMING, 200)
    assert lines[0] == f"DANGER, STOP: {STOP.say} Because: {STOP.because}"
    assert lines[1].startswith("WARNING, STOP: Burnt disconnect.")
    assert flat(lines).count(STOP.say) == 1


def test_a_standing_stop_is_said_every_time_its_reason_once() -> None:
    lines = answer_lines(GROUNDED, GROUNDED, 200)
    assert lines[0] == f"DANGER, STOP: {STOP.say}"


def test_power_and_phase_are_said_when_they_change() -> None:
    assert "Power unknown: treat as live." in answer_lines(WELCOME, None, 80)
    assert not any(line.startswith(("Power", "Phase")) for line in answer_lines(HUMMING, HUMMING, 80))
    changed = answer_lines(READY, HUMMING.model_copy(update={"phase": "intake"}), 80)
    assert changed[-2:] == ["Dead, charge removed.", "Phase: Finding."]


def test_what_the_words_leave_out_about_safety_is_said() -> None:
    silent = HUMMING.model_copy(update={"reply": "Next the fan capacitor."})
    told = flat(answer_lines(silent, WELCOME, 80))
    assert f"WARNING: {SECOND_SOURCE.say}" in told
    assert f"First, 1 of {len(STEPS)}: {STEPS[0].say}" in told
    asked = ASKED_BACK.model_copy(update={"reply": "Hm."})
    assert "0.9 ohm or 0.9 kilo-ohm?" in flat(answer_lines(asked, HUMMING, 80))


def test_doubts_are_marked_in_words() -> None:
    told = flat(answer_lines(HUMMING, None, 80))
    assert "(?) SPELLING: fan: humming" in told


@settings(deadline=None)
@given(text=st.text(max_size=300), width=st.integers(10, 120))
def test_no_line_is_wider_than_asked_and_no_control_character_is_printed(text: str, width: int) -> None:
    heard = HeardItem(kind="note", said=text, shown=text, doubt="unsure")
    reply = HUMMING.model_copy(update={"reply": text, "heard": (heard,), "question": text})
    for line in answer_lines(reply, None, width):
        assert len(line) <= width
        assert line.isprintable() or not any(c < " " or c == "\x7f" for c in line)


@pytest.mark.parametrize("width", [20, 40, 80, 132])
def test_every_reply_fits_every_width(width: int) -> None:
    for reply in all_replies():
        assert max(map(len, answer_lines(reply, None, width))) <= width


def test_indents_and_line_ends_of_the_answer_stay() -> None:
    assert wrapped("Steps:\n  - take the old part out now", 20) == [
        "Steps:",
        "  - take the old",
        "  part out now",
    ]


@settings(deadline=None)
@given(data=st.binary(max_size=200))
def test_any_bytes_are_answered_without_an_error(data: bytes) -> None:
    desk = EchoDesk()
    printed, code = plain(desk, data)
    lines = data.split(b"\n")
    assert len(desk.said) == len(lines) - (lines[-1] == b"")
    assert code == 0
    assert "\x1b" not in printed


def test_broken_bytes_and_errors_are_told_as_notices() -> None:
    printed, code = plain(PlayedDesk(HUMMING, KeyError("x"), READY), b"fan \xff\nboom\nnext\n")
    assert "NOTICE: Some bytes are not text (UTF-8) and were replaced." in printed
    assert "NOTICE: That could not be done (KeyError: 'x')." in printed
    assert printed.rstrip().endswith("Dead, charge removed.")
    assert code == 0


def test_a_greeting_that_fails_is_told_and_notes_are_still_taken() -> None:
    desk = PlayedDesk(HUMMING, greeting=OSError(28, "No space left on device"))
    printed, _ = plain(desk, b"fan\n")
    assert printed.startswith("NOTICE: The computer refused: no space left on device.")
    assert desk.said == ["fan"]


def test_terminals_without_the_signs_of_the_trade_get_words() -> None:
    reply = READY.model_copy(update={"reply": "4.7 to 5.3 µF, 0.4 MΩ, 120 °F, ± 5 %, 風"})
    printed, _ = plain(PlayedDesk(reply), b"x\n", encoding="ascii")
    assert "4.7 to 5.3 uF, 0.4 Mohm, 120  deg F, +/- 5 %, ?" in printed.replace("120 deg", "120  deg")


@pytest.mark.parametrize("word", [b"quit", b" Exit "])
def test_quit_as_a_whole_line_leaves_and_what_follows_is_no_note(word: bytes) -> None:
    desk = PlayedDesk(HUMMING, READY)
    printed, code = plain(desk, b"fan is huming\n" + word + b"\nfan quit\n")
    assert desk.said == ["fan is huming"]
    assert printed.endswith("The visit is kept; start again to go on with it.\n")
    assert code == 0


def test_a_part_that_quit_is_a_note() -> None:
    desk = PlayedDesk(HUMMING, READY)
    plain(desk, b"fan quit\nit quit\n")
    assert desk.said == ["fan quit", "it quit"]


def test_leaving_says_that_the_visit_is_kept() -> None:
    out = io.StringIO()
    assert run_plain(as_desk(PlayedDesk()), Terminal(b"fan\n"), out, 80) == 0
    assert out.getvalue().endswith("The visit is kept; start again to go on with it.\n")
    out = io.StringIO()
    assert run_plain(as_desk(PlayedDesk()), Interrupted(), out, 80) == 130
    assert out.getvalue().endswith("The visit is kept; start again to go on with it.\n")


def test_a_reader_that_went_away_ends_it_quietly() -> None:
    out = io.TextIOWrapper(Closed(), encoding="utf-8", write_through=True)
    assert run_plain(as_desk(PlayedDesk()), io.BytesIO(b"fan\n"), out, 80) == 0


def test_it_does_not_say_that_all_is_kept_where_it_is_not() -> None:
    desk = PlayedDesk(HUMMING)
    desk.save_problem = "Your last note is not saved."
    printed = io.TextIOWrapper(io.BytesIO(), encoding="utf-8")
    run_plain(as_desk(desk), Terminal(b""), printed)
    printed.seek(0)
    text = printed.read()
    assert text.endswith("Leaving.\n")
    assert "kept" not in text


_PROGRAM = """
import sys
from assistant.plain import run_plain
from tests.plain.invented_visit import EchoDesk
sys.exit(run_plain(EchoDesk(), sys.stdin.buffer, sys.stdout, 80))
"""


@pytest.mark.skipif(sys.platform == "win32", reason="needs a pseudo-terminal")
def test_at_a_real_terminal_there_is_a_prompt_and_ctrl_d_leaves() -> None:
    ours, theirs = pty.openpty()
    program = [sys.executable, "-c", _PROGRAM]
    with subprocess.Popen(program, stdin=theirs, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as running:  # noqa: S603
        os.close(theirs)
        os.write(ours, b"fan hums\n\x04")
        printed, complaints = running.communicate(timeout=60)
        os.close(ours)
    assert running.returncode == 0
    assert b"fan hums" in printed
    assert b"> " in printed + complaints
    assert printed.decode().endswith("The visit is kept; start again to go on with it.\n")

"""Words and marks both front ends use."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.dialogue.clean import clean
from assistant.dialogue.reply import LimitItem
from assistant.dialogue.wording import (
    announcements,
    error_sentence,
    limit_words,
    power_sentence,
    power_words,
    shortened,
    signal_words,
    split_signal,
    worst_first,
)
from assistant.session.state import Power

from .invented_visit import GROUNDED, HUMMING, SECOND_STOP, STOP


def test_the_alert_triangle_is_for_harm_to_people_only() -> None:
    """ANSI Z535.4 (from memory, not opened): DANGER, WARNING, CAUTION carry it, NOTICE does not."""
    marks = {signal: signal_words(signal) for signal in ("danger", "warning", "caution", "notice")}
    assert marks == {
        "danger": "/!\\ DANGER",
        "warning": "/!\\ WARNING",
        "caution": "/!\\ CAUTION",
        "notice": "[i] NOTICE",
    }


def test_the_worst_signal_comes_first_and_an_unknown_one_counts_as_worst() -> None:
    odd = STOP.model_copy(update={"signal": "alarm"})
    assert worst_first((SECOND_STOP, STOP, odd)) == [odd, STOP, SECOND_STOP]


@pytest.mark.parametrize("power", list(Power))
def test_every_power_state_has_words_of_its_own(power: Power) -> None:
    others = [power_words(other)[:2] for other in Power if other is not power]
    assert power_words(power.value)[:2] not in others


def test_a_power_state_nobody_knows_reads_as_unknown() -> None:
    assert power_sentence("half asleep") == power_sentence("unknown") == "Power unknown: treat as live."


def test_a_limit_shows_window_and_source_or_what_is_missing() -> None:
    limit = LimitItem(quantity="capacitance", about="cap_fan", unit="µF", window="4.7 to 5.3 µF", source="printed")
    assert limit_words(limit) == "4.7 to 5.3 µF (printed)"
    assert limit_words(limit, source=False, named=True) == "cap fan capacitance: 4.7 to 5.3 µF"
    missing = LimitItem(quantity="capacitance", unit="µF", source="printed", note="the plate value is missing")
    assert limit_words(missing) == "the plate value is missing"


def test_announcements_are_signalled_lines_that_no_stop_or_caution_holds() -> None:
    reply = GROUNDED.model_copy(update={"reply": f"DANGER: {STOP.say}\nWARNING: Odd: two.\nHeard: x.\nNote: y"})
    assert announcements(reply) == [("warning", "Odd: two.")]
    assert announcements(HUMMING) == []


@pytest.mark.parametrize("line", ["Danger: low", "danger: x", "DANGER:x", "DANGER", "XDANGER: x", ""])
def test_only_a_whole_signal_word_makes_a_signal(line: str) -> None:
    assert split_signal(line) == ("", line)


@given(st.text())
def test_clean_text_holds_nothing_that_moves_a_cursor_or_hides(text: str) -> None:
    for character in clean(text):
        assert character == "\n" or unicodedata.category(character) not in {"Cc", "Cf", "Cs", "Cn", "Co"}


@given(st.text(st.characters(categories=["L", "N", "P", "S"], codec="ascii")))
def test_ordinary_text_stays_as_it_is(text: str) -> None:
    assert clean(text) == text


def test_units_and_other_scripts_stay_readable() -> None:
    assert clean("4,7 µF · 0.4 MΩ ≤ 120 °F вентилятор 風扇 🔥") == "4,7 µF · 0.4 MΩ ≤ 120 °F вентилятор 風扇 🔥"
    assert clean("a\x1b[2J\u202eb\ufe0f\ttab\r\nline") == "a[2Jb tab\nline"


def test_long_notes_are_shortened_and_say_so() -> None:
    assert shortened("x" * 400) == "x" * 400
    assert shortened("x" * 5000).endswith("xxx ... (5,000 characters in all)")


def test_an_error_reads_as_a_sentence() -> None:
    assert error_sentence(ValueError("The log is newer. Update padside.")) == "The log is newer. Update padside."
    assert error_sentence(KeyError("x")).startswith("That could not be done (KeyError: 'x').")
    assert error_sentence(OSError(30, "Read-only file system", "/v")).startswith(
        "The computer refused: read-only file system (/v)."
    )

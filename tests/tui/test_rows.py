"""Whatever the words and the size: rows stay inside, and nothing about safety is lost without a word."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st
from textual.content import Content

from assistant.dialogue.clean import cleaned
from assistant.dialogue.reply import CautionItem, StepItem, StopItem
from assistant.tui.now_rows import LADDER, STRIP_HEIGHT, fitted, forms, now_rows
from assistant.tui.rows import Rows, hanging
from assistant.tui.side_rows import stop_rows
from tests.plain.invented_visit import HUMMING, SECOND_STOP, STOP, all_replies

words = st.text(st.characters(codec="utf-8", exclude_categories=["C", "Z"]), min_size=1, max_size=12)
sentences = st.lists(words, min_size=1, max_size=30).map(" ".join)
widths = st.integers(min_value=20, max_value=140)
heights = st.integers(min_value=1, max_value=50)
signals = st.sampled_from(["danger", "warning", "caution", "notice"])


def text(rows: Rows) -> str:
    return " ".join(" ".join(row.plain for row in rows).split())


def squeezed(rows: Rows) -> str:
    return "".join("".join(row.plain for row in rows).split())


@settings(deadline=None)
@given(label=words, sentence=sentences, width=widths)
def test_hanging_rows_fit_and_keep_every_character(label: str, sentence: str, width: int) -> None:
    rows = hanging(label, sentence, width)
    assert all(row.cell_length <= width for row in rows)
    assert squeezed(rows) == "".join(f"{label}{sentence}".split())


@settings(deadline=None)
@given(say=sentences, width=widths, height=heights, signal=signals)
def test_the_first_step_the_check_and_the_cautions_are_told_at_every_size(
    say: str, width: int, height: int, signal: str
) -> None:
    step = StepItem(id="s", say=f"{say} full", spoken=f"{say} short")
    caution = CautionItem(id="c", signal=signal, say=f"{say} mind")
    update = {"safety_steps": (step, step), "cautions": (caution, caution)}
    reply = cleaned(HUMMING.model_copy(update=update))
    rows = fitted(reply, width, height)
    told = squeezed(rows)
    assert all(row.cell_length <= width for row in rows)
    assert any("".join(form.split()) in told for form in (reply.safety_steps[0].say, reply.safety_steps[0].spoken))
    assert "fancapacitor,CtoFAN" in told or "capacitorfromCtoFAN" in told
    if height > STRIP_HEIGHT:
        assert "".join(reply.cautions[0].say.split()) in told or "2toread:F2" in told
    richest = now_rows(reply, width, LADDER[0])
    if height >= len(richest):
        assert rows == richest


@settings(deadline=None)
@given(width=widths, height=heights)
def test_rows_fit_the_height_wherever_any_form_does(width: int, height: int) -> None:
    for reply in all_replies():
        shown = [now_rows(reply, width, detail) for detail in forms(reply, height)]
        assert len(fitted(reply, width, height)) <= height or all(len(rows) > height for rows in shown)


@settings(deadline=None)
@given(say=sentences, width=widths, height=heights)
def test_the_worst_stop_is_always_told_whole(say: str, width: int, height: int) -> None:
    worst = StopItem(id="w", signal="danger", say=say, because="r" * 300)
    rows = stop_rows((SECOND_STOP, worst, SECOND_STOP), width, height)
    assert all(row.cell_length <= width for row in rows)
    assert "".join(say.split()) in squeezed(rows)
    assert "1of3(F2)" in squeezed(rows) or squeezed(rows).count("STOP") >= 3


def test_stops_come_worst_first_whatever_order_they_were_raised_in() -> None:
    """ANSI Z535.4: DANGER over WARNING over CAUTION (from memory, not opened)."""
    told = text(stop_rows((SECOND_STOP, STOP), 80, 10))
    assert told.index("/!\\ DANGER") < told.index("/!\\ WARNING")


def test_what_was_announced_with_a_signal_word_stands_first() -> None:
    reply = HUMMING.model_copy(update={"reply": "Heard: 3 V.\nDANGER: NOT DEAD. Hands out.\nWARNING: odd."})
    for height, rest in ((6, "2 to read: F2"), (14, "odd."), (40, "odd.")):
        told = text(fitted(reply, 40, height))
        assert told.startswith(f"/!\\ DANGER NOT DEAD. Hands out. /!\\ WARNING {rest}")


def test_signal_words_stay_marked_where_there_are_no_colours() -> None:
    row = now_rows(HUMMING, 60)[0]
    assert isinstance(row, Content)
    assert "reverse" in str(row.spans[0].style)

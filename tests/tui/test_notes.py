"""What is typed, touched or pasted reaches the desk as a note, and nothing in it can spoil the screen."""

from __future__ import annotations

import pytest
from textual import events

from assistant.tui.widgets.note_line import LONGEST, NoteLine
from assistant.tui.widgets.touch_row import ANSWERS, WISHES
from tests.plain.invented_visit import ASKED_BACK, CLOSED, HUMMING, WHY, EchoDesk, PlayedDesk

from .screen import SIZES, running

NASTY = {
    "markup": "fan [bold red]hums[/] [/nonsense] [@click=app.quit]x[/] \\[b]",
    "controls": "a\x1b[31mb\x07\x00c\x9bd\re\tf",
    "wide": "日本語のファン 風扇嗡嗡作響 " * 9,
    "emoji": "👩‍👩‍👧‍👦🔥🏳️‍🌈❤️👍🏽 fan 🥵",
    "direction": "\u202eevil\u2066 \u200bzero\u200dwidth\ufeff",
    "combining": "fa\u0301n " + "\u0301" * 40,
    "other scripts": "вентилятор гудит, المروحة تطن, פנל",
    "one long word": "x" * 3000,
    "unassigned": "\ue000\uffff\U000e0001",
}


async def test_typed_note_is_sent_as_it_is_and_the_line_is_free_again() -> None:
    desk = PlayedDesk(HUMMING)
    async with running(desk) as screen:
        await screen.press(*"fan hums", "enter")
        assert desk.said == ["fan hums"]
        assert screen.app.query_one(NoteLine).value == ""
        assert "YOU fan hums" in screen.text()


async def test_letters_and_digits_never_leave_the_line() -> None:
    async with running(PlayedDesk(HUMMING)) as screen:
        await screen.press(*"qQyYnN0123456789 /?")
        assert screen.app.query_one(NoteLine).value == "qQyYnN0123456789 /?"


async def test_up_recalls_earlier_notes_and_down_brings_back_what_was_being_typed() -> None:
    async with running(PlayedDesk(HUMMING)) as screen:
        for note in ("first", "second", "second"):
            await screen.say(note)
        line = screen.app.query_one(NoteLine)
        await screen.press(*"half", "up")
        assert line.value == "second"
        await screen.press("up", "up")
        assert line.value == "first"
        await screen.press("down", "down", "down")
        assert line.value == "half"


async def test_escape_clears_the_line() -> None:
    async with running(PlayedDesk(HUMMING)) as screen:
        await screen.press(*"oops", "escape")
        assert screen.app.query_one(NoteLine).value == ""


@pytest.mark.parametrize("size", SIZES, ids=lambda size: "{}x{}".format(*size))
async def test_every_answer_and_wish_can_be_touched_and_the_line_keeps_the_focus(size: tuple[int, int]) -> None:
    desk = PlayedDesk(HUMMING)
    async with running(desk, size) as screen:
        await screen.say("fan hums")
        desk.said.clear()
        for touch in ANSWERS:
            await screen.pilot.click(f"#touch-{touch.id}")
            await screen.settle()
        for touch in WISHES:
            if size[0] < 72:
                await screen.pilot.click("#touch-more")
                await screen.settle()
            await screen.pilot.click(f"#touch-{touch.id}")
            await screen.settle()
        assert desk.said == [touch.note for touch in (*ANSWERS, *WISHES)]
        assert screen.app.focused is screen.app.query_one(NoteLine)


async def test_function_keys_send_the_wishes_and_keep_what_is_being_typed() -> None:
    desk = PlayedDesk(HUMMING)
    async with running(desk) as screen:
        await screen.press(*"half", *(touch.key.lower() for touch in WISHES))
        assert desk.said == [touch.note for touch in WISHES]
        assert screen.app.query_one(NoteLine).value == "half"


async def test_touching_a_panel_leaves_the_focus_in_the_line() -> None:
    async with running(PlayedDesk(HUMMING), (130, 40)) as screen:
        for panel in ("#now", "#talk", "#suspects", "#power", "#heard"):
            await screen.pilot.click(panel)
            assert screen.app.focused is screen.app.query_one(NoteLine)


async def test_yes_and_no_are_off_when_nothing_is_asked() -> None:
    desk = PlayedDesk(CLOSED)
    async with running(desk) as screen:
        await screen.say("finish")
        await screen.pilot.click("#touch-yes")
        await screen.settle()
        assert desk.said == ["finish"]
        assert "CLOSED The visit is closed." in screen.flat()


async def test_an_answer_that_changes_nothing_to_do_brings_the_words_to_a_narrow_screen() -> None:
    async with running(PlayedDesk(HUMMING, WHY, ASKED_BACK), (40, 20)) as screen:
        await screen.say("fan hums")
        assert "explains the humming" not in screen.flat()
        await screen.press("f4")
        assert "explains the humming best" in screen.flat()
        await screen.say("0.9")
        assert "ANSWER FIRST 0.9 ohm or 0.9 kilo-ohm?" in screen.flat()


@pytest.mark.parametrize("size", SIZES, ids=lambda size: "{}x{}".format(*size))
@pytest.mark.parametrize("note", NASTY.values(), ids=NASTY.keys())
async def test_nothing_said_can_spoil_the_screen(size: tuple[int, int], note: str) -> None:
    desk = EchoDesk()
    async with running(desk, size) as screen:
        await screen.say(note)
        for _ in range(6):
            assert screen.widths() == {size[0]}
            assert len(screen.strips()) == size[1]
            assert not any(character < " " for character in screen.text().replace("\n", ""))
            await screen.press("f2")
        assert desk.said == [note]


async def test_brackets_are_shown_as_they_were_said() -> None:
    async with running(EchoDesk(), (130, 40)) as screen:
        await screen.say("reads [OL] not [bold]1[/bold]")
        assert screen.text().count("reads [OL] not [bold]1[/bold]") >= 3


async def test_a_paste_of_100_kb_is_cut_told_and_sent_whole_up_to_there() -> None:
    desk = PlayedDesk(HUMMING)
    async with running(desk, (130, 40)) as screen:
        screen.app.query_one(NoteLine).post_message(events.Paste("line one\nline two [b]\x1b[2J\n" * 4000))
        await screen.settle()
        assert f"[i] NOTICE A note takes {LONGEST:,} characters" in screen.flat()
        assert screen.widths() == {130}
        await screen.press("enter")
        assert len(desk.said[0]) == LONGEST
        assert desk.said[0].startswith("line one line two [b][2J line one")
        assert "characters in all" in screen.flat()


async def test_the_log_on_the_screen_stays_short_in_a_long_visit() -> None:
    desk = PlayedDesk(WHY)
    async with running(desk) as screen:
        for number in range(150):
            screen.app.visit_screen.action_say(f"note {number}")
        await screen.settle()
        assert desk.said == [f"note {number}" for number in range(150)]
        assert len(screen.app.query("#talk > Static")) <= 200
        assert "YOU note 149" in screen.text()

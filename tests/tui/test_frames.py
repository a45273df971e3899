"""Whole screens as text. Look at a changed golden as a technician would: in the sun, at arm's length."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from assistant.dialogue.reply import Reply
from tests.plain.invented_visit import GROUNDED, HUMMING, READY, REPAIR, PlayedDesk

from .screen import SIZES, running

Golden = Callable[[str, str], None]
STATES = {"steps": HUMMING, "stops": GROUNDED, "check": READY, "repair": REPAIR}


@pytest.mark.parametrize("size", SIZES, ids=lambda size: "{}x{}".format(*size))
async def test_the_first_screen_asks_for_the_complaint(golden: Golden, size: tuple[int, int]) -> None:
    async with running(size=size) as screen:
        golden("greeting_{}x{}".format(*size), screen.text())


@pytest.mark.parametrize("size", SIZES, ids=lambda size: "{}x{}".format(*size))
@pytest.mark.parametrize("state", STATES)
async def test_a_reply_fills_the_screen(golden: Golden, size: tuple[int, int], state: str) -> None:
    async with running(PlayedDesk(STATES[state]), size) as screen:
        await screen.say("fan is huming, two forty one, like my old truck")
        golden("{}_{}x{}".format(state, *size), screen.text())


@pytest.mark.parametrize(("view", "presses"), [("safety", 2), ("suspects", 3), ("readings", 4)])
async def test_the_other_views_come_by_key_on_a_narrow_screen(golden: Golden, view: str, presses: int) -> None:
    async with running(PlayedDesk(GROUNDED), (40, 20)) as screen:
        await screen.say("point four meg to ground")
        await screen.press(*["f2"] * presses)
        golden(f"view_{view}_40x20", screen.text())


@pytest.mark.parametrize("size", [(40, 20), (80, 24)], ids=lambda size: "{}x{}".format(*size))
async def test_the_keys_fit_on_one_page(golden: Golden, size: tuple[int, int]) -> None:
    async with running(size=size) as screen:
        await screen.press("f1")
        golden("keys_{}x{}".format(*size), screen.text())
        await screen.press("x")
        assert "KEYS" not in screen.text()


@pytest.mark.parametrize("reply", [HUMMING, GROUNDED], ids=["steps", "stops"])
async def test_without_colours_every_word_is_the_same_and_no_colour_is_sent(
    golden: Golden, monkeypatch: pytest.MonkeyPatch, reply: Reply
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    async with running(PlayedDesk(reply), (80, 24)) as screen:
        await screen.say("fan is huming, two forty one, like my old truck")
        golden(f"{'stops' if reply.stops else 'steps'}_80x24", screen.text())
        styles = [segment.style for strip in screen.strips() for segment in strip if segment.style]
        colours = {colour for style in styles for colour in (style.color, style.bgcolor) if colour}
        assert {colour.name for colour in colours} <= {"default"}
        assert any(style.reverse for style in styles)

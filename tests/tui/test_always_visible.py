"""Power, stops, the next safety step and the next thing are on the screen at every size and in every view."""

from __future__ import annotations

import pytest

from assistant.dialogue.wording import power_words
from tests.plain.invented_visit import FAN_CAP, GROUNDED, HUMMING, READY, STEPS, STOP, PlayedDesk

from .screen import SIZES, running

pytestmark = pytest.mark.parametrize("size", SIZES, ids=lambda size: "{}x{}".format(*size))


async def test_power_stop_step_and_check_are_visible_in_every_view(size: tuple[int, int]) -> None:
    async with running(PlayedDesk(GROUNDED), size) as screen:
        await screen.say("point four meg to ground")
        for _ in range(6):
            assert "/ ISOLATED: not proved dead" in screen.flat("#power")
            assert "Finding" in screen.flat("#power")
            assert "/!\\ DANGER STOP" in screen.flat("#stops")
            assert STOP.say in screen.flat("#stops")
            shown = screen.flat("#now")
            assert STEPS[0].spoken in shown or "Thermostat off, then open" in shown
            assert "fan capacitor, C to FAN" in shown or "capacitor from C to" in shown
            await screen.press("f2")


async def test_every_panel_can_be_reached_by_the_view_key(size: tuple[int, int]) -> None:
    wanted = {"head pressure rises", "38.1 µF <LOW>", "Because: compressor C to", "YOU point four meg"}
    async with running(PlayedDesk(GROUNDED), size) as screen:
        await screen.say("point four meg")
        seen = set()
        for _ in range(6):
            for key in ("f9", "f9", *["f10"] * 8):
                flat = screen.flat()
                seen |= {words for words in wanted if words in flat}
                await screen.press(key)
            await screen.press("f2")
        assert seen == wanted


async def test_each_power_state_reads_in_words(size: tuple[int, int]) -> None:
    for power in ("unknown", "live", "isolated", "proved dead", "charge removed"):
        async with running(PlayedDesk(READY.model_copy(update={"power": power})), size) as screen:
            await screen.say("next")
            symbol, word, meaning = power_words(power)
            assert screen.text().split("\n")[0].strip().startswith(f"{symbol} {word}")
            assert meaning in screen.text().split("\n")[0]


async def test_the_last_note_is_read_back_beside_the_line(size: tuple[int, int]) -> None:
    async with running(PlayedDesk(HUMMING), size) as screen:
        await screen.say("fan is huming")
        assert "HEARD (?) SPELLING fan: humming" in screen.flat()


async def test_limits_stand_with_their_unit_beside_a_check(size: tuple[int, int]) -> None:
    async with running(PlayedDesk(READY), size) as screen:
        await screen.say("discharged")
        assert "GOOD 4.7 to 5.3 µF" in screen.flat()
        assert FAN_CAP.name in screen.flat() or "capacitor from C to" in screen.flat()


async def test_no_percentages_are_shown_for_suspects(size: tuple[int, int]) -> None:
    async with running(PlayedDesk(HUMMING), size) as screen:
        await screen.say("fan is huming")
        for _ in range(6):
            assert "71" not in screen.text()
            assert "%" not in screen.text()
            await screen.press("f2")


async def test_touch_keys_are_three_rows_high_and_lie_on_the_screen(size: tuple[int, int]) -> None:
    async with running(PlayedDesk(HUMMING), size) as screen:
        await screen.say("fan is huming")
        for _ in range(2):
            keys = [key for key in screen.app.query(".touch") if key.display and key.region]
            assert {key.region.height for key in keys} == {3}
            assert all(key.region.right <= size[0] and key.region.width >= 5 for key in keys)
            await screen.press("f2")


async def test_a_long_announcement_leaves_the_next_thing_on_the_screen(size: tuple[int, int]) -> None:
    words = "The visit goes on. Nobody knows what happened to the power: it is unknown until proved again."
    async with running(PlayedDesk(GROUNDED.model_copy(update={"reply": f"WARNING: {words}"})), size) as screen:
        await screen.say("going on")
        shown = screen.flat("#now")
        assert "/!\\ WARNING" in shown
        assert "fan capacitor, C to FAN" in shown or "capacitor from C to" in shown
        assert words in shown or "2 to read: F2" in shown

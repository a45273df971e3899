"""The README picture is drawn from a real visit, and a viewer fetches nothing for it."""

from __future__ import annotations

from xml.etree import ElementTree as ET

from assistant.tui.picture import picture


async def test_the_picture_shows_power_step_and_check_and_loads_nothing() -> None:
    drawn = await picture()
    words = " ".join("".join(ET.fromstring(drawn).itertext()).replace("\xa0", " ").split())  # noqa: S314
    for part in ("ISOLATED: not proved dead", "DO FIRST", "THEN CHECK", "HEARD", "Suspects", "Readings"):
        assert part in words
    assert "url(" not in drawn.replace("url(#", "")
    assert "<circle" not in drawn


async def test_the_same_visit_gives_the_same_picture() -> None:
    assert await picture() == await picture()

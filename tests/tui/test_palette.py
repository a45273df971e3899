"""Contrast of every ink on its ground, by the formula of WCAG 2.x (relative luminance, contrast ratio)."""

from __future__ import annotations

import pytest
from textual.theme import Theme

from assistant.tui.palette import THEMES, other

ENHANCED = 7.0
"""WCAG 2.2, success criterion 1.4.6 (from memory, not opened)."""


def luminance(colour: str) -> float:
    channels = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return sum(weight * part for weight, part in zip((0.2126, 0.7152, 0.0722), linear, strict=True))


def contrast(one: str, two: str) -> float:
    light, dark = sorted((luminance(one), luminance(two)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_the_formula_gives_the_known_ratios() -> None:
    """Black on white is 21 : 1 by definition; #767676 on white is the usual example just over 4.5 : 1."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
def test_every_ink_stands_out_from_its_ground(theme: Theme) -> None:
    grounds = [name for name in theme.variables if name.endswith("-ground")]
    assert len(grounds) == 7
    pairs = [(theme.variables[name], theme.variables[name.replace("-ground", "-ink")]) for name in grounds]
    pairs += [(theme.foreground or "", theme.background or ""), (theme.variables["edge"], theme.background or "")]
    for ground, ink in pairs:
        assert contrast(ground, ink) >= ENHANCED, (ground, ink)


def test_the_themes_name_the_same_variables_and_swap() -> None:
    one, two = THEMES
    assert one.variables.keys() == two.variables.keys()
    assert (other(one.name), other(two.name)) == (two.name, one.name)

"""Two themes of high contrast: black on white for sunlight, white on black for the night.

Signal colours follow ANSI Z535.1 / ISO 3864-4 in spirit (red, orange, blue; from memory, not opened), always
beside the word. Each ink stands at least 7 : 1 on its ground, the enhanced contrast of WCAG 2.2, 1.4.6.
"""

from __future__ import annotations

from textual.theme import Theme

SUNLIGHT = "sunlight"
NIGHT = "night"

_SIGNALS = {
    "danger-ground": "#a80000",
    "danger-ink": "#ffffff",
    "warning-ground": "#ff9500",
    "warning-ink": "#000000",
    "notice-ground": "#003c9e",
    "notice-ink": "#ffffff",
}

THEMES = (
    Theme(
        name=SUNLIGHT,
        dark=False,
        primary="#000000",
        foreground="#000000",
        background="#ffffff",
        surface="#ffffff",
        panel="#ffffff",
        text_alpha=1.0,
        variables=_SIGNALS
        | {
            "caution-ground": "#404040",
            "caution-ink": "#ffffff",
            "safe-ground": "#00501e",
            "safe-ink": "#ffffff",
            "key-ground": "#000000",
            "key-ink": "#ffffff",
            "off-ground": "#ffffff",
            "off-ink": "#595959",
            "edge": "#000000",
        },
    ),
    Theme(
        name=NIGHT,
        dark=True,
        primary="#ffffff",
        foreground="#ffffff",
        background="#000000",
        surface="#000000",
        panel="#000000",
        text_alpha=1.0,
        variables=_SIGNALS
        | {
            "caution-ground": "#ffd900",
            "caution-ink": "#000000",
            "safe-ground": "#7dffa8",
            "safe-ink": "#000000",
            "key-ground": "#e4e4e4",
            "key-ink": "#000000",
            "off-ground": "#000000",
            "off-ink": "#9e9e9e",
            "edge": "#ffffff",
        },
    ),
)


def other(theme: str) -> str:
    """Return the theme that is not in use."""
    return NIGHT if theme == SUNLIGHT else SUNLIGHT

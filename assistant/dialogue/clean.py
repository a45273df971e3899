"""Text that is safe to put on a terminal, whatever was typed, pasted or heard."""

from __future__ import annotations

import unicodedata
from typing import Any

from assistant.dialogue.reply import Reply


def clean(text: str) -> str:
    """Return text that cannot move the cursor, change direction or upset column counts.

    Control and format characters, variation selectors and lone surrogates go; line ends stay.
    """
    if text.isascii() and text.isprintable():
        return text
    normal = unicodedata.normalize("NFC", text).replace("\r\n", "\n").replace("\t", " ")
    return "".join(map(_clean_character, normal))


def cleaned(reply: Reply) -> Reply:
    """Return the reply with every text in it cleaned."""
    return Reply.model_validate(_clean_data(reply.model_dump()))


def _clean_character(character: str) -> str:
    if character == "\n":
        return character
    if "\ufe00" <= character <= "\ufe0f":
        return ""
    category = unicodedata.category(character)
    if category in {"Cc", "Cf"}:
        return ""
    if category in {"Zl", "Zp"}:
        return "\n"
    return "\ufffd" if category in {"Cs", "Cn", "Co"} else character


def _clean_data(value: Any) -> Any:
    if isinstance(value, str):
        return clean(value)
    if isinstance(value, dict):
        return {key: _clean_data(part) for key, part in value.items()}
    if isinstance(value, (list, tuple)):
        return tuple(_clean_data(part) for part in value)
    return value

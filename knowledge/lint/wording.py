"""Rules about sentences: they end, they fit, they stay plain."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple

from knowledge.base import KnowledgeBase
from knowledge.reader import Loc

from .files import read_style
from .rule import Finding, Rule, Severity

SPOKEN = "spoken"
SENTENCES: dict[str, tuple[str, ...]] = {
    "check": ("say", SPOKEN, "why"),
    "fault": ("why",),
    "repair": ("steps", "also"),
    "step": ("say", SPOKEN),
    "caution": ("text", SPOKEN),
    "stop": ("text", SPOKEN),
    "close_out": ("ask", SPOKEN),
    "plate_item": ("ask",),
    "wait": ("text",),
}
"""Kind of entry -> its fields that are whole sentences."""
NAMES: dict[str, tuple[str, ...]] = {
    "repair": ("name", "done", "specify"),
    "check": ("name",),
    "fault": ("name",),
    "limit": ("shown", "validity"),
}
"""Fields that are shown as they are, but are no sentences."""


class Sentence(NamedTuple):
    kind: str
    id: str
    loc: Loc
    text: str


def sentences(kb: KnowledgeBase, fields: dict[str, tuple[str, ...]]) -> Iterator[Sentence]:
    """Yield the texts of those fields; a field that holds several gives one each."""
    lists = {
        "check": kb.checks,
        "fault": kb.faults,
        "repair": kb.repairs,
        "step": kb.steps,
        "caution": kb.cautions,
        "stop": kb.stops,
        "close_out": kb.close_out,
        "plate_item": kb.plate_items,
        "wait": kb.waits,
        "limit": kb.limits,
    }
    for kind, names in fields.items():
        for entry_id, entry in lists[kind].items():
            for name in names:
                value = getattr(entry, name)
                if isinstance(value, str):
                    yield Sentence(kind, entry_id, (name,), value)
                else:
                    yield from (Sentence(kind, entry_id, (name, nth), text) for nth, text in enumerate(value))


class FullStop(Rule):
    """A sentence begins with a capital or a figure and ends with a full stop or question mark."""

    name = "full-stop"
    severity = Severity.LOW

    def check(self, kb: KnowledgeBase) -> Iterator[Finding]:
        """Yield sentences that do not begin or end."""
        for kind, entry_id, loc, text in sentences(kb, SENTENCES):
            if not text.endswith((".", "?")):
                message = f"{loc[0]} must end with a full stop or question mark"
                yield self.at(kb, kind, entry_id, message, *loc)
            if text[0].islower():
                yield self.at(kb, kind, entry_id, f"{loc[0]} must begin with a capital", *loc)


class FitsScreen(Rule):
    """Instructions fit a small screen, spoken forms fit a breath."""

    name = "fits-screen"
    severity = Severity.MEDIUM

    def check(self, kb: KnowledgeBase) -> Iterator[Finding]:
        """Yield texts that are too long."""
        style = read_style(kb.root)
        for kind, entry_id, loc, text in sentences(kb, SENTENCES):
            most = style.spoken_max if loc[0] == SPOKEN else style.say_max
            if len(text) > most:
                yield self.at(kb, kind, entry_id, f"{loc[0]} has {len(text)} letters, at most {most}", *loc)
            words = len(text.split())
            if loc[0] == SPOKEN and words > style.spoken_words_max:
                message = f"spoken has {words} words, at most {style.spoken_words_max}"
                yield self.at(kb, kind, entry_id, message, *loc)


class PlainWords(Rule):
    """No advertising words."""

    name = "plain-words"
    severity = Severity.MEDIUM

    def check(self, kb: KnowledgeBase) -> Iterator[Finding]:
        """Yield texts with a word that sells instead of telling."""
        banned = read_style(kb.root).banned
        pattern = re.compile(rf"\b({'|'.join(map(re.escape, banned))})\b", re.IGNORECASE)
        for kind, entry_id, loc, text in (*sentences(kb, SENTENCES), *sentences(kb, NAMES)):
            for word in pattern.findall(text):
                yield self.at(kb, kind, entry_id, f"{loc[0]} has the advertising word {word!r}", *loc)


RULES: tuple[Rule, ...] = (FullStop(), FitsScreen(), PlainWords())

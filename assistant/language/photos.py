"""Photographs named by their path: "photo IMG_12.jpg of the burnt wire".

Read before anything else of the note, because a file name is no reading. The caption is read too: a burnt wire in a
photograph is a burnt wire. What it shows is a thing, though, and nothing that was done.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from knowledge.base import KnowledgeBase

from .models import Heard, Kind


@dataclass(frozen=True, slots=True)
class Photos:
    """The photographs found, and the note without their names (same length)."""

    items: tuple[Heard, ...]
    rest: str
    without_captions: str
    """The note without names and captions (same length)."""


def find_photos(text: str, kb: KnowledgeBase) -> Photos:
    """Return every photograph named in a cleaned note, each with its caption up to the end of the clause."""
    items: list[Heard] = []
    rest = bare = text
    for found in _pattern(kb.particles.photo, kb.particles.photo_files, kb.particles.clause).finditer(text):
        start, whole = found.span()
        end = found.end("of") if found["of"] else found.end("name")
        said = text[start:whole].rstrip()
        path = found["quoted"] or found["plain"]
        items.append(Heard(Kind.PHOTO, said, start, start + len(said), text=path))
        rest = _blank(rest, start, end)
        bare = _blank(bare, start, whole)
    return Photos(tuple(items), rest, bare)


def caption_of(photo: Heard) -> str:
    """Return what a photograph is said to show; empty where that was not said."""
    behind = photo.said.partition(photo.text or "")[2].strip('" :-')
    return re.sub(r"^(?:of|shows?|showing)\s+", "", behind, flags=re.IGNORECASE)


def _blank(text: str, start: int, end: int) -> str:
    return text[:start] + " " * (end - start) + text[end:]


@lru_cache(maxsize=4)
def _pattern(words: tuple[str, ...], files: tuple[str, ...], clause: tuple[str, ...]) -> re.Pattern[str]:
    names = "|".join(re.escape(word) for word in sorted(words, key=len, reverse=True))
    next_said = "|".join(re.escape(word) for word in clause)
    kinds = "|".join(re.escape(kind) for kind in files)
    path = rf"""(?:"(?P<quoted>[^"\n]+\.(?:{kinds}))"|(?P<plain>[^\s"',;]+\.(?:{kinds})))"""
    return re.compile(
        rf"(?P<name>(?:\band\s+)?(?:\b(?:{names})\b[\s:,-]{{1,3}})?{path})"
        rf"(?:(?:(?P<of>\s+(?:of|shows?|showing)\b)|(?!\s+(?:{next_said})\b))"
        rf"(?P<caption>(?:(?!\s+\S+\.(?:{kinds}))[^.,;!?\n])*))?",
        re.IGNORECASE,
    )

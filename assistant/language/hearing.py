"""What the recogniser was not sure of: items that stand on a doubtful word are marked, nothing is dropped for it."""

from __future__ import annotations

import re
from dataclasses import replace

from .models import Context, Doubt, Heard
from .work import in_order

SURE = 0.6
"""Below this confidence (0..1) a word or note counts as doubtful: read back, and never enough for a safety step.

No source: set between what recognisers give clear speech (0.8 to 1) and what they give noise (below 0.5).
"""

_WORD = re.compile(r"\S+")


def doubted(items: list[Heard], text: str, context: Context) -> list[Heard]:
    """Return the items with ``Doubt.MISHEARD`` where the recogniser doubted what they stand on."""
    if not context.spoken:
        return items
    if context.confidence < SURE:
        return [_misheard(item) for item in items]
    weak = _weak_spans(text, context)
    return [_misheard(item) if any(s < item.end and item.start < e for s, e in weak) else item for item in items]


def _weak_spans(text: str, context: Context) -> list[tuple[int, int]]:
    """Return the character spans of the doubtful words; none where the words cannot be told apart."""
    words = list(_WORD.finditer(text))
    if len(words) != len(context.word_confidence):
        return []
    return [word.span() for word, sure in zip(words, context.word_confidence, strict=True) if sure < SURE]


def _misheard(item: Heard) -> Heard:
    options = tuple(replace(one, doubts=in_order([*one.doubts, Doubt.MISHEARD])) for one in item.options)
    return replace(item, doubts=in_order([*item.doubts, Doubt.MISHEARD]), options=options)

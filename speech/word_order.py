"""Which token follows which in the lesson's notes: counted, and written as a back-off trigram model.

Smoothed after Witten and Bell (1991): what was seen behind a history is trusted the less, the more different tokens
were seen there. Made-up notes are a small sample of what may be said; which part came along with which state in it
says little.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

_ORDER = 3
_FLOOR = -99.0
"""Log of a chance of none, as the form writes it."""
_BEGIN = "<s>"

Gram = tuple[str, ...]


def write_word_order(sentences: Iterable[str], path: Path) -> None:
    """Write the model of some sentences (tokens parted by spaces) in the ARPA form."""
    counts = _counted(sentences)
    chances: list[dict[Gram, float]] = []
    rests: list[dict[Gram, float]] = []
    for order in range(1, _ORDER + 1):
        found, rest = _smoothed(counts[order - 1], chances[-1] if chances else {})
        chances.append(found)
        rests.append(rest)
    path.write_text("\n".join(_lines(chances, rests)) + "\n", encoding="utf-8")


def _counted(sentences: Iterable[str]) -> list[Counter[Gram]]:
    counts: list[Counter[Gram]] = [Counter() for _ in range(_ORDER)]
    for sentence, times in Counter(sentences).items():
        tokens = (_BEGIN, *sentence.split(), "</s>")
        for order, grams in enumerate(counts, start=1):
            for start in range(len(tokens) - order + 1):
                grams[tokens[start : start + order]] += times
    return counts


def _smoothed(counts: Mapping[Gram, int], shorter: Mapping[Gram, float]) -> tuple[dict[Gram, float], dict[Gram, float]]:
    """Return the chance of every gram behind its history, and the share left to shorter histories."""
    times: Counter[Gram] = Counter()
    kinds: Counter[Gram] = Counter()
    for gram, count in counts.items():
        if gram != (_BEGIN,):  # it stands in front of every sentence and follows nothing
            times[gram[:-1]] += count
            kinds[gram[:-1]] += 1
    rest = {history: kinds[history] / (times[history] + kinds[history]) for history in times}
    even = 1 / max(len(counts) - 1, 1)
    found = {}
    for gram, count in counts.items():
        history = gram[:-1]
        left = rest[history]
        behind = shorter[gram[1:]] if shorter else even
        found[gram] = 0.0 if gram == (_BEGIN,) else (1 - left) * count / times[history] + left * behind
    return found, rest


def _lines(chances: list[dict[Gram, float]], rests: list[dict[Gram, float]]) -> Iterator[str]:
    yield "\\data\\"
    for order, found in enumerate(chances, start=1):
        yield f"ngram {order}={len(found)}"
    for order, found in enumerate(chances, start=1):
        yield f"\n\\{order}-grams:"
        for gram in sorted(found):
            line = f"{_log(found[gram]):.4f} {' '.join(gram)}"
            yield line if order == _ORDER else f"{line} {_log(rests[order].get(gram, 1.0)):.4f}"
    yield "\n\\end\\"


def _log(chance: float) -> float:
    return math.log10(chance) if chance > 0 else _FLOOR

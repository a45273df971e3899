"""Which token follows which in the lesson's notes: counted, and written as a back-off trigram model."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from itertools import pairwise
from pathlib import Path

from pocketsphinx.lm import ArpaBoLM

_DISCOUNT = 0.2
"""Share of what was seen behind a token that is kept for what was not seen there."""


def write_word_order(sentences: Iterable[str], path: Path) -> None:
    """Write the model of some sentences (tokens parted by spaces) in the ARPA form.

    The library's model is filled with counts: its own reader takes most of the time of a first start.
    """
    model = ArpaBoLM(add_start=True, discount_mass=_DISCOUNT)
    seen: Counter[tuple[str, str, str]] = Counter()
    pairs: Counter[tuple[str, str]] = Counter()
    for sentence, times in Counter(sentences).items():
        tokens = ("<s>", *sentence.split(), "</s>")
        for token in tokens:
            model.grams_1[token] += times
        for pair in pairwise(tokens):
            pairs[pair] += times
        for triple in zip(tokens, tokens[1:], tokens[2:], strict=False):
            seen[triple] += times
    for (one, two), times in pairs.items():
        model.grams_2[one][two] = times
    for (one, two, three), times in seen.items():
        model.grams_3[one][two][three] = times
    model.compute()
    model.write_file(str(path))

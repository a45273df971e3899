"""Rules about names and phrases: one name means one thing, also to a loose ear."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import combinations

import numpy as np
from rapidfuzz.distance import OSA
from rapidfuzz.process import cdist

from knowledge.base import KnowledgeBase
from knowledge.models.entry import Entry
from knowledge.reader import Loc
from knowledge.references import SECTIONS, entries

from .files import read_style
from .rule import Finding, Rule, Severity

PHRASED = ("subject", "intent", "complaint", "plate_item")
"""Kinds whose phrases must mean one entry only. States share phrases and are told apart by their subject."""


EXACT = ("refrigerant",)
"""Kinds whose names a standard gives and that are only ever matched letter by letter."""


class NameTwice(Rule):
    """No two entries of a kind have the same name."""

    name = "name-twice"
    severity = Severity.MEDIUM

    def check(self, kb: KnowledgeBase) -> Iterator[Finding]:
        """Yield the second of two entries with one name."""
        for kind in SECTIONS:
            first: dict[str, str] = {}
            for entry_id, name in _names(entries(kb, kind)):
                if name in first:
                    yield self.at(kb, kind, entry_id, f"has the same name as {first[name]!r}", "name")
                first.setdefault(name, entry_id)


def _names(found: Mapping[str, object]) -> Iterator[tuple[str, str]]:
    for entry_id, entry in found.items():
        name = getattr(entry, "name", None)
        if isinstance(name, str):
            yield entry_id, name.casefold()


class PhraseForm(Rule):
    """A phrase is lower case, trimmed, and stands once in its entry; every subject and state has one."""

    name = "phrase-form"
    severity = Severity.HIGH

    def check(self, kb: KnowledgeBase) -> Iterator[Finding]:
        """Yield phrases that the parser would never meet, and entries without any."""
        for kind in (*PHRASED, "state"):
            for entry_id, phrases in _phrases(kb, kind).items():
                if not phrases and not getattr(entries(kb, kind)[entry_id], "acts", ()):
                    yield self.at(kb, kind, entry_id, "has no phrases", "phrases")
                for nth, phrase in enumerate(phrases):
                    if phrase != " ".join(phrase.lower().split()):
                        message = f"phrase {phrase!r} must be lower case with single spaces"
                        yield self.at(kb, kind, entry_id, message, "phrases", nth)
                    if phrase in phrases[:nth]:
                        yield self.at(kb, kind, entry_id, f"phrase {phrase!r} stands twice", "phrases", nth)


class PhraseUnique(Rule):
    """A phrase means one subject, complaint, plate item or intent of a kind; two states only of different subjects."""

    name = "phrase-unique"
    severity = Severity.HIGH

    def check(self, kb: KnowledgeBase) -> Iterator[Finding]:
        """Yield phrases of two entries of a kind."""
        for kind in PHRASED:
            owner: dict[tuple[str, str], str] = {}
            for entry_id, phrases in _phrases(kb, kind).items():
                sort = getattr(entries(kb, kind)[entry_id], "kind", "")  # a repair done may also mean power on
                for nth, phrase in enumerate(phrases):
                    first = owner.setdefault((sort, phrase), entry_id)
                    if first != entry_id:
                        message = f"phrase {phrase!r} also means {first!r}"
                        yield self.at(kb, kind, entry_id, message, "phrases", nth)
        for one, second in combinations(kb.states.values(), 2):
            if set(one.subjects) & set(second.subjects) or not (one.subjects or second.subjects):
                for phrase in sorted(set(one.phrases) & set(second.phrases)):
                    message = f"phrase {phrase!r} also means {one.id!r} of the same subjects"
                    yield self.at(kb, "state", second.id, message, "phrases", second.phrases.index(phrase))


class NearNames(Rule):
    """Names, and phrases that mean one entry only, are more than a slip of a letter apart within their kind."""

    name = "near-names"
    severity = Severity.MEDIUM

    def check(self, kb: KnowledgeBase) -> Iterator[Finding]:
        """Yield pairs of names or phrases that a loose ear may confuse."""
        style = read_style(kb.root)
        for kind in SECTIONS:
            if kind in EXACT:
                continue
            owned = list(_heard(kb, kind))
            texts = [text for text, _, _ in owned]
            distances = cdist(texts, texts, scorer=OSA.distance, score_cutoff=style.near_edits)
            for first, second in np.argwhere(np.triu(distances <= style.near_edits, k=1)):
                (one, owner, _), (other, entry_id, loc) = owned[first], owned[second]
                if owner != entry_id and one != other and not _told_apart(one, other, style.near_letters):
                    yield self.at(kb, kind, entry_id, f"{other!r} is close to {one!r} of {owner!r}", *loc)


def _heard(kb: KnowledgeBase, kind: str) -> Iterator[tuple[str, str, Loc]]:
    for entry_id, name in _names(entries(kb, kind)):
        yield name, entry_id, ("name",)
    if kind in PHRASED:
        for entry_id, phrases in _phrases(kb, kind).items():
            yield from ((phrase, entry_id, ("phrases", nth)) for nth, phrase in enumerate(phrases))


def _told_apart(one: str, other: str, letters: int) -> bool:
    """Return whether the words that differ are short on purpose, as in ``fuse 1`` and ``fuse 2``."""
    words, others = one.split(), other.split()
    if len(words) != len(others):
        return min(len(one), len(other)) < letters
    return all(min(len(a), len(b)) < letters for a, b in zip(words, others, strict=True) if a != b)


def _phrases(kb: KnowledgeBase, kind: str) -> dict[str, tuple[str, ...]]:
    found: dict[str, tuple[str, ...]] = {}
    for entry_id, entry in entries(kb, kind).items():
        if isinstance(entry, Entry):
            found[entry_id] = tuple(getattr(entry, "phrases", ()))
    return found


RULES: tuple[Rule, ...] = (NameTwice(), PhraseForm(), PhraseUnique(), NearNames())

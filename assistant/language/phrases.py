"""Marking: which runs of a note's tokens are phrases of the vocabulary, numbers or unknown words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from .numbers import Number, find_numbers
from .roles import CONTENT, Meaning, Role
from .tokens import Token, TokenKind
from .vocabulary import Vocabulary

_MOST_FILLERS = 2
"""Small words that may stand between two words of a phrase: across the coil, pulled it out."""


@dataclass(frozen=True, slots=True, eq=False)
class Mark:
    """A run of tokens and the parts it can play; every mark is itself only."""

    first: int
    last: int
    """Token index behind the run."""
    roles: dict[Role, tuple[str, ...]]
    loose: bool = False
    """A word of it was matched loosely."""
    number: Number | None = None
    tied: bool = False
    """Two near-equal spellings led to different meanings."""

    def has(self, role: Role) -> bool:
        return role in self.roles

    def ids(self, role: Role) -> tuple[str, ...]:
        return self.roles.get(role, ())

    @property
    def small(self) -> bool:
        """True where the run may also be a small word without meaning."""
        return Role.FILLER in self.roles

    @property
    def negates(self) -> bool:
        """True for a plain "not" or "no", whether or not it could also stand alone as an answer."""
        return Role.NEGATION in self.roles and _OWN_MEANING.isdisjoint(self.roles)

    @property
    def content(self) -> bool:
        """True where the run must mean something: a word of the trade, a number, or an unknown word."""
        return not self.small and not CONTENT.isdisjoint(self.roles)


_OWN_MEANING = frozenset({Role.SUBJECT, Role.STATE, Role.COMPLAINT, Role.NUMBER, Role.ZERO, Role.OVER_LIMIT})


@dataclass(frozen=True, slots=True)
class _Candidate:
    first: int
    last: int
    meanings: tuple[Meaning, ...]
    words: int
    skipped: int
    loose: int
    weight: int
    """Letters of the words that are more than small words: "on cool" outweighs "is on"."""
    sounded: bool = False
    """A number was taken for a small word."""


def mark(
    tokens: Sequence[Token], vocabulary: Vocabulary, *, without: frozenset[Role] = frozenset()
) -> tuple[Mark, ...]:
    """Return marks that cover every token once, in order; phrases that only play a left-out role do not count."""
    guarded = _guarded(tokens, vocabulary)
    candidates = [
        replace(found, meanings=meanings)
        for place in range(len(tokens))
        for found in _from(tokens, place, vocabulary, guarded)
        for meanings in [_meanings(found, tokens, vocabulary, without)]
        if meanings
    ]
    candidates += _pairs_of_points(candidates, tokens, vocabulary)
    taken = [False] * len(tokens)
    marks: list[Mark] = []
    longer = [c for c in candidates if c.words > 1 and not _cuts_number(c, tokens, vocabulary)]
    _choose(
        [c for c in longer if not all(m.role is Role.RANGE_OPEN for m in c.meanings)], vocabulary, tokens, taken, marks
    )
    for number in find_numbers(tokens, taken, vocabulary):
        marks.append(Mark(number.first, number.last, {Role.NUMBER: ()}, number=number))
        taken[number.first : number.last] = [True] * (number.last - number.first)
    _choose([c for c in candidates if c.words == 1], vocabulary, tokens, taken, marks)
    for place, token in enumerate(tokens):
        if not taken[place]:
            marks.append(Mark(place, place + 1, _plain_roles(token, vocabulary)))
    return _without_counts(sorted(marks, key=lambda found: found.first), tokens)


def _pairs_of_points(
    found: Sequence[_Candidate], tokens: Sequence[Token], vocabulary: Vocabulary
) -> Iterator[_Candidate]:
    """Yield two test points named as such, beside a curated name of the same words that is not read in volts."""
    curated: dict[tuple[int, int], list[_Candidate]] = {}
    for one in found:
        if any(meaning.role is Role.SUBJECT for meaning in one.meanings):
            curated.setdefault((one.first, one.last), []).append(one)
    for first, last, subjects in vocabulary.point_names.pairs(tokens):
        named = curated.get((first, last), [])
        listed = [vocabulary.kb.subjects[m.id] for one in named for m in one.meanings if m.role is Role.SUBJECT]
        volts = {q for subject in subjects for q in vocabulary.kb.subjects[subject].quantities}
        if any(volts & set(subject.quantities) for subject in listed):
            continue
        words = max((one.words for one in named), default=last - first)
        weight = sum(len(t.word) for t in tokens[first:last] if t.word not in vocabulary.light)
        meanings = tuple(Meaning(Role.SUBJECT, subject) for subject in subjects)
        yield _Candidate(first, last, meanings, words, 0, 0, weight)


def _without_counts(marks: list[Mark], tokens: Sequence[Token]) -> tuple[Mark, ...]:
    """Read "one wire", "two fuses" as a count, not as a value of the part."""
    for place, (found, behind) in enumerate(pairwise(marks)):
        number = found.number
        if number is None or number.units or number.high is not None or number.partner or len(number.values) != 1:
            continue
        word = tokens[behind.last - 1].raw.casefold()
        counted = (number.in_words and number.values == (1.0,)) or word.endswith("s")
        if behind.has(Role.SUBJECT) and counted and number.values[0] in range(1, 10):
            marks[place] = Mark(found.first, found.last, {Role.FILLER: ()})
    return tuple(marks)


def _meanings(
    candidate: _Candidate, tokens: Sequence[Token], vocabulary: Vocabulary, without: frozenset[Role]
) -> tuple[Meaning, ...]:
    """Return what the phrase can mean here; longer whole answers such as "it is" only where they stand alone."""
    alone = candidate.words == 1 or _is_alone(candidate, tokens, vocabulary)
    return tuple(
        meaning
        for meaning in candidate.meanings
        if meaning.role not in without
        and (not candidate.sounded or meaning.role is Role.SUBJECT)
        and (alone or meaning.role is not Role.INTENT or meaning.id not in vocabulary.whole_notes)
    )


def _is_alone(candidate: _Candidate, tokens: Sequence[Token], vocabulary: Vocabulary) -> bool:
    """True where nothing but small words stands before, and a break or nothing behind."""
    before, behind = tokens[: candidate.first], tokens[candidate.last :]
    small = all(token.word in vocabulary.fillers or token.kind is TokenKind.BREAK for token in before)
    ends = not behind or behind[0].kind is TokenKind.BREAK
    return small and (ends or all(token.word in vocabulary.fillers for token in behind))


def _plain_roles(token: Token, vocabulary: Vocabulary) -> dict[Role, tuple[str, ...]]:
    pronoun = vocabulary.kb.number_words.units.get(token.word) == 1  # "the one outside"; a number is marked before
    if pronoun or token.kind in {TokenKind.BREAK, TokenKind.SYMBOL} or token.word in vocabulary.fillers:
        return {Role.FILLER: ()}
    return {Role.UNKNOWN: ()}


def _guarded(tokens: Sequence[Token], vocabulary: Vocabulary) -> frozenset[int]:
    """Return the places of words that may not be skipped: not, will, maybe."""
    places: set[int] = set()
    for first in range(len(tokens)):
        node = vocabulary.guards
        for place in range(first, len(tokens)):
            following = node.next.get(tokens[place].word)
            if following is None:
                break
            node = following
            if node.meanings:
                places.update(range(first, place + 1))
    return frozenset(places)


def _from(tokens: Sequence[Token], first: int, vocabulary: Vocabulary, guarded: frozenset[int]) -> Iterator[_Candidate]:
    """Yield every phrase that starts with this token."""
    stack = [(vocabulary.tree, first, 0, 0, 0, False)]
    while stack:
        node, place, words, skipped, loose, sounded = stack.pop()
        if node.meanings and words:
            weight = sum(len(t.word) for t in tokens[first:place] if t.word not in vocabulary.light)
            yield _Candidate(first, place, node.meanings, words, skipped, loose, weight, sounded)
        if place >= len(tokens) or tokens[place].kind is TokenKind.BREAK:
            continue
        token = tokens[place]
        for word in token.words:
            following = node.next.get(word)
            if following is not None:
                stack.append((following, place + 1, words + 1, skipped, loose + token.loose, sounded))
        for word in vocabulary.sounds.get(token.word, ()) if words else ():
            following = node.next.get(word)
            if following is not None:
                stack.append((following, place + 1, words + 1, skipped, loose, True))
        joins = token.kind is TokenKind.SYMBOL and token.word in "-/&"
        filler = token.word in vocabulary.fillers and token.word not in vocabulary.telling_fillers
        small = filler and place not in guarded and skipped < _MOST_FILLERS
        if words and node.next and (joins or small):
            stack.append((node, place + 1, words, skipped + (not joins), loose, sounded))


def _cuts_number(candidate: _Candidate, tokens: Sequence[Token], vocabulary: Vocabulary) -> bool:
    """True where the phrase would take a word of a spoken number: two forty | one leg to ground, no one | eighteen."""
    words = vocabulary.kb.number_words
    numeric = {*words.units, *words.tens}
    if candidate.last < len(tokens) and all(meaning.role is Role.NEGATION for meaning in candidate.meanings):
        within = numeric | {*words.scales, *words.oh, *words.point}
        if tokens[candidate.last - 1].word in numeric and tokens[candidate.last].word in within:
            return True
    if candidate.first == 0:
        return False
    before, first = tokens[candidate.first - 1], tokens[candidate.first]
    return first.word in numeric and (before.word in numeric or before.word in words.point)


def _choose(
    found: list[_Candidate], vocabulary: Vocabulary, tokens: Sequence[Token], taken: list[bool], marks: list[Mark]
) -> None:
    """Take the longest phrases first, exact before loose, left before right, without overlap.

    One of small words alone gives way to any other as long, "is in" to "in the middle"; articles may stand inside.
    """
    articles = [token.word in vocabulary.kb.particles.article for token in tokens]

    def stretched(one: _Candidate) -> bool:
        return one.skipped > sum(articles[one.first : one.last])

    found.sort(key=lambda c: (-c.words, c.loose, stretched(c), not c.weight, c.skipped, -c.weight, c.first))
    spans: dict[tuple[int, int], list[_Candidate]] = {}
    for candidate in found:
        span = (candidate.first, candidate.last)
        if span in spans:
            if spans[span][0].words == candidate.words:
                spans[span].append(candidate)
            continue
        if any(taken[candidate.first : candidate.last]):
            continue
        taken[candidate.first : candidate.last] = [True] * (candidate.last - candidate.first)
        spans[span] = [candidate]
    marks.extend(_merged(span, group, tokens) for span, group in spans.items())


def _merged(span: tuple[int, int], group: list[_Candidate], tokens: Sequence[Token]) -> Mark:
    roles: dict[Role, tuple[str, ...]] = {}
    for candidate in group:
        for meaning in candidate.meanings:
            if meaning.id not in roles.get(meaning.role, ()):
                roles[meaning.role] = (*roles.get(meaning.role, ()), meaning.id)
    loose = any(token.loose for token in tokens[span[0] : span[1]])
    return Mark(*span, roles, loose, tied=loose and len(group) > 1)

"""Two test points named as such: "t1 to compressor c", "between l1 and t2". Curated names of a pair go first."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import product

from knowledge.base import KnowledgeBase
from knowledge.models.unit import UnitKind
from knowledge.points import GROUND, is_pair, pair_check_id, pair_id

from .tokens import Token, TokenKind, words_of

_FAR = 99


@dataclass(slots=True)
class _Word:
    next: dict[str, _Word] = field(default_factory=dict)
    nodes: tuple[str, ...] = ()


class PointNames:
    """What the test points of one unit are called, and which two are meant where a name is shared."""

    def __init__(self, kb: KnowledgeBase, respelt: Callable[[Sequence[str]], tuple[str, ...]]) -> None:
        self._kb = kb
        self._unit = _unit_of(kb)
        self._tree = _Word()
        self._joins, self._both = frozenset(kb.particles.point_join), frozenset(kb.particles.point_both)
        self._opens = frozenset(kb.particles.point_open)
        self._articles = frozenset(kb.particles.article)
        if self._unit is None:
            return
        for name, node in self._unit.nodes.items():
            for phrase in node.phrases:
                self._put(respelt(words_of(phrase)), name)
        self._beside = _neighbours(self._unit)

    def _put(self, words: Iterable[str], name: str) -> None:
        place = self._tree
        for word in words:
            place = place.next.setdefault(word, _Word())
        place.nodes = (*place.nodes, name)

    def pairs(self, tokens: Sequence[Token]) -> Iterator[tuple[int, int, tuple[str, ...]]]:
        """Yield (first token, token behind, subjects of the pairs that may be meant), the likeliest only."""
        if self._unit is None:
            return
        for first in range(len(tokens)):
            for middle, ones in self._named(tokens, first):
                start = self._joined(tokens, first, middle)
                if start is None:
                    continue
                for last, others in self._named(tokens, start):
                    meant = self._meant(ones, others)
                    if meant:
                        yield first, last, meant

    def _named(self, tokens: Sequence[Token], first: int) -> Iterator[tuple[int, tuple[str, ...]]]:
        """Yield (token behind, nodes) of every name that begins here; articles inside do not count."""
        place, here = first, self._tree
        while place < len(tokens) and tokens[place].kind is not TokenKind.BREAK:
            following = here.next.get(tokens[place].word)
            if following is None:
                if place == first or tokens[place].word not in self._articles:
                    return
            else:
                here = following
            place += 1
            if following is not None and here.nodes:
                yield place, here.nodes

    def _joined(self, tokens: Sequence[Token], first: int, place: int) -> int | None:
        """Return where the second name begins: behind one joining word and articles, None where none joins.

        "And" joins only behind "between": "120 on t1 and t2" are two readings. Labels with a digit need no word.
        """
        if place >= len(tokens):
            return None
        joins = self._joins | self._both if self._is_opened(tokens, first) else self._joins
        if tokens[place].word not in joins:
            labels = tokens[first].word, tokens[place].word
            return place if place == first + 1 and all(_is_label(word) for word in labels) else None
        place += 1
        while place < len(tokens) and tokens[place].word in self._articles:
            place += 1
        return place if place < len(tokens) else None

    def _is_opened(self, tokens: Sequence[Token], first: int) -> bool:
        before = first - 1
        while before >= 0 and tokens[before].word in self._articles:
            before -= 1
        return before >= 0 and tokens[before].word in self._opens

    def _meant(self, ones: Sequence[str], others: Sequence[str]) -> tuple[str, ...]:
        """Return the subjects of the nearest two points: of one area first, then by the parts between them."""
        found = [(self._distance(a, b), a, b) for a, b in product(ones, others) if a != b]
        nearest = min((distance for distance, _, _ in found), default=(1, _FAR))
        subjects = (self._subject(a, b) for distance, a, b in found if distance == nearest)
        meant = tuple(dict.fromkeys(subject for subject in subjects if subject is not None))
        telling = any(pair_check_id(subject) in self._kb.points.solved for subject in meant if is_pair(subject))
        return meant if telling else meant[:1]  # which of several is not worth asking where none tells anything

    def _distance(self, a: str, b: str) -> tuple[int, int]:
        nodes = self._unit.nodes if self._unit is not None else {}
        same = nodes[a].area == nodes[b].area
        return int(not same), 0 if GROUND in (a, b) else _steps(self._beside, a, b)

    def _subject(self, a: str, b: str) -> str | None:
        """Return what is read between two points: the subject of the check that measures them, else the pair's own."""
        for check in self._kb.checks.values():
            measure = check.measure
            if measure.kind == "volts" and set(measure.between) == {a, b}:
                return check.about
        subject = pair_id(a, b)
        return subject if subject in self._kb.subjects else None


def _is_label(word: str) -> bool:
    """True for what is stamped beside a terminal: t1."""
    return word[:1].isalpha() and word[1:].isdigit()


def _unit_of(kb: KnowledgeBase) -> UnitKind | None:
    return kb.units.get(kb.configuration.kind) if kb.configuration is not None else None


def _neighbours(unit: UnitKind) -> Mapping[str, frozenset[str]]:
    """Return the nodes beside each node; what only insulates joins nothing."""
    beside: dict[str, set[str]] = {}
    for element in unit.elements:
        if element.values.get("insulates") or GROUND in (element.a, element.b):
            continue
        beside.setdefault(element.a, set()).add(element.b)
        beside.setdefault(element.b, set()).add(element.a)
    return {name: frozenset(others) for name, others in beside.items()}


def _steps(beside: Mapping[str, frozenset[str]], start: str, goal: str) -> int:
    """Return how many parts lie between two nodes on the shortest way."""
    queue, seen = deque([(start, 0)]), {start}
    while queue:
        here, steps = queue.popleft()
        if here == goal:
            return steps
        for there in beside.get(here, frozenset()) - seen:
            seen.add(there)
            queue.append((there, steps + 1))
    return _FAR

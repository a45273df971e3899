"""The words of the knowledge, indexed once per knowledge base for matching against notes."""

from __future__ import annotations

import copy
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from knowledge.base import KnowledgeBase
from knowledge.models.quantity import Quantity, UnitWord
from knowledge.models.vocabulary import Intent
from knowledge.points import is_made

from .phrase_book import GUARDED, number_words, phrases, same_number, sounds_like, without_articles
from .points import PointNames
from .roles import Meaning, Role
from .spoken_numbers import NumberReader
from .tokens import words_of


@dataclass(slots=True)
class Node:
    """A place in the phrase tree: the words so far, what they mean, and the words that may follow."""

    next: dict[str, Node] = field(default_factory=dict)
    meanings: tuple[Meaning, ...] = ()

    def put(self, words: tuple[str, ...], meaning: Meaning) -> None:
        """Add a phrase; a phrase may stand for several things."""
        node = self
        for word in words:
            node = node.next.setdefault(word, Node())
        if meaning not in node.meanings:
            node.meanings += (meaning,)


@dataclass(frozen=True, slots=True)
class UnitMeaning:
    """A unit word of one quantity."""

    quantity: Quantity
    unit: UnitWord

    def canonical(self, value: float) -> float:
        """Return the value in the quantity's canonical unit, rounded where a float only adds noise."""
        return float(f"{value * self.unit.factor + self.unit.offset:.10g}")


class _Names(dict[str, tuple[frozenset[str], ...]]):
    def __missing__(self, subject: str) -> tuple[frozenset[str], ...]:
        return ()


class Vocabulary:
    """Everything that can be recognised in a note. Build once per knowledge base, see ``vocabulary_of``."""

    def __init__(self, kb: KnowledgeBase) -> None:
        self.kb = kb
        self.usual: Mapping[str, str] = {}
        """Quantity -> symbol of the unit that a bare number of it counts in, where that is not the canonical one."""
        self.tree = Node()
        self.respellings = Node()
        self.number_reader = NumberReader(kb.number_words)
        self.number_words = frozenset(number_words(kb))
        fillers = (words_of(phrase) for phrase in kb.particles.filler)
        self.fillers = frozenset(words[0] for words in fillers if len(words) == 1)
        for respelling in kb.respellings:
            meant = " ".join(words_of(respelling.means))
            self.respellings.put(words_of(respelling.heard), Meaning(Role.PLAIN, meant))
        self.same_number = same_number(kb)
        self.sounds = sounds_like(kb)
        not_done = (words_of(phrase) for phrase in kb.particles.not_done)
        self.not_done = frozenset(words[0] for words in not_done if len(words) == 1)
        self.guards = Node()
        articles = frozenset(kb.particles.article)
        tying = (*kb.particles.article, *kb.particles.before_subject, *kb.number_words.joined)
        self.joining = frozenset(word for phrase in tying for word in words_of(phrase))
        self.light = self.fillers | self.joining
        self.scenery = self.fillers.union(*(words_of(phrase) for phrase in kb.particles.scenery))
        """Words that weigh nothing in a phrase."""
        for phrase, meaning in phrases(kb):
            words = without_articles(self.respelt(words_of(phrase)), articles)
            of_part = meaning.role is Role.PLATE_ITEM and kb.plate_items[meaning.id].subject is not None
            if of_part and self._is_plain_reading(words):
                continue
            self.tree.put(words, meaning)
            if meaning.role in GUARDED:
                self.guards.put(words, meaning)
        self._keep_states_of_acts()
        self.whole_notes = frozenset(intent.id for intent in kb.intents.values() if intent.whole_note)
        self.known = frozenset(_words(self.tree)) | self.number_words | self.fillers
        self.spellings = sorted(word for word in self.known if len(word) > 3 and word.isalpha())
        self.trade_words = frozenset(self._trade_words()) - self.fillers
        states = {phrase for state in kb.states.values() for phrase in state.phrases}
        self.telling_fillers = (self.fillers & states) - frozenset(kb.particles.before_subject)
        self._intent_words: dict[str, frozenset[str]] = {}
        self.spelling_cache: dict[str, tuple[str, ...]] = {}

    def with_usual(self, usual: Mapping[str, str]) -> Vocabulary:
        """Return the same words for a note whose bare numbers count in these units: quantity -> symbol."""
        if not usual:
            return self
        other = copy.copy(self)
        other.usual = usual
        other.__dict__.pop("units", None)
        return other

    def usual_unit(self, quantity: Quantity) -> UnitMeaning:
        """Return the unit that a bare number of a quantity counts in."""
        symbol = self.usual.get(quantity.id, quantity.unit)
        return UnitMeaning(quantity, next(unit for unit in quantity.units if unit.symbol == symbol))

    @cached_property
    def units(self) -> dict[tuple[str, ...], tuple[UnitMeaning, ...]]:
        """Unit meanings by written form."""
        table: dict[tuple[str, ...], tuple[UnitMeaning, ...]] = {}
        for quantity in self.kb.quantities.values():
            for unit in quantity.units:
                for written in unit.written:
                    words = words_of(written)
                    meaning = self.usual_unit(quantity) if written in unit.either else UnitMeaning(quantity, unit)
                    table[words] = (*table.get(words, ()), meaning)
        return table

    @cached_property
    def value_words(self) -> frozenset[str]:
        """Words that a value can end with: of a number, for nothing, of a unit."""
        numbers = self.kb.number_words
        units = (words[0] for words in self.units if len(words) == 1)
        lists = (numbers.units, numbers.tens, numbers.oh, numbers.halves, self.kb.particles.zero, units)
        return frozenset(word for words in lists for word in words)

    @cached_property
    def prefixes(self) -> dict[str, tuple[UnitMeaning, ...]]:
        """Unit meanings by a prefix that is written alone and that only one quantity has: 2.2M is megohms."""
        found: defaultdict[str, list[UnitMeaning]] = defaultdict(list)
        for quantity in self.kb.quantities.values():
            for unit in quantity.units:
                prefix = unit.symbol.removesuffix(quantity.unit)
                if prefix not in {unit.symbol, ""}:
                    found[prefix].append(UnitMeaning(quantity, unit))
        return {prefix: tuple(units) for prefix, units in found.items() if len(units) == 1}

    @cached_property
    def mentions(self) -> dict[str, tuple[frozenset[str], ...]]:
        """Content words of every phrase of every subject; a pair of test points has none of its own."""
        return _Names(
            (subject.id, tuple(dict.fromkeys(self.content(self.respelt(words_of(p))) for p in subject.phrases)))
            for subject in self.kb.subjects.values()
            if not subject.one_of
        )

    @cached_property
    def shared_names(self) -> frozenset[frozenset[str]]:
        """Content words of names that several subjects share: coil, motor."""
        shared = (subject for subject in self.kb.subjects.values() if subject.one_of)
        return frozenset(self.content(self.respelt(words_of(p))) for subject in shared for p in subject.phrases)

    @cached_property
    def composites(self) -> dict[frozenset[str], tuple[str, ...]]:
        """Subjects by the content words of a phrase in any order: line side of the disconnect."""
        table: dict[frozenset[str], tuple[str, ...]] = {}
        for subject, names in self.mentions.items():
            for content in names:
                if subject not in table.get(content, ()):
                    table[content] = (*table.get(content, ()), subject)
        return table

    @cached_property
    def children(self) -> dict[str, tuple[str, ...]]:
        """Subjects that are part of another, in the order of the file."""
        table: dict[str, tuple[str, ...]] = {}
        for subject in self.kb.subjects.values():
            if subject.part_of:
                table[subject.part_of] = (*table.get(subject.part_of, ()), subject.id)
        return table

    @cached_property
    def looked_at(self) -> dict[str, frozenset[str]]:
        """States that the look, listen and ask checks of a subject take as an answer."""
        table: defaultdict[str, set[str]] = defaultdict(set)
        for check in self.kb.checks.values():
            for subject in (check.about, *check.also_about):
                table[subject].update(state for answer in check.answers for state in answer.states)
        return {subject: frozenset(states) for subject, states in table.items()}

    @cached_property
    def nothing_words(self) -> frozenset[str]:
        """Words for nothing that are no state of a part: nothing, none; not "dead"."""
        zeros = {words[0] for words in map(words_of, self.kb.particles.zero) if len(words) == 1}
        states = {phrase for state in self.kb.states.values() for phrase in state.phrases}
        return frozenset(zeros - states)

    @cached_property
    def point_names(self) -> PointNames:
        """What the test points of the unit are called."""
        return PointNames(self.kb, self.respelt)

    def is_point(self, subject: str, quantity: str) -> bool:
        """Return True where the quantity can be read of the subject as it stands."""
        made = is_made(subject) and quantity in self.kb.subjects[subject].quantities
        clamped = quantity == "current" and self.kb.points.clamped(subject) is not None
        return made or clamped or (subject, quantity) in self._points

    @cached_property
    def _points(self) -> frozenset[tuple[str, str]]:
        """(subject, quantity) pairs that can be read as they stand.

        Those of checks, safety steps and proofs of performance, and those of parts without parts of their own
        that no check reads.
        """
        kb = self.kb
        checks = {(about, quantity) for about, quantity in kb.checks_about if quantity}
        steps = {(step.about, step.reading) for step in kb.steps.values() if step.about and step.reading}
        proofs = {(item.about, item.quantity) for item in kb.close_out.values() if item.about and item.quantity}
        read = {subject for subject, _ in checks}
        plain = {
            (subject.id, quantity)
            for subject in kb.subjects.values()
            if subject.id not in read and subject.id not in self.children and not subject.stands_for
            for quantity in subject.quantities
        }
        parts = {
            (part, quantity)
            for whole, quantity in steps
            for part in self.children.get(whole, ())
            if quantity in kb.subjects[part].quantities and not kb.subjects[part].stands_for
        }
        return frozenset(checks | steps | proofs | plain | parts)

    def intent_words(self, intent: Intent) -> frozenset[str]:
        """Return every word that the phrases of an intent are made of."""
        found = self._intent_words.get(intent.id)
        if found is None:
            found = frozenset(word for phrase in intent.phrases for word in self.respelt(words_of(phrase)))
            self._intent_words[intent.id] = found
        return found

    def is_subject(self, word: str) -> bool:
        """Return whether the word alone names something that can be talked about."""
        node = self.tree.next.get(word)
        return node is not None and any(meaning.role is Role.SUBJECT for meaning in node.meanings)

    def _is_plain_reading(self, words: tuple[str, ...]) -> bool:
        """True for a plate phrase such as "fan amps", which without "plate" beside it names a reading."""
        return any(
            words[:cut] in self._subject_names and words[cut:] in self._quantity_names for cut in range(1, len(words))
        )

    @cached_property
    def _subject_names(self) -> frozenset[tuple[str, ...]]:
        return frozenset(self.respelt(words_of(p)) for subject in self.kb.subjects.values() for p in subject.phrases)

    @cached_property
    def _quantity_names(self) -> frozenset[tuple[str, ...]]:
        names = (words_of(name) for quantity in self.kb.quantities.values() for name in (quantity.name, quantity.id))
        return frozenset(names) | frozenset(self.units)

    def respelt(self, words: Sequence[str]) -> tuple[str, ...]:
        """Return words with every respelling applied, longest first."""
        result: list[str] = []
        place = 0
        while place < len(words):
            length, meant = self.respelling_at(words, place)
            result.extend(meant.split(" ") if length else [words[place]])
            place += length or 1
        return tuple(result)

    def respelling_at(self, words: Sequence[str], place: int) -> tuple[int, str]:
        """Return how many words from here on are spelt another way, and which way; (0, "") for none."""
        node, best = self.respellings, (0, "")
        for length, word in enumerate(words[place:], 1):
            following = node.next.get(word)
            if following is None:
                break
            node = following
            if node.meanings:
                best = (length, node.meanings[0].id)
        return best

    def _keep_states_of_acts(self) -> None:
        """Let "its open", a word of doing, also mean what "open" means where nothing is done."""
        openers = {*self.kb.particles.pronoun, *self.kb.particles.question}
        for intent in self.kb.intents.values():
            for act in intent.acts:
                words = without_articles(self.respelt(words_of(act)), frozenset(self.kb.particles.article))
                behind = words
                while len(behind) > 1 and behind[0] in openers:
                    behind = behind[1:]
                    for meaning in self._meanings_of(behind):
                        if meaning.role in {Role.STATE, Role.OVER_LIMIT, Role.ZERO}:
                            self.tree.put(words, meaning)

    def _meanings_of(self, words: tuple[str, ...]) -> tuple[Meaning, ...]:
        node = self.tree
        for word in words:
            if word not in node.next:
                return ()
            node = node.next[word]
        return node.meanings

    def _trade_words(self) -> Iterator[str]:
        """Yield the words that a misspelt word may be read as: of parts, states, units, work and numbers."""
        kb = self.kb
        named: list[Iterable[str]] = [subject.phrases for subject in kb.subjects.values()]
        named += [state.phrases for state in kb.states.values()]
        named += [complaint.phrases for complaint in kb.complaints.values()]
        named += [item.phrases for item in kb.plate_items.values()]
        named += [unit.written for quantity in kb.quantities.values() for unit in quantity.units]
        named += [(*intent.acts, *intent.phrases) for intent in kb.intents.values() if intent.about is not None]
        for listed in named:
            for phrase in listed:
                yield from self.respelt(words_of(phrase))
        yield from self.number_words

    def content(self, words: Iterable[str]) -> frozenset[str]:
        """Return the words that tell one name from another; all of them where there are only joining words."""
        listed = tuple(words)
        return frozenset(word for word in listed if word not in self.joining) or frozenset(listed)

    def chain(self, subject: str) -> Iterator[str]:
        """Yield the subject and the wider ones it is part of, narrowest first."""
        seen: set[str] = set()
        current: str | None = subject
        while current is not None and current in self.kb.subjects and current not in seen:
            seen.add(current)
            yield current
            current = self.kb.subjects[current].part_of


_built: dict[int, Vocabulary] = {}
_KEPT = 4


def vocabulary_of(kb: KnowledgeBase) -> Vocabulary:
    """Return the index of this knowledge base, built on the first call."""
    found = _built.get(id(kb))
    if found is None or found.kb is not kb:
        while len(_built) >= _KEPT:
            _built.pop(next(iter(_built)))
        found = _built[id(kb)] = Vocabulary(kb)
    return found


def _words(node: Node) -> Iterator[str]:
    for word, after in node.next.items():
        yield word
        yield from _words(after)

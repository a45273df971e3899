"""Sentences a technician may say, made from the knowledge: what the recogniser is taught to expect.

A phrase of several words is one token, its words joined with ``_``: the recogniser then weighs whole phrases,
which it tells apart far better than words.
"""

from __future__ import annotations

import random
import re
from bisect import bisect
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import cache, cached_property
from itertools import accumulate

from knowledge import KnowledgeBase
from knowledge.models.spoken import Span
from knowledge.models.visit import PlateItem
from knowledge.models.vocabulary import Intent, Subject

from .number_speech import NumberSpeaker

JOIN = "_"
SENTENCES = 90_000
"""How many notes are made up: enough that every phrase and number comes along in each of its places."""
_RANK_POWER = 0.9
"""The n-th spelling of a thing is about n**-0.9 as usual as the first; steeper, fewer unseen notes are heard."""
_USUAL_TO_RARE = 8
"""States that belong to a subject come so much more often than any state of any subject."""
_USUAL_NAMES, _USUAL_WORDS = 4, 6
"""Names of a part and words for a state that are usual: the first ones of their lists."""
_ASKED_OFTEN = 20
"""What is measured where checks, steps and proofs ask for it comes so much more often than what else has a quantity."""
_PLEASE = 0.06
"""Share of requests with a "please" behind them."""
_WORD = re.compile(r"[a-z]+(?:'[a-z]+)?")
_PLACE = re.compile(r"\{(\w+)\}")
_LETTER_NUMBER = re.compile(r"([a-z])(\d)")
_REFRIGERANT = re.compile(r"R-(\d{2,3})([A-Za-z]{0,2})")
_ANSWERS = frozenset({"answer"})
_WISHES = frozenset({"request"})
_WORK = frozenset({"repair_done"})
_NEW_PART = ("a new", "new", "a")


class Sayable:
    """Makes notes up. The same knowledge and seed give the same notes."""

    def __init__(self, kb: KnowledgeBase, seed: int = 1) -> None:
        self._kb = kb
        self._numbers = NumberSpeaker(kb.number_words)
        self._random = random.Random(seed)  # noqa: S311 - not for secrets
        self._unspoken = frozenset(kb.spoken.unspoken)
        self._tokens: dict[tuple[str, ...], list[str]] = {}
        self._numerals: dict[float, list[str]] = {}

    def sentences(self, count: int = SENTENCES) -> list[str]:
        """Return ``count`` notes as tokens parted by spaces, in the shares the knowledge gives each form."""
        forms: Mapping[str, Callable[[], str]] = {
            "reading": self._reading,
            "finding": self._finding,
            "bare": self._bare,
            "answer": lambda: self._intent(self._answers),
            "control": lambda: self._ranked(self._random.choice(self._controls)),
            "request": lambda: self._intent(self._wishes) + self._please(),
            "announcement": lambda: self._intent(self._announcements),
            "complaint": self._complaint,
            "plate": self._plate,
            "pair": self._pair,
            "limit": lambda: self._filled(self._kb.spoken.frames.limit),
        }
        shares = self._kb.spoken.shares
        names = self._random.choices(list(shares), list(shares.values()), k=count)
        return [sentence for name in names if (sentence := " ".join(forms[name]().split()))]

    def spoken(self, phrase: str) -> str | None:
        """Return a phrase as one token of spoken words; None where nobody says it like that."""
        if phrase in self._unspoken:
            return None
        words: list[str] = []
        for part in re.split(r"[\s\-]+", phrase.lower().strip()):
            if not part:
                continue
            lettered = _LETTER_NUMBER.fullmatch(part)
            if part.isdigit():
                words += self._numbers.full(float(part)).split()
            elif lettered:
                words += [lettered[1], *self._numbers.full(float(lettered[2])).split()]
            elif _WORD.fullmatch(part) and part not in self._unspoken:
                words.append(part)
            else:
                return None
        return JOIN.join(words) or None

    def every_phrase(self) -> list[str]:
        """Return every phrase of the knowledge that can be said, as tokens: none may be missing for want of luck."""
        kb = self._kb
        phrases = [phrase for subject in kb.subjects.values() for phrase in subject.phrases]
        phrases += [phrase for state in kb.states.values() for phrase in state.phrases]
        phrases += [phrase for intent in kb.intents.values() for phrase in intent.phrases]
        phrases += [phrase for complaint in kb.complaints.values() for phrase in complaint.phrases]
        phrases += [act for intent in kb.intents.values() for act in intent.acts]
        phrases += [phrase for item in kb.plate_items.values() for phrase in item.phrases]
        for unit in kb.units.values():
            phrases += unit.phrases
            choices = [one for option in unit.options for one in option.choices]
            phrases += [phrase for one in choices for phrase in (*one.phrases, *one.answers)]
        return [*self._said(phrases), *self._refrigerants()]

    def small_words(self) -> list[str]:
        """Return the words that stand around what a note says (pulling, i think, about, customer says), each once.

        Wherever no made-up note has them, a note may still have them: the language part reads over them.
        """
        words = self._kb.particles
        return self._said((*words.measured, *words.hedge, *words.about_number, *words.found))

    def loose_words(self) -> list[str]:
        """Return every phrase of several words as single words, once: in other company they may still be said."""
        return [token.replace(JOIN, " ") for token in self.every_phrase() if JOIN in token]

    def _refrigerants(self) -> list[str]:
        """Return the refrigerants as they are said: r four ten a, r four oh seven c."""
        codes = [match for one in self._kb.refrigerants.values() if (match := _REFRIGERANT.fullmatch(one.name))]
        said = (f"r {way} {' '.join(code[2].lower())}" for code in codes for way in self._numbers.ways(float(code[1])))
        return [token for words in said if (token := self.spoken(words))]

    def every_number(self) -> list[str]:
        """Return every usual number with its unit once: which digits follow which must not hang on luck either."""
        return [
            " ".join(f"{self._spoken_value(span.least + nth * span.step)} {self._unit(span.quantity)}".split())
            for span in self._kb.spoken.spans
            for nth in range(round((span.most - span.least) / span.step) + 1)
        ]

    def usual_findings(self) -> list[str]:
        """Return what is usually said of each part, in its usual words, each once."""
        return [
            f"{name} {verb}{words}"
            for subject, state in self._usual_states
            for name in self._said(subject.phrases)[:_USUAL_NAMES]
            for words in self._said(self._kb.states[state].phrases)[:_USUAL_WORDS]
            for verb in ("is ", "")
        ]

    def free_notes(self, openers: Sequence[str], each: int = 60) -> list[str]:
        """Return beginnings of dictated notes: an opener, and anything behind it."""
        every = self.every_phrase()
        return [f"{opener} {self._random.choice(every)}" for opener in openers for _ in range(each)]

    # -- forms ------------------------------------------------------------------------------------------------

    def _reading(self) -> str:
        subject, quantity = self._random.choice(self._measured)
        frames = self._kb.spoken.frames
        if self._kb.quantities[quantity].over_limit and self._random.random() < 1 / len(frames.over_limit):
            return self._filled(frames.over_limit, subject=subject)
        return self._filled(frames.reading, subject=subject, quantity=quantity)

    def _finding(self) -> str:
        subject, state = self._random.choice(self._states_of)
        return self._filled(self._kb.spoken.frames.finding, subject=subject, state=state)

    def _complaint(self) -> str:
        words = self._ranked(self._random.choice(self._complaints))
        return self._ranked(self._kb.spoken.frames.complaint).format(complaint=words)

    def _bare(self) -> str:
        return self._filled(self._kb.spoken.frames.bare, quantity=self._random.choice(self._usual_quantities))

    def _plate(self) -> str:
        item = self._random.choice(self._plate_items)
        if item.quantity == "capacitance" and self._random.random() < 0.7:
            return self._filled(self._kb.spoken.frames.rating, subject=self._kb.subjects["capacitor"])
        words = self._ranked(self._said(item.phrases))
        return self._filled(self._kb.spoken.frames.plate, quantity=item.quantity or "", item=words)

    def _pair(self) -> str:
        one, two = (self._random.choice((self._reading, self._finding))() for _ in range(2))
        if self._random.random() < 0.2:
            one = self._complaint()
            if self._random.random() < 0.3:
                two = self._complaint()
        return self._ranked(self._kb.spoken.frames.join).format(one=one, two=two)

    def _intent(self, intents: Sequence[Intent]) -> str:
        intent = self._random.choice(intents)
        acted = intent.acts and intent.on and (not intent.phrases or self._random.random() < 0.7)
        if acted:
            subject = self._kb.subjects[self._random.choice(intent.on)]
            act, name = self._ranked(self._said(intent.acts)), self._name(subject)
            return f"{act} {self._before_part(intent)} {name}" if self._random.random() < 0.7 else f"{name} {act}"
        phrases = self._said(intent.phrases)
        if not phrases:
            return ""
        words = self._ranked(phrases)
        if intent.of_something and self._random.random() < 0.6:
            subject, _ = self._random.choice(self._measured)
            return f"{words} {self._the()} {self._name(subject)}"
        return words

    # -- pieces -----------------------------------------------------------------------------------------------

    def _filled(
        self,
        frames: Sequence[str],
        *,
        subject: Subject | None = None,
        state: str = "",
        quantity: str = "",
        item: str = "",
    ) -> str:
        measured, usual = self._random.choice(self._measured)
        quantity = quantity or usual
        fillings: Mapping[str, Callable[[], str]] = {
            "the": self._the,
            "subject": lambda: self._name(subject or measured),
            "measured": lambda: self._ranked(self._said(self._kb.particles.measured)),
            "state": lambda: self._ranked(self._said(self._kb.states[state].phrases)),
            "number": lambda: self._number(quantity),
            "small": lambda: self._number("small"),
            "rating": lambda: self._number("rating"),
            "capacity": lambda: self._unit("capacitance"),
            "unit": lambda: self._unit(quantity),
            "item": lambda: item,
        }
        pieces = _pieces(self._ranked(frames))
        return "".join(fillings[piece]() if nth % 2 else piece for nth, piece in enumerate(pieces))

    def _number(self, quantity: str) -> str:
        spans = self._spans.get(quantity) or self._spans["capacitance"]
        span = self._random.choice(spans)
        steps = round((span.most - span.least) / span.step)
        return self._spoken_value(span.least + span.step * self._random.randint(0, steps))

    def _spoken_value(self, value: float) -> str:
        value = round(value, 2)
        if value not in self._numerals:
            self._numerals[value] = [number_tokens(way, self._number_heads) for way in self._numbers.ways(value)]
        return self._ranked(self._numerals[value])

    def _unit(self, quantity: str) -> str:
        return self._ranked(self._units.get(quantity, [""]))

    def _please(self) -> str:
        return " please" if self._random.random() < _PLEASE else ""

    def _the(self) -> str:
        return self._random.choice(("", "", "the"))

    def _before_part(self, intent: Intent) -> str:
        """Return what stands between an act and its part: a part that was put in is often called new."""
        return self._random.choice(_NEW_PART) if intent.kind in _WORK and self._random.random() < 0.4 else self._the()

    def _name(self, subject: Subject) -> str:
        return self._ranked(self._said(subject.phrases))

    def _ranked(self, choices: Sequence[str]) -> str:
        """Choose one, the earlier ones rather than the later."""
        if not choices:
            return ""
        steps = _usual_first(len(choices))
        return choices[bisect(steps, self._random.random() * steps[-1], 0, len(choices) - 1)]

    def _said(self, phrases: Iterable[str]) -> list[str]:
        """Return phrases as tokens: as they stand, and with their short forms in full (temp, temperature)."""
        phrases = tuple(phrases)
        if phrases not in self._tokens:
            self._tokens[phrases] = [token for phrase in phrases for token in self._ways(phrase)]
        return self._tokens[phrases]

    def _ways(self, phrase: str) -> tuple[str, ...]:
        full = " ".join(self._full.get(word, word) for word in phrase.split())
        found = (self.spoken(phrase), self.spoken(full))
        return tuple(dict.fromkeys(token for token in found if token))

    # -- what the knowledge offers ------------------------------------------------------------------------------

    @cached_property
    def _full(self) -> dict[str, str]:
        """Short forms of single words, and what they stand for."""
        return {one.heard: one.means for one in self._kb.respellings if " " not in one.heard and " " not in one.means}

    @cached_property
    def _measured(self) -> list[tuple[Subject, str]]:
        """Subjects with a quantity; those that a check, a step or a proof asks for come far more often."""
        checks = self._kb.checks.values()
        asked: set[tuple[str | None, str | None]] = {
            (about, check.quantity) for check in checks for about in (check.about, *check.also_about)
        }
        asked |= {(step.about, step.reading) for step in self._kb.steps.values()}
        asked |= {(proof.about, proof.quantity) for proof in self._kb.close_out.values()}
        return [
            (subject, quantity)
            for subject in self._kb.subjects.values()
            for quantity in subject.quantities
            for _ in range(_ASKED_OFTEN if (subject.id, quantity) in asked and not subject.only_with else 1)
        ]

    @cached_property
    def _usual_states(self) -> list[tuple[Subject, str]]:
        """Subjects with a state that names them or that a check answers; the whole with what is said of its parts."""
        pairs = {(subject, state.id) for state in self._kb.states.values() for subject in state.subjects}
        for check in self._kb.checks.values():
            about = (check.about, *check.also_about)
            pairs |= {(subject, state) for answer in check.answers for state in answer.states for subject in about}
        pairs |= {(subject, state) for subject, states in self._kb.spoken.also_said.items() for state in states}
        wholes = {subject.id: subject.part_of for subject in self._kb.subjects.values()}
        pairs |= {(whole, state) for subject, state in pairs if (whole := wholes[subject])}
        return [(self._kb.subjects[subject], state) for subject, state in sorted(pairs)]

    @cached_property
    def _states_of(self) -> list[tuple[Subject, str]]:
        """Subjects with a state: the usual ones nearly always; else anything goes."""
        usual = self._usual_states
        anywhere = [state.id for state in self._kb.states.values() if not state.subjects]
        rare = [(subject, state) for subject in self._kb.subjects.values() for state in anywhere]
        return [*usual * max(1, _USUAL_TO_RARE * len(rare) // len(usual)), *rare]

    @cached_property
    def _units(self) -> dict[str, list[str]]:
        """The spoken units of each quantity, full words first."""
        units = {}
        for quantity in self._kb.quantities.values():
            said = self._said(written for unit in quantity.units for written in unit.written if len(written) > 2)
            units[quantity.id] = sorted(dict.fromkeys(said), key=lambda word: not word.endswith("s"))
        return units

    @cached_property
    def _spans(self) -> dict[str, list[Span]]:
        spans: dict[str, list[Span]] = {}
        for span in self._kb.spoken.spans:
            spans.setdefault(span.quantity, []).append(span)
        return spans

    @cached_property
    def _usual_quantities(self) -> list[str]:
        return [quantity for _, quantity in self._measured]

    @cached_property
    def _number_heads(self) -> frozenset[str]:
        words = self._kb.number_words
        return frozenset(words.tens) | frozenset(words.point) | frozenset(words.oh)

    @cached_property
    def _complaints(self) -> list[list[str]]:
        return [self._said(complaint.phrases) for complaint in self._kb.complaints.values()]

    @cached_property
    def _answers(self) -> list[Intent]:
        """Answers, as many times as they come while a rare one comes once."""
        often = self._kb.spoken.often
        answers = [intent for intent in self._kb.intents.values() if intent.kind in _ANSWERS]
        return [intent for intent in answers for _ in range(often.get(intent.id, 1))]

    @cached_property
    def _wishes(self) -> list[Intent]:
        return [intent for intent in self._kb.intents.values() if intent.kind in _WISHES]

    @cached_property
    def _plate_items(self) -> list[PlateItem]:
        return [item for item in self._kb.plate_items.values() if item.quantity and self._said(item.phrases)]

    @cached_property
    def _controls(self) -> list[list[str]]:
        return [self._said(phrases) for phrases in self._kb.spoken.controls.values()]

    @cached_property
    def _announcements(self) -> list[Intent]:
        return [intent for intent in self._kb.intents.values() if intent.kind not in _ANSWERS | _WISHES]


@cache
def _usual_first(count: int) -> tuple[float, ...]:
    """Return the running sum of how usual the first ``count`` spellings of a thing are."""
    return tuple(accumulate((1 + rank) ** -_RANK_POWER for rank in range(count)))


@cache
def _pieces(frame: str) -> tuple[str, ...]:
    """Return a frame taken apart: words and names of places in turn."""
    return tuple(_PLACE.split(frame))


def number_tokens(words: str, heads: frozenset[str]) -> str:
    """Join a word that opens a pair (forty, point, oh) with the digit behind it: ``forty_one point_five``."""
    tokens: list[str] = []
    for word in words.replace(" and a half", f" and{JOIN}a{JOIN}half").split():
        if tokens and tokens[-1] in heads and word not in heads:
            tokens[-1] += JOIN + word
        else:
            tokens.append(word)
    return " ".join(tokens)

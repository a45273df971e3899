"""Words to observations: the one entry point of the language part.

Pure: the same note, knowledge and context give the same result.
"""

from __future__ import annotations

from dataclasses import replace

from knowledge.base import KnowledgeBase

from .announcements import announce, ask
from .asked_head import with_asked_head
from .asking import find_questions
from .built import built_answer, tell_built
from .cannot_because import cannot_because
from .choices import choose
from .clauses import sentences_of
from .complaints import add_built_up, complain
from .corrections import correctable, corrected_context, moved, opener_of, recounted
from .each_part import each_part
from .fitted import fitted
from .hearing import doubted
from .idle_numbers import without_idle_numbers
from .leftovers import not_understood
from .models import Context, Heard, Kind, Understood
from .normalise import clean
from .offered_parts import offered_parts
from .only_asked import without_questions
from .own_words import in_own_words
from .photos import find_photos
from .phrases import Mark, mark
from .planned_work import plan_work
from .printed_part import printed_part
from .provoked import provoke
from .roles import Role
from .settle import settle
from .spelling import read_spelling
from .spoken_refrigerant import say_refrigerant
from .statements import state
from .texts import free_note, plate_texts
from .tokens import Token, TokenKind, tokenise
from .unnamed_print import unnamed_print
from .unread_print import miss_print
from .vocabulary import Vocabulary, vocabulary_of
from .waits import tell_waits
from .work import Work
from .working_units import working_units

_NOTHING = Context()


def understand(text: str, kb: KnowledgeBase, context: Context = _NOTHING) -> Understood:
    """Take a note apart.

    Every character of meaning ends up in ``heard`` or ``not_understood``; spans refer to the cleaned ``text``
    of the result. Never raises on any text; a note that cannot be taken has a ``problem`` in words.
    """
    cleaned, problem = clean(text)
    photos = find_photos(cleaned, kb)
    if photos.items:
        rest, bare = (understand(one, kb, context) for one in (photos.rest, photos.without_captions))
        only_seen = all(item in bare.heard or item.kind in _IN_CAPTIONS for item in rest.heard)
        rest = min((rest, bare), key=_left) if only_seen else bare
        return Understood(cleaned, _ordered([*photos.items, *rest.heard]), rest.not_understood, problem)
    whole = in_own_words(cleaned, kb, context) or built_answer(cleaned, kb, context)
    if whole is not None:
        return Understood(cleaned, (whole,), (), problem)
    plain = vocabulary_of(kb)
    vocabulary = plain.with_usual(working_units(cleaned, plain, context))
    asked = find_questions(cleaned, vocabulary, context)
    if not asked.items:
        found = _understood(cleaned, problem, vocabulary, context)
        if found.heard or context.goal is None:
            return found
        return _understood(cleaned, problem, vocabulary, replace(context, asked=context.goal, goal=None))
    rest = _understood(asked.rest, problem, vocabulary, context)
    return Understood(cleaned, _ordered([*asked.items, *rest.heard]), (*asked.left, *rest.not_understood), problem)


_IN_CAPTIONS = frozenset({Kind.FINDING, Kind.READING, Kind.PLATE})
"""What the caption of a photograph may tell."""


def _left(understood: Understood) -> int:
    return sum(map(len, understood.not_understood))


def _understood(cleaned: str, problem: str | None, vocabulary: Vocabulary, context: Context) -> Understood:
    """Take a note apart that holds no question for a calculation."""
    tokens = read_spelling(tokenise(cleaned), vocabulary)
    if not tokens:
        return Understood(cleaned, (), (), problem)
    complaints = context.asked is None or context.asked.kind in _OPEN_QUESTIONS
    work = _taken_apart(cleaned, tokens, vocabulary, context, complaints=complaints)
    left = not_understood(work)
    if left and not complaints:
        other = _taken_apart(cleaned, tokens, vocabulary, context, complaints=True)
        other_left = not_understood(other)
        if sum(map(len, other_left)) < sum(map(len, left)):
            work, left = other, other_left
    items, asked = without_questions(work)
    left = (*asked, *(words for words in left if not any(words in one for one in asked)))
    return Understood(cleaned, _ordered(doubted(items, cleaned, context)), left, problem)


_OPEN_QUESTIONS = frozenset({"intake"})
"""Questions that a complaint answers; elsewhere the words are findings first."""


def _taken_apart(
    text: str, tokens: tuple[Token, ...], vocabulary: Vocabulary, context: Context, *, complaints: bool
) -> Work:
    """Return the finished work on a note, with or without whole complaints among its phrases."""
    marks = mark(tokens, vocabulary, without=frozenset() if complaints else frozenset({Role.COMPLAINT}))
    if complaints and _reads_nothing(marks, tokens, vocabulary):
        marks = mark(tokens, vocabulary, without=frozenset({Role.COMPLAINT}))
    marks = with_asked_head(without_idle_numbers(marks, tokens, vocabulary), tokens, vocabulary, context)
    work = Work(text, tokens, marks, sentences_of(marks, tokens), vocabulary, context)
    if free_note(work) or choose(work) or each_part(work):
        return work
    cannot_because(work)
    if work.items:
        return work
    opener = opener_of(work)
    work.spend(*opener)
    provoke(work)
    tell_waits(work)
    printed_part(work)
    tell_built(work)
    miss_print(work)
    plan_work(work)
    announce(work)
    offered_parts(work)
    ask(work)
    if opener and all(item.kind is Kind.ANSWER for item in work.items):
        _correct(work, opener)
        return work  # with news in it - "sorry, power is back on" - it is no correction of the last note
    if complaints:
        complain(work)
        _look_inside(work)
    say_refrigerant(work)
    unnamed_print(work)
    plate_texts(work)
    state(work)
    fitted(work)
    if complaints:
        add_built_up(work)
    settle(work)
    return work


def _reads_nothing(marks: tuple[Mark, ...], tokens: tuple[Token, ...], vocabulary: Vocabulary) -> bool:
    """True for "24 inside, nothing outside": beside a value it is no complaint but a reading of zero."""
    states = {phrase for state in vocabulary.kb.states.values() for phrase in state.phrases}
    for found in marks:
        words = [token.word for token in tokens[found.first : found.last]]
        nothing = found.has(Role.COMPLAINT) and words[0] in vocabulary.nothing_words and not states.intersection(words)
        if nothing and _beside_number(found, marks, tokens):
            return True
    return False


def _beside_number(found: Mark, marks: tuple[Mark, ...], tokens: tuple[Token, ...]) -> bool:
    """True where a number stands in the same sentence."""
    ends = [place for place, token in enumerate(tokens) if token.kind is TokenKind.BREAK and token.word != ","]
    low = max((place for place in ends if place < found.first), default=-1)
    high = min((place for place in ends if place >= found.last), default=len(tokens))
    return any(mark.number is not None and low < mark.first < high for mark in marks)


def _look_inside(work: Work) -> None:
    """Add the findings that a complaint spells out: fan on, compressor off."""
    for phrase, hedged in work.complained:
        tokens = work.tokens[phrase.first : phrase.last]
        inner_marks = mark(tokens, work.vocabulary, without=frozenset({Role.COMPLAINT}))
        inner = Work(work.text, tokens, inner_marks, sentences_of(inner_marks, tokens), work.vocabulary, Context())
        state(inner)
        if not hedged:
            work.items.extend(found for found in inner.items if _is_seen(work, found))


def _is_seen(work: Work, item: Heard) -> bool:
    """True for a clear finding that a check looks for."""
    looked = work.vocabulary.looked_at.get(item.about or "", frozenset())
    return item.kind is Kind.FINDING and not item.doubts and item.state in looked


def _correct(work: Work, opener: tuple[Mark, ...]) -> None:
    """Add the correction and the item as it should have been."""
    start, end = work.extent(opener)
    work.items[:] = [Heard(Kind.CORRECTION, work.said(start, end), start, end)]
    last = correctable(work.context.last)
    elsewhere = moved(work, last) or recounted(work, last)
    if elsewhere is not None:
        work.items.append(elsewhere)
        return
    context = corrected_context(work, work.context)
    rest = replace(work, context=context, items=list(work.items), spent=set(work.spent))
    state(rest)
    settle(rest)
    found = rest.items[1:]
    work.items.extend(item for item in found if not _is_denied(work, item, found))
    work.spent |= rest.spent
    work.spend(*(one for one in work.marks if one.number is not None and _is_old(work, one)))


def _is_denied(work: Work, item: Heard, found: list[Heard]) -> bool:
    """True for the old value in "50, no, 15"."""
    others = any(one is not item and one.about == item.about and one.quantity == item.quantity for one in found)
    return others and any(item.value is not None and item.value == old.value for old in work.context.last)


def _is_old(work: Work, number: Mark) -> bool:
    """True for a number that only names the value to be replaced: "15 not 50"."""
    values = number.number.values if number.number is not None else ()
    return any(old.value in values for old in work.context.last if old.value is not None)


def _ordered(items: list[Heard]) -> tuple[Heard, ...]:
    return tuple(sorted(items, key=lambda item: (item.start, item.end, item.kind, item.about or "")))

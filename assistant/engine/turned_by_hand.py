"""A fan told to spin on a unit that is held dead: the hand turned it, or power does. Asked back, never guessed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from assistant.language.models import Doubt, Heard, Kind
from assistant.session import events as e
from assistant.session.power import shows_live
from assistant.session.steps import switched_off

from .draft import Draft
from .heard_data import as_data, from_data

TURNED_BY = "turned_by"
"""Id of the question; its options are the free blade and the running fan, in this order."""


def is_by_hand_or_power(draft: Draft, item: Heard) -> bool:
    """Return True for "fan spins fine" of a unit that is held dead, without a word of what turned it."""
    rule = draft.kb.power_rules.turned
    if item.kind is not Kind.FINDING or item.about is None or item.state is None or item.negated or not item.usable:
        return False
    if not switched_off(draft.state, draft.kb) or not shows_live(item.about, item.state, None, draft.kb):
        return False
    note = f" {draft.text.lower()} "
    by_itself = any(f" {words} " in note for words in draft.kb.intents[rule.by_itself].phrases)
    return item.about == rule.subject and item.said.lower().endswith(rule.said) and not by_itself


def ask_what_turned_it(draft: Draft, item: Heard) -> None:
    """Ask it back; until it is told the finding counts for nothing and the hands stay out."""
    rule = draft.kb.power_rules.turned
    by_hand = replace(item, about=rule.blade, state=rule.state)
    draft.unclear = replace(item, doubts=(*item.doubts, Doubt.AMBIGUOUS), options=(by_hand, item))
    draft.emit(e.Asked, kind="clarify", id=TURNED_BY, options=(as_data(by_hand), as_data(item)))


def goes_with_it(draft: Draft, item: Heard) -> bool:
    """Return True for the "fine" of the "fan spins fine" that was just asked back: it says nothing more."""
    asked = draft.state.asked
    just_asked = draft.unclear is not None and asked is not None and asked.id == TURNED_BY and asked.note == draft.note
    return just_asked and item.kind is Kind.FINDING and item.about == draft.kb.power_rules.turned.subject


def still_to_be_told(draft: Draft, pending: e.Asked, items: Sequence[Heard]) -> Heard | None:
    """Return the open question, which other news do not answer; None once a look at the fan or power does."""
    options = tuple(from_data(option) for option in pending.options)
    answered = any(item.kind is Kind.FINDING and item.about in {one.about for one in options} for item in items)
    return None if answered or not switched_off(draft.state, draft.kb) else replace(options[0], options=options)


def turned(draft: Draft, answer: str, asked: e.Asked) -> Heard | None:
    """Return the finding that an answer makes of it; None for one that does not tell."""
    by_hand, by_power = (from_data(option) for option in asked.options)
    rule = draft.kb.power_rules.turned
    told = {"yes": by_hand, rule.by_hand: by_hand, "no": by_power, rule.by_itself: by_power}
    return told.get(answer)

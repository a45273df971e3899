"""How likely a hypothesis is in this conversation: what is asked, what is read there, what is ever said of a part."""

from __future__ import annotations

from assistant.language.models import Context, Doubt, Heard, Kind, Understood
from assistant.language.plausibility import usual
from knowledge import KnowledgeBase

UNLIKELY_COST = 3.0
"""Of a number that no meter reads there, or that nobody reads where it is asked for."""
_WORD_COST = 1.0
"""A word that means nothing weighs as much as this many ranks of the recogniser's own list."""
_NO_MEANING_COST = 4.0
_UNUSUAL_COST = 1.0
"""A state nobody says of the part, a quantity nobody measures there, a number far from the usual ones."""
_FAR = 10.0
"""Widths of the usual window from which on a number is far from it."""
_GUESS_COST = 0.8
"""A finding on a part that was not named where another one was ("transformer is full"), or on one of several."""
_SLIGHT_COST = 0.4
"""A teen in a large number ("two fourteen" for "two forty"), thousands of a unit: said now and then."""
_TEENS = range(13, 20)
_LARGE = 200
_ANSWER_GAIN = 0.5
"""What answers the pending question is likelier than what does not."""
_PRINTED = ("rating", "small")
"""Spans of numbers that are printed on capacitors."""
_THOUSAND = 1000


def cost_of(understood: Understood, kb: KnowledgeBase, context: Context) -> float:
    """Return how much speaks against a hypothesis here; below 0 where it answers the question."""
    cost = _WORD_COST * sum(len(words.split()) for words in understood.not_understood)
    if not understood.heard:
        cost += _NO_MEANING_COST
    if _changes_nothing(understood, context):
        cost += UNLIKELY_COST
    for item in understood.heard:
        if Doubt.OUT_OF_RANGE in item.doubts or _off_the_question(item, context):
            cost += UNLIKELY_COST
        if _is_unusual(item, kb) or _is_far_off(item, kb, context) or _is_odd_print(item, kb):
            cost += _UNUSUAL_COST
        if _is_guess(item, context):
            cost += _GUESS_COST
        if _is_torn(item, kb):
            cost += _UNUSUAL_COST
        if _is_thousandfold(item, kb) or _is_large_teen(item):
            cost += _SLIGHT_COST
        if _is_answer(item, context):
            cost -= _ANSWER_GAIN
    return cost


def is_odd(understood: Understood, kb: KnowledgeBase, context: Context) -> bool:
    """True for what is hardly ever said: more likely something else misheard."""
    return not _corrects(understood) and any(
        _is_guess(item, context)
        or _is_thousandfold(item, kb)
        or _is_torn(item, kb)
        or _is_unusual(item, kb)
        or _is_far_off(item, kb, context)
        for item in understood.heard
    )


def is_assumed(understood: Understood, context: Context) -> bool:
    """True for a number without unit or a finding without part that answers no question."""
    return not _corrects(understood) and any(
        Doubt.ASSUMED in item.doubts and not _is_asked_for(item, context) for item in understood.heard
    )


def _corrects(understood: Understood) -> bool:
    """True for "no, thirteen": place and unit are those of the last note."""
    return any(item.kind is Kind.CORRECTION for item in understood.heard)


def _is_guess(item: Heard, context: Context) -> bool:
    """True for a finding whose part was not said, and that does not answer what is asked."""
    doubtful = not {Doubt.ASSUMED, Doubt.AMBIGUOUS}.isdisjoint(item.doubts)
    return item.kind is Kind.FINDING and doubtful and not _is_asked_for(item, context)


def _is_thousandfold(item: Heard, kb: KnowledgeBase) -> bool:
    """True for a number in thousands of its unit: "twenty k ohms" is one soft sound away from "twenty two ohms"."""
    if item.kind is not Kind.READING or item.quantity is None:
        return False
    return any(
        item.said_unit in unit.written and unit.factor == _THOUSAND for unit in kb.quantities[item.quantity].units
    )


def _is_torn(item: Heard, kb: KnowledgeBase) -> bool:
    """True for a number with other words between it and its unit: "five blade fuse amps" was "five point two amps"."""
    if item.kind is not Kind.READING or item.quantity is None or item.said_unit is None:
        return False
    units = (unit for unit in kb.quantities[item.quantity].units if unit.symbol == item.said_unit)
    written = {way.split()[0] for unit in units for way in unit.written}
    words, numbers = item.said.split(), kb.number_words
    at = max((nth for nth, word in enumerate(words) if word in written), default=0)
    spoken = {*numbers.units, *numbers.tens, *numbers.scales, *numbers.point, *numbers.oh, *numbers.halves}
    return at > 0 and words[at - 1] not in spoken and not spoken.isdisjoint(words[:at])


def _is_asked_for(item: Heard, context: Context) -> bool:
    """True where the open question gives what was left out: the unit of a number, the part of a finding."""
    asked = context.asked
    if item.kind is Kind.READING:
        return asked is not None and asked.quantity is not None and item.quantity == asked.quantity
    return item.kind is not Kind.FINDING or (asked is not None and item.about == asked.about)


def _is_unusual(item: Heard, kb: KnowledgeBase) -> bool:
    """True for a state that is not said of such a part, or a reading that is not taken there."""
    if item.about is None or item.about not in kb.subjects:
        return False
    if item.kind is Kind.READING and item.quantity is not None:
        return item.quantity not in kb.subjects[item.about].quantities
    state = kb.states.get(item.state or "")
    if item.kind is not Kind.FINDING or state is None or item.about in state.subjects:
        return False
    if state.id in kb.spoken.also_said.get(item.about, ()):
        return False
    answers = (
        answer
        for check in kb.checks.values()
        if item.about == check.about or item.about in check.also_about
        for answer in check.answers
    )
    return not any(state.id in answer.states for answer in answers)


def _is_odd_print(item: Heard, kb: KnowledgeBase) -> bool:
    """True for microfarads that are on no capacitor: "fourteen over five" was "forty over five"."""
    if item.kind is not Kind.PLATE or item.quantity != "capacitance" or item.value is None:
        return False
    spans = (span for span in kb.spoken.spans if span.quantity in _PRINTED)
    return not any(span.least <= item.value <= span.most and item.value % span.step == 0 for span in spans)


def _is_large_teen(item: Heard) -> bool:
    """True for 214 and 316, which are said far more seldom than 240 and 360 and sound much the same."""
    value = item.value if item.kind is Kind.READING else None
    return value is not None and value >= _LARGE and value % 100 in _TEENS


def _is_far_off(item: Heard, kb: KnowledgeBase, context: Context) -> bool:
    """True for a number far from what is read there in a sound unit; none at all is what faults do."""
    if item.kind is not Kind.READING or item.quantity is None or not item.value:
        return False
    window = usual(kb, item.about, item.quantity, context.plate)
    return window is not None and window.distance(item.value) > _FAR * window.width


def _changes_nothing(understood: Understood, context: Context) -> bool:
    """True for a correction to the very number that is being corrected."""
    told = [item for item in understood.heard if item.kind is Kind.READING]
    return _corrects(understood) and any(
        (item.value, item.about) == (last.value, last.about) for item in told for last in context.last
    )


def _is_answer(item: Heard, context: Context) -> bool:
    """True for what the pending question asks for."""
    asked = context.asked
    if asked is None or item.about != asked.about:
        return False
    return (item.quantity is not None and item.quantity == asked.quantity) or item.state in asked.states


def _off_the_question(item: Heard, context: Context) -> bool:
    """True for a reading that answers the question with a number nobody reads there."""
    asked = context.asked
    if asked is None or asked.plausible is None or item.value is None or item.quantity != asked.quantity:
        return False
    low, high = asked.plausible
    return item.about == asked.about and not low <= item.value <= high

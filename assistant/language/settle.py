"""Last look over a note's items: a "yes" beside the answer itself, heat from the outdoor reading, denied numbers."""

from __future__ import annotations

from dataclasses import replace

from knowledge.models.visit import PlateItem

from .clauses import Sentence
from .models import Asked, Doubt, Heard, Kind
from .phrases import Mark
from .plausibility import usual
from .roles import Role
from .tokens import TokenKind, words_of
from .work import Work, in_order

_SAID_ONCE = frozenset({Kind.FINDING, Kind.SAFETY, Kind.POWER, Kind.REPAIR, Kind.TOOL, Kind.HAZARD})


def settle(work: Work) -> None:
    """Drop a bare answer that the rest of the note says better, and add what a reading announces."""
    _ask_print(work)
    _read_across(work)
    _drop_prepared(work)
    _drop_timed(work)
    _join_repeated(work)
    _keep_made(work)
    _drop_unable(work)
    _drop_spoken_for(work)
    _add_announced_by_reading(work)


def _read_across(work: Work) -> None:
    """Read "27 on both sides of the float switch" as nothing across it: the same voltage before and behind."""
    for sentence in work.sentences:
        _read_across_named_before(work, sentence)
        both = [mark for mark in sentence.marks if mark.has(Role.BOTH_SIDES)]
        start, end = work.extent(sentence.marks)
        for place, read in enumerate(work.items):
            if not both or read.kind is not Kind.READING or read.value is None:
                continue
            item = _of_part(work, read, sentence, both[0])
            if not item.usable:
                continue
            closed = usual(work.kb, item.about, item.quantity or "", work.context.plate)
            if start <= item.start < end and closed is not None and closed.holds(0.0):
                work.items[place] = replace(item, value=0.0, doubts=in_order({*item.doubts, Doubt.ASSUMED}))
                work.spend(*both)


def _read_across_named_before(work: Work, sentence: Sentence) -> None:
    """Read "fuse 1 has 120 on both sides to ground" as nothing across the fuse, not as the two legs of the supply."""
    start, end = work.extent(sentence.marks)
    read = [item for item in work.items if item.kind is Kind.READING and start <= item.start < end]
    if len(read) != 2 or len({(item.start, item.end, item.value) for item in read}) != 1:
        return
    left = [mark for mark in sentence.marks if mark.has(Role.SUBJECT) and not work.is_spent(mark)]
    if len(left) != 1 or work.tokens[left[0].first].start >= read[0].start:
        return
    part, quantity = left[0].ids(Role.SUBJECT)[0], read[0].quantity or ""
    closed = usual(work.kb, part, quantity, work.context.plate)
    if closed is None or not closed.holds(0.0) or quantity not in work.kb.subjects[part].quantities:
        return
    place = work.items.index(read[0])
    start = work.extent(left)[0]
    said = work.said(start, read[0].end)
    work.items[place] = replace(read[0], about=part, value=0.0, start=start, said=said)
    work.items.remove(read[1])
    work.spend(*left)


def _of_part(work: Work, read: Heard, sentence: Sentence, both: Mark) -> Heard:
    """Return a reading to ground as one of the part on both sides of which it was taken: 120 to ground, fuse 1."""
    named = [mark for mark in sentence.marks if mark.first >= both.last and mark.has(Role.SUBJECT)]
    if not named or work.is_spent(named[0]) or read.quantity != "voltage":
        return read
    part = named[0].ids(Role.SUBJECT)[0]
    if read.quantity not in work.kb.subjects[part].quantities:
        return read
    work.spend(named[0])
    start, end = min(read.start, work.extent(sentence.marks)[0]), max(read.end, work.extent(named)[1])
    return replace(read, about=part, doubts=(), options=(), start=start, end=end, said=work.said(start, end))


def _ask_print(work: Work) -> None:
    """Ask back "capacitor voltage 440", which is printed on it as often as measured across it."""
    asked = work.context.asked
    if asked is not None and asked.quantity is not None:
        return
    for place, item in enumerate(work.items):
        if item.kind is Kind.READING and item.usable and (plate := _print_of(work, item)) is not None:
            printed = replace(item, kind=Kind.PLATE, about=plate.id, doubts=())
            doubts = in_order([*item.doubts, Doubt.AMBIGUOUS])
            work.items[place] = replace(item, doubts=doubts, options=(printed, item))


def _print_of(work: Work, item: Heard) -> PlateItem | None:
    """Return the plate item whose very name the reading was told with, where the value is one that is printed."""
    said = words_of(item.said)
    for plate in work.kb.plate_items.values():
        names = (words_of(phrase) for phrase in plate.phrases)
        if plate.quantity == item.quantity and item.value in plate.usual and any(said[: len(n)] == n for n in names):
            return plate
    return None


def _drop_prepared(work: Work) -> None:
    """Leave out "leads off" beside what was read that way: it is how it was measured, not how it was found."""
    read = [work.kb.quantities[i.quantity] for i in work.items if i.kind is Kind.READING and i.quantity]
    if not any(quantity.over_limit or quantity.id == _ON_LIFTED_LEADS for quantity in read):
        return
    ways = {words_of(phrase) for phrase in work.kb.particles.prepared}
    work.items[:] = [i for i in work.items if i.kind is not Kind.FINDING or words_of(i.said) not in ways]


_ON_LIFTED_LEADS = "capacitance"
"""Quantity that is read with the leads off though no meter shows "over limit" for it."""


def _drop_timed(work: Work) -> None:
    """Leave out the state that only says what the time is of: "running" in "running 30 minutes"."""
    begins = {item.start for item in work.items if item.kind is Kind.READING and item.quantity == "time"}
    work.items[:] = [
        item
        for item in work.items
        if item.usable or item.kind is not Kind.FINDING or not begins & {item.end, item.end + 1}
    ]


def _join_repeated(work: Work) -> None:
    """Join what is said twice in other words: matted up with cottonwood."""
    kept: dict[tuple[Kind, str | None, str | None, bool], int] = {}
    joined: list[Heard] = []
    for item in work.items:
        key = (item.kind, item.about, item.state, item.negated)
        first = kept.get(key) if item.kind in _SAID_ONCE and item.usable else None
        if first is None:
            kept[key] = len(joined)
            joined.append(item)
            continue
        before = joined[first]
        start, end = min(before.start, item.start), max(before.end, item.end)
        doubts = in_order([*before.doubts, *item.doubts])
        joined[first] = replace(before, start=start, end=end, said=work.said(start, end), doubts=doubts)
    work.items[:] = joined


def _keep_made(work: Work) -> None:
    """Keep as a note what a safety step tells to do first, "thermostat off, pulled the disconnect": not found so."""
    asked, steps = work.context.asked, work.kb.steps
    told = {item.about for item in work.items if item.kind is Kind.SAFETY}
    told |= {asked.id} if asked is not None and asked.kind == "step" else set()
    wanted = [steps[one].say.casefold() for one in told if one is not None and one in steps]
    for place, item in enumerate(work.items):
        if item.kind is not Kind.FINDING or item.state is None or item.about is None:
            continue
        said = f"{work.kb.subjects[item.about].name} {work.kb.states[item.state].name}"
        if any(said in step for step in wanted):
            work.items[place] = Heard(Kind.NOTE, item.said, item.start, item.end, text=item.said)


def _drop_unable(work: Work) -> None:
    """Leave out the step of "tester dead on the known source": it lacks its tool, or read too little to be done."""
    lacking = [item for item in work.items if item.kind is Kind.TOOL and not item.negated]
    work.items[:] = [
        item
        for item in work.items
        if item.kind is not Kind.SAFETY
        or not (any(_is_beside(work, item, one) for one in lacking) or _reads_too_little(work, item))
    ]


def _is_beside(work: Work, item: Heard, other: Heard) -> bool:
    return not _parted(work, min(item.end, other.end), max(item.start, other.start))


def _reads_too_little(work: Work, item: Heard) -> bool:
    step = work.kb.steps.get(item.about or "")
    if step is None or step.at_least is None:
        return False
    read = [one.value for one in work.items if one.kind is Kind.READING and one.about == step.about]
    zeros = [work.extent([mark]) for mark in work.marks if mark.has(Role.ZERO) and not work.is_spent(mark)]
    nothing = any(not _parted(work, min(item.end, end), max(item.start, start)) for start, end in zeros)
    return nothing or any(value is not None and value < step.at_least for value in read)


def _drop_spoken_for(work: Work) -> None:
    asked = work.context.asked
    if asked is not None and any(item.kind is Kind.ANSWER for item in work.items):
        unclear = [i for i in work.items if i.kind is Kind.FINDING and not i.usable and not _says_else(i, asked)]
        work.items[:] = [item for item in work.items if item not in unclear]  # "yes, both running"
        _drop_yes_to_else(work, asked)
    if asked is None:
        if any(item.kind is not Kind.ANSWER for item in work.items):
            work.items[:] = [item for item in work.items if item.kind is not Kind.ANSWER]
        return
    if any(item.kind is Kind.REPAIR for item in work.items):
        work.items[:] = [item for item in work.items if item.kind is not Kind.ANSWER]  # "yes put a new cap in"
    if asked.kind == "step":
        wanted = {Kind.SAFETY, Kind.READING} if asked.quantity else {Kind.SAFETY}
        answered = any(item.kind in wanted for item in work.items)
    else:
        answered = any(_answers(work, item, asked.about) for item in work.items)
    if answered:
        work.items[:] = [item for item in work.items if item.kind is not Kind.ANSWER]


def _says_else(item: Heard, asked: Asked) -> bool:
    """True for an unclear finding that is no answer to a look: it has not one of the states asked about."""
    states = {one.state for one in (item, *item.options)}
    return asked.kind == "check" and asked.quantity is None and states.isdisjoint(asked.states)


def _drop_yes_to_else(work: Work, asked: Asked) -> None:
    """Leave out the "yes" of "yes its tripped" where a look at batteries is asked: it says yes to what follows.

    A pause or a joining word makes it a yes of its own, unless "it" is left open.
    """
    if asked.kind != "check" or asked.quantity is not None:
        return
    for said in [item for item in work.items if item.kind is Kind.ANSWER and item.about in _YES_OR_NO]:
        behind = [item for item in work.items if item.kind is Kind.FINDING and item.start >= said.end]
        first = min(behind, key=lambda item: item.start, default=None)
        if first is None or _answers(work, first, asked.about):
            continue
        if not first.usable or not _parted(work, said.end, first.start):
            work.items.remove(said)


_YES_OR_NO = frozenset({"yes", "no"})


def _parted(work: Work, start: int, end: int) -> bool:
    """True where a comma, a full stop or a joining word stands between two places of the text."""
    between = [mark for mark in work.marks if start <= work.tokens[mark.first].start < end]
    return any(mark.has(Role.CLAUSE) or work.tokens[mark.first].kind is TokenKind.BREAK for mark in between)


def _answers(work: Work, item: Heard, about: str | None) -> bool:
    if item.kind not in {Kind.READING, Kind.FINDING} or item.about is None or about is None:
        return False
    chain = work.vocabulary.chain
    return about in set(chain(item.about)) or item.about in set(chain(about))


def _add_announced_by_reading(work: Work) -> None:
    """A reading that says more than its number: 105 outdoors is heat."""
    for intent in work.kb.intents.values():
        if intent.reading_about is None or intent.at_least is None:
            continue
        for item in list(work.items):
            hot = item.kind is Kind.READING and item.about == intent.reading_about and item.usable
            if hot and item.value is not None and item.value >= intent.at_least:
                if any(other.kind is Kind.HAZARD and other.about == intent.about for other in work.items):
                    continue
                work.items.append(
                    Heard(Kind.HAZARD, item.said, item.start, item.end, about=intent.about, doubts=item.doubts)
                )

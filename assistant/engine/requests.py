"""What the technician asks for: why, limits, status, another check, taking back, waiting, finishing."""

from __future__ import annotations

from collections.abc import Callable

from assistant.dialogue.sentences import Said
from assistant.language.models import Heard
from assistant.reasoning.limits import DISCHARGE, LimitResult, answer_limit, limit_for, pedigree
from assistant.reasoning.safety import gate
from assistant.session import events as e
from assistant.session.steps import steps_to_restart
from knowledge.models.entry import PowerNeed

from .answers import skip_asked_check
from .calculating import drop_calculation, take_calculation, tell_calculations
from .context import limit_now, measured_values, plate_values, specified
from .corrections import take_back_last
from .draft import Draft
from .looked_up import tell_converted, tell_refrigerant, tell_refrigerants
from .matching import observed_words
from .observing import tell_limit
from .phase_moves import move
from .replacing import tell_replacement
from .stocking import tell_part, tell_stock
from .waiting import end_waits, start_wait, tell_waits

_TORQUE = "torque_marked"
"""Sentence that answers how tight, and the caution that has its source."""


def take_request(draft: Draft, item: Heard) -> None:
    """Answer one request; those that need the diagnosis are answered after planning, see ``respond``."""
    request = item.about or ""
    if request in draft.kb.calculations:
        take_calculation(draft, item)
        return
    draft.read_back(item, name="", shown="")
    handler = _REQUESTS.get(request)
    if handler is not None:
        handler(draft, item)
    else:
        draft.wanted.append(item)


def _another(draft: Draft, item: Heard) -> None:
    if not skip_asked_check(draft, item.said):
        draft.remark("nothing_to_set_aside")


def _take_back(draft: Draft, item: Heard) -> None:
    del item
    if not drop_calculation(draft):
        take_back_last(draft)


def _say_again(draft: Draft, item: Heard) -> None:
    del item
    draft.repeat = True


def _limit(draft: Draft, item: Heard) -> None:
    """What it should read: for the thing named, else for the check that was asked."""
    kb, plate = draft.kb, plate_values(draft.state)
    found: tuple[LimitResult, ...] = ()
    if item.subject is not None or item.value is not None:
        found = answer_limit(
            kb,
            subject=item.subject,
            quantity=item.quantity,
            value=item.value,
            plate=plate,
            readings=measured_values(draft.state),
        )
    else:
        found = _limit_in_question(draft)
    if not found:
        draft.tell("no_limit_known")
        return
    for limit in found:
        tell_limit(draft, limit)


def _discharge_time(draft: Draft, item: Heard) -> None:
    """How long the resistor is held on the capacitor, and that only DC volts prove it."""
    del item
    limit = limit_for(draft.kb, DISCHARGE, plate_values(draft.state))
    if limit is not None:
        tell_limit(draft, limit)


def _limit_in_question(draft: Draft) -> tuple[LimitResult, ...]:
    """The limit of the check that is asked; where that has none, of the last reading."""
    state = draft.state
    asked = state.asked.id if state.asked is not None and state.asked.kind == "check" else None
    last = state.readings[-1].check if state.readings else None
    for check in (asked, last):
        if check is not None:
            limit = limit_now(draft.kb, state, check)
            if limit is not None:
                return (limit,)
    return ()


def _torque(draft: Draft, item: Heard) -> None:
    """How tight: as marked, never a figure of our own, for it differs with every terminal."""
    del item
    caution = draft.kb.cautions[_TORQUE]
    draft.tell(_TORQUE, source=pedigree(draft.kb, (caution.source,)))


def _print_unread(draft: Draft, item: Heard) -> None:
    """What the plate does not tell is gone on without; the check that was asked stays asked."""
    known = draft.kb.plate_items.get(item.subject or "")
    draft.emit(e.FreeNote, text=draft.text.strip())
    if known is None:
        draft.remark("plate_unread")
    else:
        draft.remark("plate_without", name=known.name)


def _parts(draft: Draft, item: Heard) -> None:
    """Which part the proposed repair takes, what goes along with it, and what of it is on the truck."""
    del item
    proposed = draft.state.proposed
    if proposed is None:
        draft.tell("no_part_yet")
        return
    repair = draft.kb.repairs[proposed.repair]
    draft.tell("parts_for", name=repair.name, specify=specified(draft.kb, draft.state, repair))
    for text in repair.also if gate(draft.state, repair.needs, draft.kb).missing else ():
        draft.tell("also", text=text)  # else it stands below, with the work itself
    tell_part(draft, repair)


def _readings(draft: Draft, item: Heard) -> None:
    del item
    if not draft.state.latest:
        draft.tell("no_readings")
    for check_id, observed in draft.state.latest.items():
        line = f"{draft.kb.checks[check_id].name}: {observed_words(draft.kb, observed, draft.units)}"
        draft.answer.append(Said(line, line))


def _where(draft: Draft, item: Heard) -> None:
    del item
    state, kb = draft.state, draft.kb
    phase = next(text for text in kb.phases if text.phase.value == state.phase)
    draft.tell("where_are_we", phase=phase.name, power=state.power.value, count=len(state.latest))
    for standing in state.stops:
        draft.remark("stop_stands", signal=kb.stops[standing.stop].signal.value, name=kb.stops[standing.stop].name)


def _safety(draft: Draft, item: Heard) -> None:
    named = draft.kb.subjects.get(item.subject or "")
    if named is not None and named.upstream:
        draft.tell("always_live", name=named.name)
        return
    missing = gate(draft.state, PowerNeed.DISCHARGED, draft.kb).missing
    if not missing:
        draft.tell("already_safe")
        return
    if named is not None:
        draft.tell("hands_off", name=named.name)
    draft.tell("how_to_make_safe", steps=" ".join(f"{n}) {step.name}." for n, step in enumerate(missing, 1)))


def _may_energise(draft: Draft, item: Heard) -> None:
    """May it be switched on: not against a stop, not before tools and people are clear, and then once."""
    del item
    state, kb = draft.state, draft.kb
    barred = gate(state, PowerNeed.LIVE, kb).barred
    if barred:
        names = ", ".join(kb.stops[standing.stop].name for standing in barred)
        draft.tell("energise_barred", names=names)
        return
    clearing = [step.name for step in steps_to_restart(state, kb)[:-1]]
    if clearing:
        draft.tell("energise_first", steps=", ".join(clearing))
    else:
        draft.tell("energise_once")


def _note(draft: Draft, item: Heard) -> None:
    del item
    draft.action = "write_note"


def _close(draft: Draft, item: Heard) -> None:
    """Finish: go on to securing first; a visit is closed only when it is left safe or the technician insists."""
    state = draft.state
    if state.phase == "closed":
        draft.action = "write_note"
        draft.tell("is_closed")
    elif state.phase in {"securing", "proving"}:
        if move(draft, "finish_early"):
            draft.emit(e.VisitClosed, outcome="repaired" if state.repairs else "broken off")
            draft.remark("closed_early", signal="notice")
            draft.action = "write_note"
    else:
        draft.emit(e.FreeNote, text=f"search ended by the technician: {item.said}")
        move(draft, "leave_unrepaired")
        draft.remark("secure_before_leaving")


def _give_up(draft: Draft, item: Heard) -> None:
    draft.emit(e.VerdictReached, verdict="cannot tell", because=(f"ended by the technician: {item.said}",))
    draft.remark("gave_up")
    move(draft, "leave_unrepaired")


def _help(draft: Draft, item: Heard) -> None:
    del item
    draft.tell("help")


def _wait(draft: Draft, item: Heard) -> None:
    start_wait(draft, item)


def _timer(draft: Draft, item: Heard) -> None:
    tell_waits(draft, item)


def _end_wait(draft: Draft, item: Heard) -> None:
    end_waits(draft, item)


def _calculations(draft: Draft, item: Heard) -> None:
    del item
    tell_calculations(draft)


def _refrigerants(draft: Draft, item: Heard) -> None:
    del item
    tell_refrigerants(draft)


_REQUESTS: dict[str, Callable[[Draft, Heard], None]] = {
    "another": _another,
    "take_back": _take_back,
    "say_again": _say_again,
    "limit": _limit,
    "discharge_time": _discharge_time,
    "torque": _torque,
    "readings": _readings,
    "where": _where,
    "safety": _safety,
    "may_energise": _may_energise,
    "note": _note,
    "close": _close,
    "give_up": _give_up,
    "help": _help,
    "wait": _wait,
    "timer": _timer,
    "replacement": tell_replacement,
    "stock": tell_stock,
    "end_wait": _end_wait,
    "print_unread": _print_unread,
    "parts": _parts,
    "calculations_known": _calculations,
    "refrigerants_known": _refrigerants,
    "refrigerant_facts": tell_refrigerant,
    "convert": tell_converted,
}

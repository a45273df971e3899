"""Readings, findings, plate values and complaints become events."""

from __future__ import annotations

from dataclasses import replace

from assistant.dialogue.numbers import OVER_LIMIT
from assistant.dialogue.prose import in_units
from assistant.dialogue.quantities import System, limit_in
from assistant.dialogue.reply import LimitItem
from assistant.dialogue.sentences import Said, sentence
from assistant.language.models import Heard, Kind
from assistant.reasoning.limits import LimitResult, judge, limit_for, pedigree
from assistant.reasoning.safety import gate
from assistant.session import events as e
from assistant.session.power import fed_from_elsewhere, shows_live
from assistant.session.state import HELD_DEAD, Power
from assistant.session.steps import switched_off
from knowledge.models.check import Check
from knowledge.models.entry import PowerNeed

from .context import limit_now, plate_values
from .derived import AIR, tell_derived, tell_fuse, tell_split
from .draft import Draft
from .gauges_talk import tell_gauges
from .matching import (
    check_for_finding,
    check_for_reading,
    outcome_names,
    outcomes_of_finding,
    subject_name,
)
from .proving import record_proof
from .safety_talk import confirm_asked_step, safety_reading, says_tester_works, step_for_reading, take_power
from .stopping import stops_after
from .waiting import SHELL_CHECK, cool_down_wait, wait_after_finding


def take_reading(draft: Draft, item: Heard) -> None:
    """Log one reading: a safety proof, a plate value that was asked for, or evidence."""
    kb, asked = draft.kb, draft.state.asked
    step = step_for_reading(draft, item)
    if step is not None:
        safety_reading(draft, step, item)
        return
    if asked is not None and asked.kind == "plate" and kb.plate_items[asked.id].quantity == item.quantity:
        take_plate(draft, item, asked.id)
        return
    if item.about is None or item.quantity is None:
        draft.not_understood.append(item.said)
        return
    _power_from_reading(draft, item)
    check = _if_it_means_something(draft, check_for_reading(kb, draft.state, item))
    proved = check is None or _is_met(draft, check)
    draft.emit(
        e.ReadingTaken,
        about=item.about,
        quantity=item.quantity,
        value=item.value,
        high=item.high,
        unit=kb.quantities[item.quantity].unit,
        over_limit=item.over_limit,
        check=check.id if check else None,
        said=item.said,
        doubts=tuple(item.doubts),
        power=draft.state.power,
        epoch=draft.state.epoch,
        proved=proved,
        phase=draft.state.phase,
    )
    _has_its_tools(draft, check)
    limit = limit_now(kb, draft.state, check.id) if check else None
    _read_back(draft, item, limit)
    if limit is not None:
        draft.limits.append(limit_item(draft, limit))
    if check is not None and not proved:
        draft.remark("reading_unproved", signal="warning", name=check.name)
    stops_after(draft)
    if check is not None and check.id == SHELL_CHECK:
        cool_down_wait(draft)
    record_proof(draft, item, check, limit)
    if check is not None:
        tell_derived(draft, check.id)
        tell_gauges(draft, check.id)
    if check is None or item.about in AIR:
        tell_split(draft)
    if check is None:
        _answer_by_value(draft, item)


def _answer_by_value(draft: Draft, item: Heard) -> None:
    """Take a value as the answer to a look, where its print tells what it should be."""
    for check in draft.kb.checks.values():
        rule = check.by_value
        if rule is None or check.about != item.about or draft.kb.limits[rule.limit].quantity != item.quantity:
            continue
        limit = limit_for(draft.kb, rule.limit, plate_values(draft.state))
        verdict = judge(limit, item.value, item.over_limit) if limit is not None else None
        if limit is None or verdict is None or limit.low is None:
            draft.remark("print_wanted", signal="notice", name=subject_name(draft.kb, check.about))
        elif verdict.ok is None:
            draft.remarks.append(Said(verdict.sentence, verdict.sentence))
        else:
            draft.limits.append(limit_item(draft, limit))
            log_finding(draft, item, check, (rule.inside if verdict.ok else rule.outside,))
        return


def _has_its_tools(draft: Draft, check: Check | None) -> None:
    """A tool that was missing and measured after all is at hand; one that must not be used stays away."""
    kb, state = draft.kb, draft.state
    barred = {tool for hazard in state.hazards if hazard in kb.hazards for tool in kb.hazards[hazard].lacks}
    for tool in check.tools if check is not None else ():
        if tool in state.tools_missing and tool not in barred:
            draft.emit(e.ToolMissing, tool=tool, found=True)


def take_finding(draft: Draft, item: Heard) -> None:
    """Log how something was found."""
    kb = draft.kb
    if item.about is None or item.state is None:
        draft.not_understood.append(item.said)
        return
    if says_tester_works(draft, item):
        confirm_asked_step(draft, item)
        return
    if _closes(draft, item):
        take_power(draft, replace(item, kind=Kind.POWER, about="power_on"))
        return
    check = check_for_finding(kb, draft.state, item)
    whole = kb.subjects.get(item.about)
    if check is None and whole is not None and item.state in whole.whole_states and not item.negated:
        for part in whole.whole_of:
            take_finding(draft, replace(item, about=part))
        return
    _power_from_finding(draft, item)
    check = _if_it_means_something(draft, check)
    log_finding(draft, item, check, _narrowed(draft, check, outcomes_of_finding(check, item)) if check else ())


def _closes(draft: Draft, item: Heard) -> bool:
    """ "Disconnect's in" is how it was found, but news of power on from who held it open or is to restore it."""
    states = draft.kb.power_rules.closing.get(item.about or "", ())
    held = draft.state.power in HELD_DEAD or draft.state.phase == "restart"
    return held and item.state in states and not item.negated


def _narrowed(draft: Draft, check: Check, outcomes: tuple[str, ...]) -> tuple[str, ...]:
    """Two words about one thing in one note ("out, no hum") narrow each other down; in a clash the last one wins."""
    before = draft.state.latest.get(check.id)
    if not isinstance(before, e.FindingMade) or before.note != draft.note:
        return outcomes
    covered = {name for answer in check.answers if answer.outcome in before.outcomes for name in answer.covers}
    if outcomes and covered.issuperset(outcomes):
        return before.outcomes  # "hums and wont turn"
    return tuple(outcome for outcome in outcomes if outcome in before.outcomes) or outcomes


def log_finding(draft: Draft, item: Heard, check: Check | None, outcomes: tuple[str, ...]) -> None:
    """Log a finding with the outcomes it leaves; used for words and for bare yes and no."""
    kb = draft.kb
    about = item.about or (check.about if check else "")
    proved = check is None or _is_met(draft, check)
    draft.emit(
        e.FindingMade,
        about=about,
        state=item.state or (outcomes[0] if outcomes else ""),
        negated=item.negated,
        check=check.id if check else None,
        outcomes=outcomes,
        said=item.said,
        doubts=tuple(item.doubts),
        power=draft.state.power,
        epoch=draft.state.epoch,
        proved=proved,
        phase=draft.state.phase,
    )
    subject = subject_name(kb, about)
    state = kb.states[item.state].name if item.state and item.state in kb.states else item.state or ""
    shown = (
        outcome_names(kb, check, outcomes, item.state)
        if check and outcomes
        else ("not " if item.negated else "") + state
    )
    meant = kb.states.get(item.state or "")
    if meant is not None and meant.own_name and not item.negated:
        shown = meant.name
    if meant is not None and meant.warns and not item.negated:
        draft.remarks.append(Said(meant.warns, meant.warns_spoken or meant.warns, "warning"))
    draft.read_back(
        item,
        kind="finding",  # also where a bare yes or no says it
        about=about,
        name=subject,
        value=("not " if item.negated else "") + (item.state or " or ".join(outcomes)),
        shown=f"{subject}: {shown}",
    )
    if check is not None and not proved:
        draft.remark("finding_unproved", signal="warning", name=check.name)
    stops_after(draft)
    if check is not None:
        wait_after_finding(draft, check.id, outcomes, item.said)
    record_proof(draft, item, check, None, outcomes)


def take_plate(draft: Draft, item: Heard, item_id: str | None = None) -> None:
    """Log a value printed on the unit or a part."""
    kb = draft.kb
    plate = kb.plate_items[item_id or item.about or ""]
    draft.emit(e.PlateRead, item=plate.id, value=item.value, text=item.text, said=item.said)
    tell_fuse(draft)
    value = item.text if plate.text else item.value
    shown = item.text or (draft.amount(plate.quantity, item.value) if plate.quantity else "")
    draft.read_back(
        item,
        kind="plate",
        about=plate.id,
        name=plate.name,
        quantity=plate.quantity,
        value=value,
        shown=f"plate, {plate.name}: {shown}",
    )


def take_complaint(draft: Draft, item: Heard) -> None:
    complaint = draft.kb.complaints[item.about or ""]
    draft.emit(e.ComplaintReported, complaint=complaint.id, said=item.said)
    draft.read_back(
        item,
        about=complaint.id,
        name=complaint.name,
        shown=f"complaint: {complaint.name}",
    )


def tell_limit(draft: Draft, limit: LimitResult) -> None:
    """Answer with a limit: its window, formula, note and pedigree; the reply carries it as data too."""
    shown = limit_item(draft, limit)
    draft.limits.append(shown)
    words = {"window": shown.window, "formula": limit.shown, "note": shown.note, "source": shown.source}
    draft.tell("limit_is", name=limit.name, **words)


def limit_item(draft: Draft, limit: LimitResult, system: System | None = None) -> LimitItem:
    """Return a limit with its pedigree for the reply, in this technician's units or those of the question."""
    kb, units = draft.kb, system or draft.units
    typical = sentence(kb, "typical_used", values=", ".join(limit.assumed)).screen if limit.assumed else ""
    return LimitItem(
        quantity=limit.quantity,
        about=limit.about,
        low=limit.low,
        high=limit.high,
        unit=limit.unit,
        window=limit_in(kb, limit, units).window,
        source=pedigree(kb, limit.sources),
        rests_on=pedigree(kb, limit.sources[:1]),
        formula=limit.shown,
        note="; ".join(filter(None, (limit.validity, in_units(kb, typical, units, limit.quantity)))),
    )


def _read_back(draft: Draft, item: Heard, limit: LimitResult | None) -> None:
    kb = draft.kb
    quantity = item.quantity or ""
    value = draft.amount(quantity, item.value, over_limit=item.over_limit)
    if item.high is not None and not item.over_limit:
        value = f"{value} to {draft.amount(quantity, item.high)}"
    name = subject_name(kb, item.about)
    shown = f"{name}: {value}"
    if limit is not None:
        verdict = judge(limit, item.value, item.over_limit)
        window = limit_in(kb, limit, draft.units).window
        should = f"should be {window}" if window else ""
        shown += "".join(f" - {words}" for words in [", ".join(filter(None, (verdict.word, should)))] if words)
    draft.read_back(
        item,
        kind="reading",
        name=name,
        quantity=quantity,
        value=OVER_LIMIT if item.over_limit or item.value is None else item.value,
        shown=shown,
    )


def _if_it_means_something(draft: Draft, check: Check | None) -> Check | None:
    """A still fan or nothing on the load side says nothing about a unit that is switched off."""
    if check is None or not (check.energised or check.as_found) or not switched_off(draft.state, draft.kb):
        return check
    if fed_from_elsewhere(check.about, draft.kb) or check.about in draft.kb.power_rules.control_circuit:
        return check
    draft.remark("means_nothing_dead", signal="notice", name=check.name)
    return None


def _is_met(draft: Draft, check: Check) -> bool:
    """True where the unit is in the state the check needs; what the eye sees of a dead part holds in any state."""
    if check.measure.kind == "sense" and check.needs is not PowerNeed.LIVE:
        return True
    if check.needs in {PowerNeed.ANY, PowerNeed.LIVE}:
        return True
    return gate(draft.state, check.needs, draft.kb).free


def _power_from_reading(draft: Draft, item: Heard) -> None:
    state, kb = draft.state, draft.kb
    if item.about is None or item.quantity is None or item.value is None:
        return
    live = shows_live(item.about, item.quantity, item.value, kb)
    if live and switched_off(state, kb):
        draft.emit(e.PowerChanged, to="live", because=f"{item.said}: voltage or current where the unit was held dead")
        draft.remark("not_dead", signal="danger", said=item.said)
    elif live and state.power is Power.UNKNOWN:
        draft.emit(e.PowerChanged, to="live", because=f"{item.said} shows power is on")


def _power_from_finding(draft: Draft, item: Heard) -> None:
    state, kb = draft.state, draft.kb
    if item.negated or item.about is None or item.state is None:
        return
    if switched_off(state, kb) and shows_live(item.about, item.state, None, kb):
        draft.emit(e.PowerChanged, to="live", because=f"{item.said}: it runs where the unit was held dead")
        draft.remark("not_dead", signal="danger", said=item.said)

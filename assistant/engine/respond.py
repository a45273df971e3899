"""From a finished draft and plan to the reply that a front end shows."""

from __future__ import annotations

from datetime import timedelta

from assistant.dialogue.compose import compose
from assistant.dialogue.numbers import number
from assistant.dialogue.quantities import System
from assistant.dialogue.reply import (
    CautionItem,
    LimitItem,
    NextItem,
    ReadingItem,
    RepairItem,
    Reply,
    StepItem,
    StopItem,
    SuspectItem,
    TimerItem,
)
from assistant.dialogue.sentences import Said, sentence
from assistant.language.models import Kind
from assistant.reasoning.diagnosis import CannotTell, CheckNext, Diagnosis
from assistant.reasoning.limits import hold_seconds, judge, limit_for, limit_for_check
from assistant.reasoning.safety import cautions_for
from assistant.session import events as e
from assistant.session.state import VisitState
from knowledge import KnowledgeBase
from knowledge.models.check import Check
from knowledge.models.safety import SafetyStep

from .asked_why import SHOWN_SUSPECTS, answer_wanted
from .context import limit_now, measured_values, plate_values, specified
from .draft import Draft
from .matching import observed_words, subject_name
from .observing import limit_item
from .planning import Plan
from .turned_by_hand import TURNED_BY
from .waiting import timer_name

_SHOWN_READINGS = 40


def build_reply(draft: Draft, plan: Plan, diagnosis: Diagnosis | None) -> Reply:
    """Assemble the reply: heard, danger, question, one next thing with its steps, limits and reason."""
    kb, state = draft.kb, draft.state
    steps = tuple(_step_item(draft, step) for step in plan.missing)
    next_item = _next_item(draft, plan)
    limits = tuple(draft.limits) or (next_item.limits if next_item else ())
    reply = Reply(
        visit=state.visit,
        note=draft.note,
        heard=tuple(draft.heard),
        not_understood=tuple(draft.not_understood),
        power=state.power.value,
        phase=state.phase,
        stops=_stop_items(kb, state),
        safety_steps=steps,
        cautions=_cautions(draft, plan),
        next=next_item,
        repair=_repair_item(draft, plan),
        suspects=_suspects(diagnosis),
        limits=_unique(limits),
        question=_question(draft),
        timers=_timer_items(state, kb),
        readings=_readings(kb, state, draft.units),
        reply="",
        spoken="",
        closed=state.phase == "closed",
    )
    draft.said = [*_danger(draft), *draft.remarks, *draft.answer]
    said = [*draft.said, *answer_wanted(draft, plan, diagnosis), *_outcome(draft, plan)]
    text, spoken = compose(kb, reply, said, question=draft.question, told=_told(draft))
    return reply.model_copy(update={"reply": text, "spoken": spoken})


def _told(draft: Draft) -> frozenset[str]:
    """Cautions that the last reply said already; none where all is to be said again."""
    if draft.repeat:
        return frozenset()
    for event in reversed(draft.visit.events):
        if isinstance(event, e.ReplyGiven):
            return frozenset(event.cautions)
    return frozenset()


def _timer_items(state: VisitState, kb: KnowledgeBase) -> tuple[TimerItem, ...]:
    return tuple(
        TimerItem(
            id=timer.key,
            name=timer_name(kb, timer),
            ends=(timer.started + timedelta(minutes=timer.minutes)).isoformat(),
            minutes=timer.minutes,
        )
        for timer in state.timers.values()
    )


def _next_item(draft: Draft, plan: Plan) -> NextItem | None:
    kb = draft.kb
    if plan.intake:
        asked = sentence(kb, "ask_complaint")
        why = sentence(kb, "why_complaint").screen
        return NextItem(id="complaint", say=asked.screen, why=why, minutes=1, kind="question", name="complaint")
    if plan.option is not None:
        why = sentence(kb, "why_built").screen
        return NextItem(
            id=plan.option.id, say=plan.option.ask, why=why, minutes=1, kind="question", name=plan.option.name
        )
    if plan.proof is not None:
        limit = limit_for(kb, plan.proof.limit, plate_values(draft.state)) if plan.proof.limit else None
        limits = (limit_item(draft, limit),) if limit else ()
        why = sentence(kb, "why_proof").screen
        return NextItem(
            id=plan.proof.id, say=plan.proof.ask, why=why, minutes=1, limits=limits, kind="close_out",
            needs=plan.need.value, name=plan.proof.name,
        )  # fmt: skip
    if plan.restore:
        why = sentence(kb, "why_restore").screen
        said = sentence(kb, "restore_power").screen
        return NextItem(id="restore_power", say=said, why=why, minutes=2, kind="question", needs=plan.need.value)
    if plan.check is None or plan.repair is not None:
        return None
    check = plan.check
    limit = limit_now(kb, draft.state, check.id)
    because = plan.decision.because if isinstance(plan.decision, CheckNext) else ""
    retake = isinstance(plan.decision, CheckNext) and plan.decision.retake
    say = sentence(kb, "take_again", say=check.say).screen if retake else _rest_of_look(draft, check) or check.say
    return NextItem(
        id=check.id, say=say, why=because if retake and because else check.why, minutes=check.minutes,
        limits=(limit_item(draft, limit),) if limit else (), needs=check.needs.value, name=check.name,
    )  # fmt: skip


def _rest_of_look(draft: Draft, check: Check) -> str | None:
    """Return the question for what a look left open: a fan that is still may hum, or be silent."""
    takes = draft.state.takes.get(check.id, ())
    last = takes[-1] if takes else None
    if not isinstance(last, e.FindingMade) or len(last.outcomes) < 2:
        return None
    names = [answer.name for answer in check.answers if answer.outcome in last.outcomes]
    return sentence(draft.kb, "rest_of_look", name=check.name, options=", or ".join(names)).screen


def _repair_item(draft: Draft, plan: Plan) -> RepairItem | None:
    if plan.repair is None:
        return None
    repair, proposed = plan.repair, draft.state.proposed
    consequences: tuple[str, ...] = ()
    if proposed is not None:
        names = [draft.kb.faults[fault].name for fault in proposed.cause if fault in draft.kb.faults]
        consequences = proposed.consequences
        asked = "do_repair" if draft.state.phase == "repair" else "propose_repair"
        if repair.refer:  # handed on, not done here
            asked = "propose_referral"
        if plan.missing:  # a "yes" belongs to the step of making safe that is asked first
            asked = "repair_ahead"
        either = f" {draft.kb.reasoning.sentences['or']} ".join(names)  # the same repair mends each of them
        say = sentence(draft.kb, asked, cause=either, repair=repair.name).screen
    else:
        say = repair.name
    return RepairItem(
        id=repair.id,
        say=say,
        why=proposed.evidence if proposed else (),
        parts=specified(draft.kb, draft.state, repair),
        steps=repair.steps,
        also=repair.also,
        consequences=consequences,
        minutes=repair.minutes,
        refer=repair.refer,
        needs=repair.needs.value,
    )


def _suspects(diagnosis: Diagnosis | None) -> tuple[SuspectItem, ...]:
    if diagnosis is None:
        return ()
    return tuple(
        SuspectItem(
            id="+".join(suspect.faults) or "none",
            name=suspect.name,
            probability=round(suspect.probability, 4),
            word=suspect.word,
            consequences=suspect.consequences,
        )
        for suspect in diagnosis.suspects(SHOWN_SUSPECTS)
    )


def _step_item(draft: Draft, step: SafetyStep) -> StepItem:
    hold = number(round(hold_seconds(draft.kb, plate_values(draft.state))))
    asked = draft.state.asked
    again = asked is not None and asked.kind == "step" and asked.id == step.id and not draft.repeat
    again = again and not any(isinstance(event, e.Asked) for event in draft.events)
    return StepItem(id=step.id, say=step.say.replace("{hold_s}", hold), spoken=step.spoken, again=again)


def _stop_items(kb: KnowledgeBase, state: VisitState) -> tuple[StopItem, ...]:
    return tuple(
        StopItem(
            id=standing.stop,
            signal=kb.stops[standing.stop].signal.value,
            say=kb.stops[standing.stop].text,
            because=standing.because,
        )
        for standing in state.stops
    )


def _cautions(draft: Draft, plan: Plan) -> tuple[CautionItem, ...]:
    found = cautions_for(
        draft.kb,
        draft.state,
        check=plan.check,
        repair=plan.repair,
        phase=draft.state.phase,
        waits=tuple(dict.fromkeys(timer.wait for timer in draft.state.timers.values())),
    )
    return tuple(CautionItem(id=one.id, signal=one.signal.value, say=one.text) for one in found)


def _readings(kb: KnowledgeBase, state: VisitState, units: System) -> tuple[ReadingItem, ...]:
    plate, measured = plate_values(state), measured_values(state)
    items = []
    for check_id, observed in list(state.latest.items())[-_SHOWN_READINGS:]:
        check = kb.checks[check_id]
        doubt = ", ".join(observed.doubts) or (None if observed.proved else "power state not proved")
        verdict = ""
        if isinstance(observed, e.ReadingTaken):
            limit = limit_for_check(kb, check_id, plate, measured)
            verdict = judge(limit, observed.value, observed.over_limit).word if limit else ""
        shown = observed_words(kb, observed, units)
        items.append(ReadingItem(name=check.name, shown=shown, verdict=verdict, doubt=doubt))
    return tuple(reversed(items))


def _danger(draft: Draft) -> list[Said]:
    """Standing stops come first, with their signal word."""
    kb = draft.kb
    fresh = {event.stop for event in draft.events if isinstance(event, e.StopRaised)}
    return [
        Said(kb.stops[standing.stop].text, kb.stops[standing.stop].spoken, kb.stops[standing.stop].signal.value)
        for standing in draft.state.stops
        if standing.stop in fresh
    ]


def _question(draft: Draft) -> str | None:
    if draft.unclear is None and draft.awaited is None:
        return None
    draft.question = draft.awaited if draft.unclear is None else _ask(draft)
    assert draft.question is not None  # noqa: S101  # one of the two is there
    return draft.question.screen


def _ask(draft: Draft) -> Said:
    kb, item = draft.kb, draft.unclear
    assert item is not None  # noqa: S101  # only called for an unclear item
    asked = draft.state.asked
    if asked is not None and asked.id == "clear_yes":
        step = item.about or next(option.about for option in item.options) or ""
        return sentence(kb, "clear_yes", name=kb.steps[step].name)
    if asked is not None and asked.id == TURNED_BY:
        return sentence(kb, "turned_by", said=item.said)
    if not item.options:
        return sentence(kb, "not_clear", said=item.said)
    options = []
    for option in item.options:
        repair = kb.repairs.get(option.about or "") if option.kind is Kind.REPAIR else None
        name = repair.name if repair is not None else subject_name(kb, option.about)
        name = sentence(kb, "option_of_plate", name=name).screen if option.about in kb.plate_items else name
        if option.quantity:
            value = draft.amount(option.quantity, option.value, over_limit=option.over_limit)
            options.append(f"{name} {value}".strip())
        else:
            options.append(name or option.said)
    return sentence(kb, "which_one", said=item.said, options=", or ".join(dict.fromkeys(options)))


def _outcome(draft: Draft, plan: Plan) -> list[Said]:
    kb = draft.kb
    if isinstance(plan.decision, CannotTell):
        remaining = "; ".join(plan.decision.remaining) or "-"
        if not any(isinstance(event, e.VerdictReached) for event in draft.events):
            return [sentence(kb, "cannot_tell_still", remaining=remaining)]
        excluded = "; ".join(plan.decision.excluded) or "-"
        return [sentence(kb, "cannot_tell", remaining=remaining, excluded=excluded)]
    if any(isinstance(event, e.VerdictReached) and event.verdict == "no fault found" for event in draft.events):
        return [sentence(kb, "no_fault_found")]
    if any(isinstance(event, e.VisitClosed) for event in draft.events):
        return [sentence(kb, "visit_closed")]
    return []


def _unique(limits: tuple[LimitItem, ...]) -> tuple[LimitItem, ...]:
    return tuple(dict.fromkeys(limits))

"""Bare answers - yes, no, done, can't, same - belong to the question that was asked last."""

from __future__ import annotations

from dataclasses import replace

from assistant.language.models import Heard, Kind
from assistant.session import events as e

from .building import take_built_answer
from .calculating import drop_calculation
from .context import goal_of
from .draft import Draft
from .heard_data import from_data
from .observing import log_finding, take_finding, take_reading
from .proving import answer_proof, record_unable
from .repairs_talk import accept_repair, decline_repair, report_repair
from .safety_talk import confirm_asked_step
from .turned_by_hand import TURNED_BY, still_to_be_told, turned

_YES = frozenset({"yes", "done"})
_YES_OF_PROOF = _YES | {"proved"}
"""Telling the customer is a yes to a proof, never to a step of making safe."""
_UNABLE = frozenset({"cannot", "skip", "unknown"})


def take_answer(draft: Draft, item: Heard) -> None:
    """Apply one bare answer, or say that nothing was asked."""
    asked = draft.state.asked
    if asked is None or asked.kind == "none":
        draft.remark("nothing_was_asked", words=item.said)
        return
    if item.about in {"under_way", "moment"}:
        _not_yet(draft, item.about, asked)
        return
    handler = {
        "check": _to_check,
        "step": _to_step,
        "repair": _to_repair,
        "close_out": _to_close_out,
        "plate": _to_plate,
        "clarify": _to_clarify,
        "intake": _to_intake,
        "calculation": _to_calculation,
        "built": _to_built,
    }[asked.kind]
    handler(draft, item, item.about or "", asked)


def _not_yet(draft: Draft, answer: str, asked: e.Asked) -> None:
    """ "Doing it" takes a repair up, but confirms no step: what is under way is not done."""
    if answer == "under_way" and asked.kind == "repair" and draft.state.phase != "repair":
        accept_repair(draft, asked.id)
    else:
        draft.remark("take_your_time")


def skip_asked_check(draft: Draft, because: str) -> bool:
    """Set the asked check aside (not possible, or another one wanted); True where there was one.

    While a step of making safe is asked, it is the check that the step leads to.
    """
    check = _check_wanted(draft)
    if check is None:
        return False
    draft.emit(e.CheckSkipped, check=check, because=because)
    draft.remark("check_set_aside", name=draft.kb.checks[check].name)
    return True


def _check_wanted(draft: Draft) -> str | None:
    asked = draft.state.asked
    if asked is None or asked.kind not in {"check", "step"}:
        return None
    if asked.kind == "check":
        return asked.id
    goal = goal_of(draft.visit.events)
    return goal if goal in draft.kb.checks else None


def _to_built(draft: Draft, item: Heard, answer: str, asked: e.Asked) -> None:
    del item
    take_built_answer(draft, answer, asked)


def _to_check(draft: Draft, item: Heard, answer: str, asked: e.Asked) -> None:
    check = draft.kb.checks[asked.id]
    if answer in _UNABLE:
        skip_asked_check(draft, item.said)
    elif answer == "same":
        _repeat(draft, item, check.id)
    elif answer in {"yes", "proved"} and check.yes:
        log_finding(draft, replace(item, about=check.about), check, check.yes)
    elif answer == "no" and check.no:
        log_finding(draft, replace(item, about=check.about), check, check.no)
    elif check.answers:
        draft.remark("say_one_of", options=", ".join(option.name for option in check.answers))
    else:
        draft.remark("reading_wanted", name=check.name)


def _repeat(draft: Draft, item: Heard, check_id: str) -> None:
    """ "Same" stands for the reading or finding that this check had before."""
    before = draft.state.latest.get(check_id)
    if isinstance(before, e.ReadingTaken):
        take_reading(
            draft,
            Heard(
                Kind.READING,
                item.said,
                item.start,
                item.end,
                about=before.about,
                quantity=before.quantity,
                value=before.value,
                high=before.high,
                unit=before.unit,
                over_limit=before.over_limit,
            ),
        )
    elif isinstance(before, e.FindingMade):
        take_finding(
            draft,
            Heard(
                Kind.FINDING,
                item.said,
                item.start,
                item.end,
                about=before.about,
                state=before.state,
                negated=before.negated,
            ),
        )
    else:
        draft.remark("nothing_before", name=draft.kb.checks[check_id].name)


def _to_step(draft: Draft, item: Heard, answer: str, asked: e.Asked) -> None:
    step = draft.kb.steps[asked.id]
    if answer in _YES and draft.not_understood:  # "yes put new wire in" may say yes to something else
        draft.remark("step_unsure", signal="warning", name=step.name)
    elif answer in _YES or (answer == "ready" and step.group == "live_work"):
        confirm_asked_step(draft, item)
    elif answer in _UNABLE and step.group == "live_work":
        goal = goal_of(draft.visit.events)  # what cannot be reached is what was to be measured
        if goal is not None and goal in draft.kb.close_out:
            record_unable(draft, goal, item.said)
        else:
            skip_asked_check(draft, item.said)
    elif answer == "same":
        draft.remark("step_no_same", signal="notice", name=step.name)
    else:
        draft.remark("step_not_done", signal="notice", name=step.name)


def _to_repair(draft: Draft, item: Heard, answer: str, asked: e.Asked) -> None:
    if answer == "done" or (answer == "yes" and draft.kb.repairs[asked.id].refer):
        report_repair(draft, asked.id, item.said)
    elif answer == "yes":
        accept_repair(draft, asked.id)
    elif answer in {"no", *_UNABLE}:
        decline_repair(draft, asked.id, item.said)
    else:
        draft.remark("repair_yes_or_no")


def _to_close_out(draft: Draft, item: Heard, answer: str, asked: e.Asked) -> None:
    proof = draft.kb.close_out[asked.id]
    measured = bool(proof.reads) or (proof.about is not None and not proof.good_when)
    if answer in _YES_OF_PROOF and measured:
        draft.remark("reading_wanted", name=proof.name)
    elif answer in _YES_OF_PROOF:
        answer_proof(draft, "good", item.said)
    elif answer == "no" and not measured:
        answer_proof(draft, "bad", item.said)
    else:
        answer_proof(draft, "not done", draft.text.strip())


def _to_plate(draft: Draft, item: Heard, answer: str, asked: e.Asked) -> None:
    del answer
    draft.emit(e.CheckSkipped, check=asked.id, because=item.said)
    draft.remark("plate_without", name=draft.kb.plate_items[asked.id].name)


def _to_clarify(draft: Draft, item: Heard, answer: str, asked: e.Asked) -> None:
    if asked.id == TURNED_BY:
        _to_turned_by(draft, answer, asked)
    elif answer in _YES and len(asked.options) == 1:
        from .interpret import take_one  # late: interpret dispatches to this module

        draft.spoken = False  # the clear yes is the confirmation
        take_one(draft, from_data(asked.options[0]))
    elif answer in {"no", *_UNABLE}:
        draft.remark("left_out")
    else:
        draft.remark("choose_one")
        draft.unclear = Heard(Kind.READING, item.said, 0, 0, options=tuple(from_data(o) for o in asked.options))


def _to_turned_by(draft: Draft, answer: str, asked: e.Asked) -> None:
    """By hand or by itself; what tells neither leaves the question open, and the hands out."""
    told = turned(draft, answer, asked)
    if told is not None:
        take_finding(draft, told)
    else:
        draft.unclear = still_to_be_told(draft, asked, ())


def _to_calculation(draft: Draft, item: Heard, answer: str, asked: e.Asked) -> None:
    """A word without the input that was asked for lets the calculation go; the visit's own question comes again."""
    del item, answer, asked
    drop_calculation(draft)


def _to_intake(draft: Draft, item: Heard, answer: str, asked: e.Asked) -> None:
    del answer, asked
    draft.remark("nothing_was_asked", words=item.said)

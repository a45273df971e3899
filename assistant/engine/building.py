"""How the unit is built: taken down when it is said, asked for before the first check that hangs on it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from assistant.dialogue.sentences import Said, sentence
from assistant.language.models import Heard, Kind
from assistant.reasoning.results import CannotTell, CheckNext, Decision, Propose
from assistant.session import events as e
from knowledge.models.unit import Choice, Option
from knowledge.open_questions import brings_parts, depends
from knowledge.variants import KIND, Configuration, usual

from .draft import Draft


def take_built(draft: Draft, item: Heard) -> None:
    """Log what the technician said of the kind of unit or of one of its options."""
    option_id, _, choice_id = (item.about or "").partition(".")
    if option_id == KIND:
        _take_kind(draft, item, choice_id)
        return
    option = _option(draft, option_id)
    choice = _chosen(option, choice_id, negated=item.negated) if option else None
    if option is None or choice is None:
        draft.not_understood.append(item.said)
        return
    draft.emit(e.BuiltTold, option=option.id, choice=choice.id, said=item.said)
    _read_back(draft, item, choice.name)
    if choice.tell:
        draft.remarks.append(Said(choice.tell, choice.tell_spoken or choice.tell, "warning"))


def take_named(draft: Draft, items: Sequence[Heard]) -> None:
    """Log what a unit has by the parts that are spoken of: who reads the crankcase heater has one."""
    for item in items:
        subject = draft.kb.subjects.get(item.about or "")
        if item.kind not in {Kind.READING, Kind.FINDING} or subject is None or not item.usable:
            continue
        for option in _options(draft):
            choices = [c for c in option.choices if f"{option.id}.{c.id}" in subject.only_with]
            told = option.id in draft.state.built
            if len(choices) == 1 and not told and not draft.kb.is_usual(subject):
                take_built(draft, replace(item, about=f"{option.id}.{choices[0].id}", negated=False))


def _take_kind(draft: Draft, item: Heard, kind: str) -> None:
    """Log the kind, and the choice that its words told with it: ``three_phase.supply_volts.v460``."""
    kind, _, made = kind.partition(".")
    unit = draft.kb.units[kind]
    if item.negated:
        draft.not_understood.append(item.said)
        return
    if kind != draft.state.unit_kind:
        draft.emit(e.BuiltTold, option=KIND, choice=kind, said=item.said)
    _read_back(draft, item, unit.name)
    if made:
        take_built(draft, replace(item, about=made))


def _read_back(draft: Draft, item: Heard, name: str) -> None:
    draft.read_back(item, name="unit", value=name, shown=sentence(draft.kb, "built_so", name=name).screen)


def _options(draft: Draft) -> tuple[Option, ...]:
    unit = draft.kb.units.get(draft.state.unit_kind)
    return unit.options if unit is not None else ()


def _option(draft: Draft, option_id: str) -> Option | None:
    unit = draft.kb.units.get(draft.state.unit_kind)
    return unit.option(option_id) if unit is not None else None


def _chosen(option: Option, choice_id: str, *, negated: bool) -> Choice | None:
    """Return the choice that was said; denied, the other one where there is just one other."""
    left = [choice for choice in option.choices if (choice.id == choice_id) != negated]
    return left[0] if len(left) == 1 else None


def open_question(draft: Draft, decision: Decision) -> Option | None:
    """Return the option that the next step hangs on, where nothing was told of it and it was not asked yet."""
    unit, kb = draft.kb.units.get(draft.state.unit_kind), draft.kb
    if unit is None:
        return None
    open_options = Configuration.of(unit, draft.state.built).open_options(unit)
    for option in open_options:
        if option.id in draft.state.built_asked or _printed(draft, option):
            continue
        if isinstance(decision, CheckNext):
            hangs = depends(kb.checks[decision.check], option, unit)
        elif isinstance(decision, Propose):
            hangs = decision.repair in option.asked_before
        else:
            hangs = isinstance(decision, CannotTell) and brings_parts(option)
        if hangs:
            return option
    return None


def _printed(draft: Draft, option: Option) -> bool:
    """Return True where what was read off the plate in one note says how it is built."""
    for choice in option.choices:
        read = [draft.state.plate.get(item) for item in choice.printed]
        if read and None not in read and len({one.note for one in read if one is not None}) == 1:
            return True
    return False


def take_built_answer(draft: Draft, answer: str, asked: e.Asked) -> None:
    """Take the usual where the technician does not know or passes it over; else say what may be answered."""
    option = _option(draft, asked.id)
    if option is None:
        return
    if answer in {"yes", "no", "done", "same"}:
        draft.remark("say_one_of", options=", ".join(choice.name for choice in option.choices))
    else:
        draft.remark("built_unsure", name=usual(option).name)

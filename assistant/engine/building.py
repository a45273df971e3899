"""How the unit is built: taken down when it is said, asked for when the next check hangs on it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from assistant.dialogue.sentences import Said, sentence
from assistant.language.models import Heard, Kind
from assistant.session import events as e
from knowledge.models.check import Check
from knowledge.models.unit import Choice, Option
from knowledge.open_questions import depends
from knowledge.variants import KIND, Configuration

from .draft import Draft


def take_built(draft: Draft, item: Heard) -> None:
    """Log what the technician said of the kind of unit or of one of its options."""
    option_id, _, choice_id = (item.about or "").partition(".")
    if option_id == KIND:
        _take_kind(draft, item, choice_id)
        return
    option = next((one for one in _options(draft) if one.id == option_id), None)
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


def _chosen(option: Option, choice_id: str, *, negated: bool) -> Choice | None:
    """Return the choice that was said; denied, the other one where there is just one other."""
    left = [choice for choice in option.choices if (choice.id == choice_id) != negated]
    return left[0] if len(left) == 1 else None


def ask_built(draft: Draft, check: Check | None) -> None:
    """Ask how the unit is built where the next check hangs on it: once each, and an answer is not owed."""
    unit = draft.kb.units.get(draft.state.unit_kind)
    if check is None or unit is None or draft.unclear is not None:
        return
    known = Configuration.of(unit, draft.state.built)
    for option in known.open_options(unit):
        if option.id not in draft.state.built_asked and depends(check, option, unit):
            draft.emit(e.BuiltAsked, option=option.id)
            draft.remarks.append(Said(option.ask, option.spoken))
            return
